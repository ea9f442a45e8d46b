"""The web app as an ASGI application, which takes in no more of a body than a page may want."""

import asyncio
import os
from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from typing import Any

from django.conf import settings
from django.core.asgi import get_asgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "doughwright.web.settings")

Scope = dict[str, Any]
Message = Mapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]


def bounded(app: App, most: int) -> App:
    """Keep from an app what is beyond bounds of a body.

    Django takes a body in whole, onto the disk, before any guard of ours sees the request. One
    that is too long ends for it at once, and the guard refuses it by the length that was said,
    or else counted.
    """

    async def answer(scope: Scope, receive: Receive, send: Send) -> None:
        await app(scope, _within(scope, receive, most).__anext__, send)

    return answer


async def _within(scope: Scope, receive: Receive, most: int) -> AsyncIterator[Message]:
    headers, taken = list(scope["headers"]), 0
    said = dict(headers).get(b"content-length", b"0")
    while said.isdigit() and len(said) < 20 and int(said) <= most:
        message = await receive()
        taken += len(message.get("body", b""))
        if taken > most:
            said = b"%d" % taken
            scope["headers"] = [*headers, (b"content-length", said)]
        else:
            yield message
    yield {"type": "http.request", "body": b"", "more_body": False}
    await asyncio.Event().wait()  # nothing more is taken; Django ends it with its answer


application = bounded(get_asgi_application(), settings.LARGEST_REQUEST)

"""What is too long is refused before it is taken in, whoever sends it and whatever it says."""

import asyncio
from typing import Any

import pytest
from django.conf import settings

from doughwright.web.asgi import application

MB = 1024 * 1024
CHUNK = b"x" * (MB // 4)
MOST = settings.LARGEST_REQUEST
ENDLESS = 1_000_000
"""Chunks of a body that nobody would take in."""


def answered(chunks: int, length: bytes = b"") -> tuple[int, str, int]:
    """Send a body to an open page; the answer's status and words, and how much was taken in."""
    sent: list[Any] = []
    taken = 0

    async def receive() -> dict[str, Any]:
        nonlocal taken
        if taken == chunks * len(CHUNK):
            await asyncio.Event().wait()  # the browser waits for its answer
        taken += len(CHUNK)
        return {"type": "http.request", "body": CHUNK, "more_body": taken < chunks * len(CHUNK)}

    async def send(message: Any) -> None:
        sent.append(message)

    said = [(b"content-length", length)] if length else []
    scope = {
        "type": "http",
        "method": "GET",
        "path": "/style.css",
        "query_string": b"",
        "headers": [(b"host", b"localhost"), *said],
    }
    asyncio.run(application(scope, receive, send))
    start, *parts = sent
    return start["status"], b"".join(part["body"] for part in parts).decode(), taken


def test_a_body_without_end_is_taken_in_up_to_the_bound() -> None:
    status, words, taken = answered(ENDLESS)
    assert (status, taken) == (413, MOST + len(CHUNK))
    assert "That is too much at once" in words


@pytest.mark.parametrize("length", [b"314572800", b"9" * 5000, b"-1", b"many"])
def test_a_length_beyond_the_bound_is_refused_unread(length: bytes) -> None:
    status, words, taken = answered(ENDLESS, length)
    assert (status, taken) == (413, 0)
    assert "was not read" in words


def test_a_length_that_is_not_true_is_counted() -> None:
    status, _, taken = answered(ENDLESS, b"10")
    assert (status, taken) == (413, MOST + len(CHUNK))


@pytest.mark.parametrize("length", [b"", str(MOST).encode()])
def test_a_body_within_the_bound_is_taken_in_whole(length: bytes) -> None:
    status, words, taken = answered(MOST // len(CHUNK), length)
    assert (status, taken) == (200, MOST)
    assert "body" in words

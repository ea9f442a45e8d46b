"""What changed, told to pages that are open: server-sent events, by topic.

A page names what it shows: ``bread:rye-loaf``, ``bench:…``. A stream says each topic's state
when it opens and whenever it changes; the page compares it with the state it was made from. So
nothing is missed while a phone sleeps. What is saved by this process is told at once; what
another one saves is seen at the next look into the database.
"""

import asyncio
import json
import threading
from collections.abc import AsyncIterator, Collection, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass

from asgiref.sync import sync_to_async
from django.db import connection
from django.utils import timezone

from doughwright.store.errors import LibraryFailure, NotInLibrary
from doughwright.store.library import newest
from doughwright.web import pairing
from doughwright.web.benches import bench_state

LOOK_EVERY = 3.0
"""Seconds between two looks into the database."""
LOOKS_TO_A_SIGN = 5
"""Looks without news until a line is sent that keeps the connexion open."""
MOST_TOPICS = 8
RETRY = "retry: 3000\n\n"
"""Milliseconds after which a browser asks again."""
SIGN_OF_LIFE = ": still here\n\n"


@dataclass(frozen=True, slots=True, eq=False)
class Listener:
    """An open stream: what it listens to, and how it is woken in its own loop."""

    topics: frozenset[str]
    loop: asyncio.AbstractEventLoop
    woken: asyncio.Event


_listeners: set[Listener] = set()
_lock = threading.Lock()


def announce(topic: str) -> None:
    """Wake the streams that listen to a topic, from any thread."""
    with _lock:
        concerned = [each for each in _listeners if topic in each.topics]
    for each in concerned:
        with suppress(RuntimeError):  # its loop has ended meanwhile
            each.loop.call_soon_threadsafe(each.woken.set)


@contextmanager
def listening(topics: Collection[str]) -> Iterator[Listener]:
    """Listen to topics while the block runs."""
    listener = Listener(frozenset(topics), asyncio.get_running_loop(), asyncio.Event())
    with _lock:
        _listeners.add(listener)
    try:
        yield listener
    finally:
        with _lock:
            _listeners.discard(listener)


def listeners() -> int:
    """How many streams are open."""
    with _lock:
        return len(_listeners)


async def stream(topics: Collection[str], token: str) -> AsyncIterator[str]:
    """The states of topics as they change, until the page closes or its device is put out."""
    said: dict[str, str] = {}
    quiet = 0
    with listening(topics) as listener:
        yield RETRY
        while (found := await _looked(topics, token)) is not None:
            news = {topic: state for topic, state in found.items() if said.get(topic) != state}
            for topic, state in news.items():
                yield event(topic, state)
            said |= news
            quiet = 0 if news else quiet + 1
            if quiet and quiet % LOOKS_TO_A_SIGN == 0:
                yield SIGN_OF_LIFE
            await _next_look(listener)


async def _next_look(listener: Listener) -> None:
    """Wait until there is news, or until another process may have some."""
    with suppress(TimeoutError):
        await asyncio.wait_for(listener.woken.wait(), LOOK_EVERY)
    listener.woken.clear()


def event(topic: str, state: str) -> str:
    """One event; ``now`` lets a page count by this machine's clock, not by its own."""
    now = round(timezone.now().timestamp() * 1000)
    said = json.dumps({"topic": topic, "state": state, "now": now})
    return f"event: state\ndata: {said}\n\n"


async def _looked(topics: Collection[str], token: str) -> Mapping[str, str] | None:
    return await sync_to_async(_states, thread_sensitive=False)(topics, token)


def _states(topics: Collection[str], token: str) -> Mapping[str, str] | None:
    """What the database says; nothing where it does not answer, None for who may not ask."""
    try:
        if not pairing.is_paired(token, timezone.now()):
            return None
        return {topic: state(topic) for topic in topics}
    except LibraryFailure:
        return {}
    finally:
        connection.close()


def state(topic: str) -> str:
    """A topic's state as a word: a bread's newest revision, all that is marked at a bench."""
    kind, _, key = topic.partition(":")
    if kind == "bench":
        return bench_state(key)
    try:
        return str(newest("formula", key).number)
    except NotInLibrary:
        return ""


def known_topics(asked: Collection[str]) -> tuple[str, ...]:
    """The topics there are among those asked for."""
    known = [t for t in dict.fromkeys(asked) if t.startswith(("bread:", "bench:"))]
    return tuple(known[:MOST_TOPICS])

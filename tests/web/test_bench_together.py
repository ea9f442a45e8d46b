"""Several devices at one bench, and pages that are told what others did."""

import asyncio
import json
import os
import re
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime, timedelta
from http.client import HTTPConnection, HTTPResponse
from typing import Any

import pytest
from django.db import connections
from django.utils import timezone

from doughwright.store.library import save
from doughwright.web import benches, events, pairing
from doughwright.web.models import Bench, Mark

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
BREAD = """\
doughwright: formula/1
name: Rye loaf
yield: {pieces: 2, piece: 500 g}
preparations:
  dough:
    kind: dough
    ingredients: {rye flour: 100 %, water: 80 %, salt: 2 %, instant yeast: 1 %}
process:
  - mix: dough
  - rest: dough
    for: 30 min
"""
STARTS_WITHIN = 30.0
SOON = 2 * events.LOOK_EVERY + 2
"""Seconds within which what another process did is seen, also on a busy machine."""


def bench() -> str:
    key = "0123456789abcdef"
    Bench.objects.create(key=key, bread="rye-loaf", number=1, asked={}, begun=NOW)
    return key


def at_once(work: Callable[[int], None], times: int) -> list[Exception]:
    """Do the same in several threads at one moment; what they raise."""
    together, problems = threading.Barrier(times), []

    def run(number: int) -> None:
        try:
            together.wait()
            work(number)
        except Exception as error:  # noqa: BLE001 - what a thread raises is lost otherwise
            problems.append(error)
        finally:
            connections.close_all()

    threads = [threading.Thread(target=run, args=(n,)) for n in range(times)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return problems


@pytest.mark.usefixtures("library")
def test_of_devices_that_mark_one_step_at_once_one_counts() -> None:
    key = bench()
    for step in range(5):
        problems = at_once(
            lambda n, step=step: benches.mark(key, step, NOW + timedelta(minutes=n)), 6
        )
        assert problems == []
    assert sorted(Mark.objects.values_list("position", flat=True)) == [0, 1, 2, 3, 4]


@pytest.mark.usefixtures("library")
def test_marks_and_unmarks_at_once_leave_one_or_none() -> None:
    key = bench()
    changes: tuple[Callable[[], None], ...] = (
        lambda: benches.mark(key, 0, NOW),
        lambda: benches.unmark(key, 0),
    )
    assert at_once(lambda n: changes[n % 2](), 6) == []
    assert Mark.objects.count() in {0, 1}


@pytest.mark.usefixtures("library")
def test_no_mark_is_added_once_a_bench_is_finished() -> None:
    key = bench()
    changes = [lambda: benches.finish(key, NOW)] + [
        lambda n=n: benches.mark(key, n, NOW) for n in range(4)
    ]
    assert at_once(lambda n: changes[n](), 5) == []
    kept = Mark.objects.count()
    benches.mark(key, 9, NOW)
    assert Mark.objects.count() == kept


def test_a_stream_is_woken_from_any_thread(monkeypatch: pytest.MonkeyPatch) -> None:
    states = {"bench:a": "1"}

    async def looked(*_: object) -> Mapping[str, str]:
        return dict(states)

    async def heard() -> list[str]:
        stream = events.stream(["bench:a"], "")
        said = [await anext(stream), await anext(stream)]

        def change() -> None:
            time.sleep(0.1)
            states["bench:a"] = "2"
            events.announce("bench:b")
            events.announce("bench:a")

        threading.Thread(target=change).start()
        said.append(await asyncio.wait_for(anext(stream), 5))
        assert events.listeners() == 1
        await stream.aclose()  # type: ignore[attr-defined]  # a generator
        assert events.listeners() == 0
        return said

    monkeypatch.setattr(events, "_looked", looked)
    monkeypatch.setattr(events, "LOOK_EVERY", 60.0)  # only the call can be what wakes it
    retry, first, second = asyncio.run(heard())
    assert retry.startswith("retry: ")
    assert [state_in(first), state_in(second)] == ["1", "2"]


def state_in(event: str) -> str:
    found = re.fullmatch(r"event: state\ndata: (\{.*\})\n\n", event)
    assert found is not None
    said = json.loads(found[1])
    assert abs(said["now"] / 1000 - time.time()) < 60
    return str(said["state"])


@contextmanager
def serving(library: Any) -> Iterator[tuple["subprocess.Popen[bytes]", int]]:
    """The server as it is run, in a process of its own."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    command = [sys.executable, "-m", "uvicorn", "doughwright.web.asgi:application"]
    options = ["--port", str(port), "--log-level", "warning", "--timeout-graceful-shutdown", "1"]
    env = {**library.environment, "DJANGO_SETTINGS_MODULE": os.environ["DJANGO_SETTINGS_MODULE"]}
    with subprocess.Popen([*command, *options], env=env, stderr=subprocess.PIPE) as process:
        try:
            until = time.monotonic() + STARTS_WITHIN
            while not listens(port):
                assert time.monotonic() < until
                assert process.poll() is None
                time.sleep(0.1)
            yield process, port
        finally:
            process.kill()


def listens(port: int) -> bool:
    with socket.socket() as probe:
        return probe.connect_ex(("127.0.0.1", port)) == 0


@contextmanager
def pages(port: int, token: str) -> Iterator[Callable[[str], HTTPResponse]]:
    """Open streams, as pages do, and close them all."""
    headers = {"Authorization": f"Bearer {token}", "Accept-Encoding": "gzip"}
    with ExitStack() as open_ones:

        def opened(query: str) -> HTTPResponse:
            connexion = HTTPConnection("127.0.0.1", port, timeout=SOON)
            open_ones.callback(connexion.close)
            connexion.request("GET", f"/events?{query}", headers=headers)
            answer = connexion.getresponse()
            open_ones.callback(answer.close)
            return answer

        yield opened


def next_state(stream: HTTPResponse) -> dict[str, Any]:
    """The next event's data; comments and what tells a browser how to go on are passed over."""
    while line := stream.readline():
        if line.startswith(b"data: "):
            return dict(json.loads(line.removeprefix(b"data: ")))
    pytest.fail("the stream has ended")


def test_a_page_is_told_what_another_process_did_and_the_server_still_stops(library: Any) -> None:
    token = pairing.token_of_program("a page", timezone.now())
    save(BREAD, key="rye-loaf", expected=0, message="", now=NOW)
    key = bench()
    connections.close_all()
    with serving(library) as (process, port), pages(port, token) as opened:
        stream = opened(f"topic=bread:rye-loaf&topic=bench:{key}")
        assert stream.status == 200
        assert stream.headers["Content-Type"].startswith("text/event-stream")
        first = {said["topic"]: said["state"] for said in (next_state(stream), next_state(stream))}
        assert first["bread:rye-loaf"] == "1"
        assert first[f"bench:{key}"] == benches.bench_state(key)
        save(BREAD + "# again\n", key="rye-loaf", expected=1, message="", now=NOW)
        said = next_state(stream)
        assert (said["topic"], said["state"]) == ("bread:rye-loaf", "2")
        benches.mark(key, 0, NOW)
        said = next_state(stream)
        assert (said["topic"], said["state"]) == (f"bench:{key}", benches.bench_state(key))
        others = [opened("topic=bread:rye-loaf") for _ in range(5)]
        assert {next_state(other)["state"] for other in others} == {"2"}
        asked = time.monotonic()
        process.terminate()
        process.wait(timeout=10)
        assert time.monotonic() - asked < 2.5  # a second's grace, and what ending takes
        assert process.stderr is not None
        assert b"Traceback" not in process.stderr.read()


def test_a_stream_ends_when_its_device_is_put_out(library: Any) -> None:
    token = pairing.token_of_program("a page", timezone.now())
    save(BREAD, key="rye-loaf", expected=0, message="", now=NOW)
    connections.close_all()
    with serving(library) as (_, port), pages(port, token) as opened:
        stream = opened("topic=bread:rye-loaf")
        assert next_state(stream)["state"] == "1"
        for device in pairing.devices():
            pairing.revoke(device.number, timezone.now())
        connections.close_all()
        asked = time.monotonic()
        while stream.readline():
            assert time.monotonic() - asked < SOON
        assert opened("topic=bread:rye-loaf").status == 401

"""Several writers, and writers that die: what was said to be saved is there, and nothing else.

Children are forked without a connexion of their own yet, so that each opens its own.
"""

import multiprocessing
import os
import random
import signal
import sqlite3
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager
from datetime import datetime
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, connections

from doughwright.store.errors import Conflict, LibraryFailure
from doughwright.store.library import Stored, history, listed, newest, save
from doughwright.store.models import Document, Revision

Bread = Callable[..., str]
At = Callable[[int], datetime]
Held = Callable[[], AbstractContextManager[None]]
FORK = multiprocessing.get_context("fork") if sys.platform != "win32" else None
forking = pytest.mark.skipif(FORK is None, reason="processes are forked, which Windows cannot")
LONG = "x" * 40_000
"""Enough for a revision to reach over many pages of the database's file."""


def attempt(text: str, expected: int, at: datetime, key: str | None = "rye") -> Stored | Exception:
    try:
        return save(text, key=key, expected=expected, message="", now=at)
    except (Conflict, LibraryFailure) as error:
        return error
    finally:
        connections.close_all()


def in_threads(work: list[Callable[[], Any]]) -> list[Any]:
    """What each piece of work returns, all begun at once."""
    together = threading.Barrier(len(work))
    found: dict[int, Any] = {}

    def run(number: int) -> None:
        together.wait()
        found[number] = work[number]()

    threads = [threading.Thread(target=run, args=(n,)) for n in range(len(work))]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return [found[number] for number in range(len(work))]


@contextmanager
def child(work: Callable[[Connection], None]) -> Iterator[tuple[Any, Connection]]:
    """A process of its own that does some work and can tell."""
    assert FORK is not None
    connections.close_all()
    ours, theirs = FORK.Pipe()
    process = FORK.Process(target=work, args=(theirs,), daemon=True)
    process.start()
    theirs.close()
    try:
        yield process, ours
    finally:
        process.kill()
        process.join()


def begin(bread: Bread, at: At) -> None:
    save(bread(), key="rye", expected=0, message="", now=at(0))


def assert_one_won(results: list[Any], texts: list[str]) -> None:
    won = [result for result in results if isinstance(result, Stored)]
    lost = [result for result in results if isinstance(result, Conflict)]
    assert (len(won), len(lost)) == (1, len(results) - 1), results
    assert {error.newest for error in lost} == {won[0]}
    assert sorted([won[0].text, *(error.text for error in lost)]) == sorted(texts)


@pytest.mark.usefixtures("library")
def test_of_writers_with_the_same_revision_one_wins(bread: Bread, at: At) -> None:
    for known in range(6):  # 0: all of them make the first
        texts = [bread(salt=f"{known + 1}.{n} %") for n in range(1, 7)]
        work = [lambda t=text, n=known: attempt(t, n, at(1)) for text in texts]
        assert_one_won(in_threads(work), texts)
    assert [row.number for row in history("formula", "rye")] == [6, 5, 4, 3, 2, 1]


@pytest.mark.usefixtures("library")
def test_writers_of_new_breads_with_one_name_all_get_a_key(bread: Bread, at: At) -> None:
    texts = [bread(salt=f"1.{n} %") for n in range(6)]
    made = in_threads([lambda t=text: attempt(t, 0, at(1), None) for text in texts])
    assert sorted(row.text for row in made) == sorted(texts)
    keys = {"rye-loaf", *(f"rye-loaf-{n}" for n in range(2, 7))}
    assert {item.key for item in listed("formula")} == {row.key for row in made} == keys


@forking
@pytest.mark.usefixtures("library")
def test_of_two_processes_with_the_same_revision_one_wins(bread: Bread, at: At) -> None:
    begin(bread, at)
    texts = [bread(salt=f"{n} %") for n in (3, 4)]

    def work(text: str, pipe: Connection) -> None:
        pipe.send("ready")
        pipe.recv()
        result = attempt(text, 1, at(1))
        won = isinstance(result, Stored)
        pipe.send(result if won else (result.newest, result.text, result.expected))

    with (
        child(lambda pipe: work(texts[0], pipe)) as (_, first),
        child(lambda pipe: work(texts[1], pipe)) as (_, second),
    ):
        for pipe in (first, second):
            assert pipe.recv() == "ready"
        for pipe in (first, second):
            pipe.send("go")
        results = [first.recv(), second.recv()]
    lost = [
        Conflict(found[0], text=found[1], expected=found[2])
        for found in results
        if not isinstance(found, Stored)
    ]
    assert_one_won([found for found in results if isinstance(found, Stored)] + lost, texts)


@forking
@pytest.mark.parametrize("seed", range(6))
@pytest.mark.usefixtures("library")
def test_what_was_acknowledged_survives_a_kill(bread: Bread, at: At, seed: int) -> None:
    def write_on(pipe: Connection) -> None:
        for number in range(10_000):
            text = bread(note=f"{number} {LONG}")
            save(text, key="rye", expected=number, message=str(number), now=at(0))
            pipe.send(number + 1)

    chance = random.Random(seed)  # noqa: S311 - moments, not secrets
    with child(write_on) as (process, pipe):
        said = pipe.recv()
        time.sleep(chance.uniform(0.0, 0.25))
        os.kill(process.pid, signal.SIGKILL)
        process.join()
        said = max([said, *last_words(pipe)])
    found = history("formula", "rye")
    assert [row.number for row in found] == list(range(len(found), 0, -1))
    assert said <= len(found) <= said + 1  # the last may be saved and not yet told
    assert all(row.text == bread(note=f"{row.number - 1} {LONG}") for row in found)
    assert newest("formula", "rye").number == len(found)
    assert_whole()
    save(bread(), key="rye", expected=len(found), message="", now=at(1))


def last_words(pipe: Connection) -> Iterator[int]:
    try:
        while pipe.poll():
            yield pipe.recv()
    except EOFError:
        return


def assert_whole() -> None:
    assert not Revision.objects.filter(number=0).exists()
    for document in Document.objects.all():
        assert document.revisions.count() == document.newest
    if connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            assert cursor.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            assert cursor.execute("PRAGMA foreign_key_check").fetchall() == []


@pytest.mark.usefixtures("impatient")
def test_a_locked_library_is_said_to_be_and_nothing_is_lost(
    held: Held, bread: Bread, at: At
) -> None:
    begin(bread, at)
    with held():
        began = time.monotonic()
        with pytest.raises(LibraryFailure) as caught:
            save(bread(salt="3 %"), key="rye", expected=1, message="", now=at(1))
        assert [problem.code for problem in caught.value.problems] == ["library-locked"]
        assert 0.2 < time.monotonic() - began < 3
        assert newest("formula", "rye").text == bread()  # reading goes on meanwhile
    assert save(bread(salt="3 %"), key="rye", expected=1, message="", now=at(1)).number == 2
    assert newest("formula", "rye").name == "Rye loaf"


@pytest.mark.usefixtures("library")
def test_a_writer_waits_for_another_that_is_soon_done(held: Held, bread: Bread, at: At) -> None:
    begin(bread, at)

    def hold() -> None:
        with held():
            holding.set()
            time.sleep(0.4)
        connections.close_all()

    holding = threading.Event()
    thread = threading.Thread(target=hold)
    thread.start()
    holding.wait()
    assert save(bread(salt="3 %"), key="rye", expected=1, message="", now=at(1)).number == 2
    thread.join()


def test_a_power_cut_leaves_a_beginning_of_what_was_saved(
    sqlite_library: Any, bread: Bread, at: At, tmp_path: Path
) -> None:
    """Database and log as they lie on the disk at any moment: what a cut would leave there."""
    stop = threading.Event()
    saved: list[int] = []

    def write_on() -> None:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA wal_autocheckpoint=50")  # the log begins anew every few saves
        while not stop.is_set():
            number = len(saved)
            text = bread(note=f"{number} {LONG}")
            save(text, key="rye", expected=number, message="", now=at(0))
            saved.append(number + 1)
        connections.close_all()

    chance = random.Random(7)  # noqa: S311 - moments, not secrets
    writer = threading.Thread(target=write_on)
    writer.start()
    cuts = []
    try:
        while len(saved) < 40 and writer.is_alive():
            time.sleep(chance.uniform(0, 0.1))
            cuts.append((len(saved), cut(sqlite_library.data, tmp_path / str(len(cuts)))))
    finally:
        stop.set()
        writer.join()
    assert len(saved) >= 40
    for said, file in cuts:
        with closing(sqlite3.connect(file)) as database:
            assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
            rows = database.execute("SELECT number, text FROM doughwright_revision ORDER BY number")
            texts = dict(rows)
            newest_known = database.execute("SELECT max(newest) FROM doughwright_document")
            assert (newest_known.fetchone()[0] or 0) == len(texts) >= said
        assert list(texts) == list(range(1, len(texts) + 1))
        assert all(text == bread(note=f"{n - 1} {LONG}") for n, text in texts.items())


def cut(data: Path, folder: Path) -> Path:
    """Copy the database and then its log, as far as they are written.

    The log is read last: a checkpoint in between moves pages into the database that the log
    still holds, and a log begun anew would be newer than the copy. That is seen and tried again.
    """
    folder.mkdir()
    log = data / "library.sqlite3-wal"
    while True:
        before = log.read_bytes()[:32] if log.exists() else b""
        (folder / "library.sqlite3").write_bytes((data / "library.sqlite3").read_bytes())
        written = log.read_bytes() if log.exists() else b""
        if written[:32] == before:
            (folder / "library.sqlite3-wal").write_bytes(written)
            return folder / "library.sqlite3"

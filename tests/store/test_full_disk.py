"""A disk that is full or may not be written: it is said, what was there is there and is read."""

import json
import multiprocessing
import shutil
import subprocess
import sys
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from django.db import connections

from doughwright.store.errors import LibraryFailure
from doughwright.store.kept import kept_in
from doughwright.store.library import history, newest, save

Bread = Callable[..., str]
At = Callable[[int], datetime]
Ran = subprocess.CompletedProcess[str]
Command = Callable[..., Ran]

FILL = """
import json, shutil, sys
from datetime import UTC, datetime
from pathlib import Path
from doughwright.store.errors import LibraryFailure
from doughwright.store.opening import open_library

data, text = Path(sys.argv[1]), sys.argv[2]
open_library(data, demo=False)
from doughwright.store.library import history, save
from doughwright.store.backup import backup_to

def saved(number):
    try:
        save(text.replace("NOTE", f"{number} " + "x" * 30_000), key="rye", expected=number,
             message="", now=datetime.now(UTC))
    except LibraryFailure as error:
        return error.problems[0].code
    return ""

saved(0)
filler = data.parent / "filler"
filler.write_bytes(b"0" * max(0, shutil.disk_usage(data).free - 150_000))
known, codes = 1, []
while known < 50 and len(codes) < 3:
    code = saved(known)
    codes += [code] if code else []
    known += not code
before = [row.number for row in history("formula", "rye")]
backup = ""
try:
    backup_to(data.parent / "backup.sqlite3")
except OSError as error:
    backup = type(error).__name__
left = sorted(path.name for path in data.parent.iterdir())
filler.unlink()
after = saved(known)
print(json.dumps({"codes": codes, "known": known, "before": before, "backup": backup,
                  "left": left, "after": after, "now": len(history("formula", "rye"))}))
"""
TINY = 'mount -t tmpfs -o size=1m tmpfs "$1" && shift && exec "$@"'
"""A disk of one megabyte, in a name space of its own that ends with the program."""


READ_ONLY = 'mount --bind "$1" "$1" && mount -o remount,ro,bind "$1" "$1" && shift && exec "$@"'
"""The same folder, but none may write there; not even root, whom no permissions keep."""


def on_a_disk(mount: str, place: Path, *program: str) -> Ran:
    alone = ["unshare", "--map-root-user", "--mount", "sh", "-c", mount, "sh", str(place)]
    return subprocess.run([*alone, *program], capture_output=True, text=True, check=False)


def test_a_full_disk_is_said_to_be_and_nothing_is_lost(tmp_path: Path, bread: Bread) -> None:
    if not shutil.which("unshare") or on_a_disk(TINY, tmp_path, "true").returncode:
        pytest.skip("no small disk can be mounted here")
    data = str(tmp_path / "data")
    ran = on_a_disk(TINY, tmp_path, sys.executable, "-c", FILL, data, bread(note="NOTE"))
    assert ran.returncode == 0, ran.stderr
    told = json.loads(ran.stdout)
    assert told["codes"] == ["library-full"] * 3
    assert told["before"] == list(range(told["known"], 0, -1))
    assert told["backup"] == "OSError"
    assert told["left"] == ["data", "filler"]
    assert (told["after"], told["now"]) == ("", told["known"] + 1)


@pytest.mark.skipif(sys.platform == "win32", reason="limits of a process are not known there")
def test_a_file_that_may_not_grow_is_said_to_be(sqlite_library: Any, bread: Bread, at: At) -> None:
    save(bread(), key="rye", expected=0, message="", now=at(0))
    connections.close_all()
    context = multiprocessing.get_context("fork")
    ours, theirs = context.Pipe()
    process = context.Process(target=lambda: theirs.send(grow(bread, at)))
    process.start()
    theirs.close()
    codes, numbers, after = ours.recv()
    process.join()
    assert codes == ["library-not-written"] * 3
    assert numbers == list(range(len(numbers), 0, -1))
    assert after == len(numbers) + 1
    assert newest("formula", "rye").number == after
    assert sqlite_library.data.is_dir()


def grow(bread: Bread, at: At) -> tuple[list[str], list[int], int]:
    """Save with a limit on the size of every file, then without one."""
    import resource  # noqa: PLC0415 - not on Windows

    _, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, hard))
    known, codes = 1, []
    while len(codes) < 3 and known < 50:
        text = bread(note=f"{known} " + "x" * 30_000)
        try:
            save(text, key="rye", expected=known, message="", now=at(0))
            known += 1
        except LibraryFailure as error:
            codes.append(error.problems[0].code)
    numbers = [row.number for row in history("formula", "rye")]
    resource.setrlimit(resource.RLIMIT_FSIZE, (hard, hard))
    after = save(bread(salt="3 %"), key="rye", expected=known, message="", now=at(1)).number
    connections.close_all()
    return codes, numbers, after


@pytest.fixture
def command(sqlite_library: Any, bread: Bread, at: At) -> Command:
    """Run a command on a library with two revisions of a bread, on a disk that is only read."""
    data = sqlite_library.data
    if not shutil.which("unshare") or on_a_disk(READ_ONLY, data, "true").returncode:
        pytest.skip("no folder can be mounted here to be only read")
    save(bread(), key="rye", expected=0, message="", now=at(0))
    save(bread(salt="3 %"), key="rye", expected=1, message="", now=at(1))

    def run(*words: str) -> Ran:
        before = content(data)
        program = (sys.executable, "-m", "doughwright", *words, "--data", str(data))
        ran = on_a_disk(READ_ONLY, data, *program)
        assert content(data) == before
        return ran

    return run


def content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


@pytest.mark.parametrize("in_use", [False, True])
@pytest.mark.parametrize("name", ["kept.sqlite3", "kept.zip"])
def test_what_may_not_be_written_is_exported_and_backed_up(
    command: Command, tmp_path: Path, bread: Bread, name: str, *, in_use: bool
) -> None:
    if not in_use:  # the log stays as long as somebody has the library open
        connections.close_all()
    exported = command("export", str(tmp_path / "out"))
    assert exported.returncode == 0, exported.stderr
    assert (tmp_path / "out/breads/rye.yaml").read_text("utf-8") == bread(salt="3 %")
    backed_up = command("backup", str(tmp_path / name))
    assert backed_up.returncode == 0, backed_up.stderr
    (rye,) = kept_in(tmp_path / name)
    assert [row.text for row in rye.revisions] == [bread(), bread(salt="3 %")]


def test_a_log_that_cannot_be_read_is_not_passed_over(
    command: Command, sqlite_library: Any, tmp_path: Path
) -> None:
    data, (library, log) = sqlite_library.data, ("library.sqlite3", "library.sqlite3-wal")
    copied = content(data)
    connections.close_all()
    (data / library).write_bytes(copied[library])
    (data / log).write_bytes(copied[log])
    refused = command("export", str(tmp_path / "out"))
    assert refused.returncode == 3
    assert f"what was saved last is in {log}" in " ".join(refused.stderr.split())


@pytest.mark.parametrize("words", [("serve", "--no-browser"), ("import", "nothing.yaml")])
def test_what_has_to_write_says_that_it_cannot(command: Command, words: tuple[str, ...]) -> None:
    connections.close_all()
    refused = command(*words)
    assert refused.returncode != 0, refused
    assert "cannot be written" in " ".join(refused.stderr.split())
    assert "Traceback" not in refused.stderr

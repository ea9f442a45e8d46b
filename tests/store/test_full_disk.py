"""A disk that is full: the save says so, what was there is there, and later saves work."""

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
from doughwright.store.library import history, newest, save

Bread = Callable[..., str]
At = Callable[[int], datetime]

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


def on_a_tiny_disk(place: Path, *program: str) -> subprocess.CompletedProcess[str]:
    alone = ["unshare", "--map-root-user", "--mount", "sh", "-c", TINY, "sh", str(place)]
    return subprocess.run([*alone, *program], capture_output=True, text=True, check=False)


def test_a_full_disk_is_said_to_be_and_nothing_is_lost(tmp_path: Path, bread: Bread) -> None:
    if not shutil.which("unshare") or on_a_tiny_disk(tmp_path, "true").returncode:
        pytest.skip("no small disk can be mounted here")
    data = str(tmp_path / "data")
    ran = on_a_tiny_disk(tmp_path, sys.executable, "-c", FILL, data, bread(note="NOTE"))
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


def test_a_library_that_may_not_be_written_can_be_read(
    sqlite_library: Any, bread: Bread, at: At
) -> None:
    save(bread(), key="rye", expected=0, message="", now=at(0))
    connections.close_all()
    file = (sqlite_library.data / "library.sqlite3").as_uri()
    connections.settings["default"]["NAME"] = f"{file}?mode=ro"
    with pytest.raises(LibraryFailure) as caught:
        save(bread(salt="3 %"), key="rye", expected=1, message="", now=at(1))
    assert caught.value.problems[0].code == "library-not-written"
    assert newest("formula", "rye").text == bread()

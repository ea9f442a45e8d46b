"""Import, export, backup, restore, as a baker calls them.

Whether they find the right library is tried in processes of their own; what they do to it
in this one, which is pointed at a library of the test's.
"""

import subprocess
import sys
import zipfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result
from django.db import connections

from doughwright.cli import doughwright
from doughwright.store.folders import contents
from doughwright.store.library import history

EXAMPLES = Path(__file__).parents[2] / "examples"
ROLLS = EXAMPLES / "potato-rolls.yaml"
FOUR = ("import", "export", "backup", "restore")


def process(*words: str) -> "subprocess.CompletedProcess[str]":
    return subprocess.run(
        [sys.executable, "-m", "doughwright", *words],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def run(*words: str) -> Result:
    result = CliRunner().invoke(doughwright, list(words))
    assert isinstance(result.exception, SystemExit | None), result.exception
    return result


def done(*words: str) -> str:
    result = run(*words)
    assert (result.exit_code, result.stderr) == (0, ""), result.output
    return result.stdout


def refused(code: int, says: str, *words: str) -> Result:
    result = run(*words)
    assert result.exit_code == code, result.output
    assert says in " ".join(result.stderr.split())
    return result


@pytest.fixture
def here(monkeypatch: pytest.MonkeyPatch) -> None:
    """The commands work on the library that this process is pointed at."""
    monkeypatch.setattr("doughwright.store.opening._say_where", lambda *_: None)


@pytest.mark.parametrize("name", FOUR)
def test_help_loads_no_database(name: str) -> None:
    program = (
        "import sys; sys.argv = ['doughwright', sys.argv[1], '--help']\n"
        "from doughwright.cli import main\n"
        "try: main()\n"
        "finally: print('django' in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", program, name], capture_output=True, text=True, check=True
    )
    assert "--data" in ran.stdout
    assert ran.stdout.endswith("False\n")


@pytest.mark.usefixtures("library", "here")
def test_the_library_goes_out_and_comes_back(tmp_path: Path) -> None:
    told = done("import", str(EXAMPLES), "--message", "The class.")
    assert "potato-rolls.yaml: formula potato-rolls, revision 1, new" in told
    assert "README.md: left alone" in told
    assert history("formula", "potato-rolls")[0].message == "The class."
    count = len(contents())

    folder, archive = tmp_path / "class", tmp_path / "class.zip"
    assert f"{count} files written" in done("export", str(folder))
    assert (folder / "breads/potato-rolls.yaml").read_bytes() == ROLLS.read_bytes()
    assert f"{archive}: written." in done("export", str(archive))
    assert "unchanged" in done("import", str(folder / "breads"))

    backup = tmp_path / "all.zip"
    done("backup", str(backup))
    with zipfile.ZipFile(backup) as packed:
        assert packed.read("formula/potato-rolls/1.yaml") == ROLLS.read_bytes()
    (tmp_path / "potato-rolls.yaml").write_text(
        ROLLS.read_text("utf-8").replace("Potato rolls", "Rolls"), "utf-8"
    )
    assert "revision 2, changed" in done("import", str(tmp_path / "potato-rolls.yaml"))
    refused(1, "is not empty", "restore", str(backup))
    assert len(history("formula", "potato-rolls")) == 2
    told = done("restore", str(backup), "--replace")
    assert f"{count} documents restored" in told
    assert len(history("formula", "potato-rolls")) == 1
    former = told.splitlines()[-1].removeprefix("What was there before is kept in ")
    done("restore", former, "--replace")
    assert len(history("formula", "potato-rolls")) == 2


@pytest.mark.usefixtures("sqlite_library", "here")
def test_a_file_that_is_refused_ends_with_1_and_the_others_are_imported(tmp_path: Path) -> None:
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text("doughwright: formula/1\nname: Wrong\nyield: {piece: 90}\n")
    paths = [str(wrong), str(ROLLS), str(tmp_path / "none.yaml")]
    ran = refused(1, "wrong.yaml:3:16", "import", *paths)
    assert "none.yaml cannot be read (No such file or directory)" in ran.stderr
    assert "formula potato-rolls, revision 1, new" in ran.stdout
    assert set(contents()) == {"breads/potato-rolls.yaml"}


@pytest.mark.usefixtures("sqlite_library", "here")
def test_an_export_that_would_write_over_something_else_ends_with_1(tmp_path: Path) -> None:
    done("import", str(ROLLS))
    folder, archive = tmp_path / "class", tmp_path / "class.zip"
    mine = folder / "breads/potato-rolls.yaml"
    mine.parent.mkdir(parents=True)
    for path in (mine, archive):
        path.write_text("my notes")
    refused(1, "say something else than the library: breads/pot", "export", str(folder))
    refused(1, "is there already", "export", str(archive))
    refused(1, "is there already", "backup", str(archive))
    assert {path.read_text() for path in (mine, archive)} == {"my notes"}
    done("export", str(folder), "--replace")
    assert mine.read_bytes() == ROLLS.read_bytes()


@pytest.mark.usefixtures("sqlite_library", "here")
def test_a_backup_without_a_name_is_named_by_the_time(tmp_path: Path) -> None:
    told = done("backup", str(tmp_path))
    (path,) = tmp_path.glob("doughwright-*.sqlite3")
    assert told == f"{path}: written.\n"


@pytest.mark.parametrize(
    "harm",
    [
        lambda content: b"a shopping list " * (len(content) // 32),
        lambda content: content[:4096] + bytes(4096) * 3 + content[4 * 4096 :],
        lambda content: content[: len(content) // 2],
    ],
    ids=["something else", "pages lost", "cut"],
)
@pytest.mark.usefixtures("here")
def test_a_damaged_library_is_kept_and_a_backup_restored(
    sqlite_library: Any, tmp_path: Path, harm: Callable[[bytes], bytes]
) -> None:
    done("import", str(EXAMPLES))
    count = len(contents())
    connections.close_all()
    backup = tmp_path / "all.sqlite3"
    done("backup", str(backup))
    file = sqlite_library.data / "library.sqlite3"
    damaged = harm(file.read_bytes())
    file.write_bytes(damaged)
    assert run("restore", str(backup)).exit_code in {
        1,
        3,
    }  # damaged, or not empty: nothing is done unasked
    assert file.read_bytes() == damaged
    refused(1, "is no backup", "restore", str(ROLLS), "--replace")
    assert file.read_bytes() == damaged
    told = done("restore", str(backup), "--replace")
    kept = Path(told.splitlines()[-1].removeprefix("What was there before is kept in "))
    assert kept.name.startswith("library-damaged-")
    assert kept.read_bytes() == damaged
    assert len(contents()) == count


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("backup", "--data", "no-such-library"), 3, "there is none yet"),
        (("export", "out", "--data", "no-such-library"), 3, "there is none yet"),
        (("restore", "no-such-file.zip", "--data", "{tmp}"), 3, "No such file"),
        (("restore", str(ROLLS), "--data", "{tmp}"), 1, "is no backup of a library"),
        (("import", "--data", "{tmp}"), 2, "Missing argument"),
        (("import", str(ROLLS), "--database", "mysql://x@y/z"), 3, "is no database"),
        (("import", str(ROLLS), "--data", str(ROLLS)), 2, "is a file"),
        (("import", str(ROLLS), "--data", f"{ROLLS}/in"), 3, "cannot be opened"),
    ],
    ids=lambda value: " ".join(value[:2]) if isinstance(value, tuple) else "",
)
def test_what_cannot_be_done_is_said_with_its_code(
    tmp_path: Path, words: tuple[str, ...], code: int, says: str
) -> None:
    ran = process(*(word.format(tmp=tmp_path / "data") for word in words))
    assert ran.returncode == code, ran
    assert says in " ".join(ran.stderr.split())
    assert "Traceback" not in ran.stderr
    assert not Path("no-such-library").exists()


def test_a_library_is_found_by_its_folder_and_by_the_environment(
    library: Any, tmp_path: Path
) -> None:
    ran = process("import", str(ROLLS), *library.options)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert set(contents()) == {"breads/potato-rolls.yaml"}
    out = tmp_path / "out"
    ran = subprocess.run(
        [sys.executable, "-m", "doughwright", "export", str(out)],
        env=library.environment,
        check=True,
        capture_output=True,
        text=True,
    )
    assert (out / "breads/potato-rolls.yaml").read_bytes() == ROLLS.read_bytes()

"""Out into files and back again; and files that nobody should trust."""

import io
import os
import stat
import zipfile
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest

from doughwright.documents.nodes import LARGEST_TEXT
from doughwright.errors import StoreError
from doughwright.store import arriving
from doughwright.store.demo import demo_folder
from doughwright.store.folders import (
    ImportReport,
    as_zip,
    contents,
    export_to,
    import_from,
    import_uploads,
)
from doughwright.store.library import drop, history, listed, newest, save
from doughwright.store.models import Document

Bread = Callable[..., str]
At = Callable[[int], datetime]
KITCHEN = "doughwright: kitchen/1\nname: Home\n"


def outcomes(report: ImportReport) -> dict[str, str]:
    return {row.file: row.outcome for row in report.imported}


def refusals(report: ImportReport) -> dict[str, str]:
    return {row.file: row.problems[0].code for row in report.refused}


def zipped(files: dict[str, bytes | str]) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(name, content)
    return packed.getvalue()


@pytest.fixture
def filled(library: object, bread: Bread, at: At) -> dict[str, bytes]:
    """A library with several kinds, texts with odd line ends, and one dropped."""
    del library
    import_from([demo_folder()], at(0))
    save(bread("Ржаной").replace("\n", "\r\n"), key=None, expected=0, message="", now=at(1))
    save(bread("a" * 60), key=None, expected=0, message="", now=at(1))
    save(bread("a" * 60, "3 %"), key=None, expected=0, message="", now=at(1))
    save(bread("Gone"), key=None, expected=0, message="", now=at(1))
    drop("formula", "gone", expected=1, now=at(2))
    return contents()


def test_out_and_in_again_gives_the_same_words_under_the_same_keys(
    filled: dict[str, bytes], at: At, tmp_path: Path
) -> None:
    written = export_to(tmp_path / "out")
    assert set(written) == set(filled)
    assert "breads/gone.yaml" not in filled
    for name, text in filled.items():
        assert (tmp_path / "out" / name).read_bytes() == text
    archive = as_zip()
    (tmp_path / "all.zip").write_bytes(archive)
    for source in ("out", "all.zip"):
        Document.objects.all().delete()
        report = import_from([tmp_path / source], at(3))
        assert set(outcomes(report).values()) == {"new"}
        assert (report.refused, contents()) == ((), filled)
    Document.objects.all().delete()
    assert not import_uploads([("all.zip", archive)], at(4)).refused
    assert contents() == filled


def test_the_same_library_gives_the_same_bytes(filled: dict[str, bytes], at: At) -> None:
    first = as_zip()
    assert as_zip() == first
    Document.objects.all().delete()
    import_uploads([("all.zip", first)], at(900))
    assert as_zip() == first
    with zipfile.ZipFile(io.BytesIO(first)) as archive:
        assert archive.namelist() == sorted(filled)
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}


def test_the_demo_comes_from_the_examples_under_their_own_names(filled: dict[str, bytes]) -> None:
    assert len([name for name in filled if name.startswith("breads/")]) == 8 + 3
    for path in demo_folder().glob("*.yaml"):
        (name,) = [n for n in filled if filled[n] == path.read_bytes()]
        assert Path(name).stem == path.name.split(".")[0]


@pytest.mark.usefixtures("library")
def test_known_words_are_left_alone_and_others_are_a_revision(
    bread: Bread, at: At, tmp_path: Path
) -> None:
    file = tmp_path / "Rye Loaf.yaml"
    for text, outcome in ((bread(), "new"), (bread(), "unchanged"), (bread(salt="3 %"), "changed")):
        file.write_text(text, "utf-8")
        assert outcomes(import_from([file], at(0), "From the class.")) == {file.name: outcome}
    assert [row.message for row in history("formula", "rye-loaf")] == ["From the class."] * 2
    drop("formula", "rye-loaf", expected=2, now=at(1))
    assert outcomes(import_from([file], at(2))) == {file.name: "unchanged"}
    assert [item.key for item in listed("formula")] == ["rye-loaf"]


@pytest.mark.usefixtures("library")
def test_an_export_writes_over_nothing_that_says_something_else(
    bread: Bread, at: At, tmp_path: Path
) -> None:
    save(bread(), key=None, expected=0, message="", now=at(0))
    save(bread("Bun"), key=None, expected=0, message="", now=at(0))
    export_to(tmp_path)
    assert export_to(tmp_path) == ()
    mine = tmp_path / "breads/bun.yaml"
    mine.write_text("my own notes")
    save(bread(salt="3 %"), key="rye-loaf", expected=1, message="", now=at(1))
    with pytest.raises(StoreError, match="export-differs"):
        export_to(tmp_path)
    assert mine.read_text() == "my own notes"
    assert "3 %" not in (tmp_path / "breads/rye-loaf.yaml").read_text("utf-8")
    assert set(export_to(tmp_path, replace=True)) == {"breads/bun.yaml", "breads/rye-loaf.yaml"}
    assert sorted(path.name for path in (tmp_path / "breads").iterdir()) == [
        "bun.yaml",
        "rye-loaf.yaml",
    ]


@pytest.mark.parametrize("way", ["a folder for a file", "a file for a folder", "a file for all"])
def test_an_export_that_cannot_be_whole_writes_nothing(
    filled: dict[str, bytes], tmp_path: Path, way: str
) -> None:
    out, last = tmp_path / "out", max(filled)
    if way == "a folder for a file":
        blocked = out / last
        blocked.mkdir(parents=True)
    else:
        blocked = out / Path(last).parent if way == "a file for a folder" else out
        blocked.parent.mkdir(exist_ok=True)
        blocked.write_text("mine")
    for replace in (False, True):
        with pytest.raises(StoreError) as caught:
            export_to(out, replace=replace)
        (problem,) = caught.value.problems
        assert (problem.code, problem.values["files"]) == ("export-in-the-way", str(blocked))
    assert [path for path in out.rglob("*") if path.is_file() and path != blocked] == []


@pytest.mark.usefixtures("library")
def test_each_file_that_is_refused_says_why_and_the_others_are_imported(
    bread: Bread, at: At, tmp_path: Path
) -> None:
    files = {
        "a/rye.yaml": bread().encode(),
        "b/rye.yml": bread(salt="3 %").encode(),
        "latin.yaml": "doughwright: kitchen/1\nname: Küche\n".encode("latin-1"),
        "long.yaml": bread(note="x" * LARGEST_TEXT).encode(),
        "longer.yaml": b"#" * (4 * LARGEST_TEXT + 1),
        "bomb.yaml": b"a: &a [x, x]\nb: &b [*a, *a]\n",
        "slip.yaml": bread(salt="2").encode(),
        "other.yaml": b"doughwright: oven/1\nname: x\n",
        "empty.yaml": b"",
        "home.kitchen.yaml": KITCHEN.encode(),
        "notes.txt": b"not ours",
        ".git/config.yaml": b"hidden",
        "._home.yaml": b"\0\1",
    }
    for name, content in files.items():
        path = tmp_path / "class" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    report = import_from([tmp_path / "class"], at(0))
    assert {row.file: (row.kind, row.key) for row in report.imported} == {
        "a/rye.yaml": ("formula", "rye"),
        "home.kitchen.yaml": ("kitchen", "home"),
    }
    assert refusals(report) == {
        "b/rye.yml": "import-twice",
        "latin.yaml": "import-not-text",
        "long.yaml": "text-too-long",
        "longer.yaml": "import-too-long",
        "bomb.yaml": "no-anchors",
        "slip.yaml": "bare-number",
        "other.yaml": "unknown-document",
        "empty.yaml": "not-a-document",
    }
    assert report.left_alone == ("._home.yaml", "notes.txt")
    (slip,) = [row for row in report.refused if row.file == "slip.yaml"]
    assert slip.problems[0].place is not None
    assert (slip.problems[0].place.file, slip.problems[0].place.line) == ("slip.yaml", 9)


@pytest.mark.skipif(os.name == "nt", reason="links and pipes are not made there by everyone")
@pytest.mark.usefixtures("library")
def test_a_folder_is_never_left(bread: Bread, at: At, tmp_path: Path) -> None:
    outside, inside = tmp_path / "outside", tmp_path / "inside"
    for folder in (outside, inside):
        folder.mkdir()
    (outside / "secret.yaml").write_text(bread("Secret"), "utf-8")
    (inside / "own.yaml").write_text(bread("Own"), "utf-8")
    (inside / "link.yaml").symlink_to(outside / "secret.yaml")
    (inside / "up.yaml").symlink_to("../outside/secret.yaml")
    (inside / "folder").symlink_to(outside)
    (inside / "round").symlink_to(inside)
    (inside / "loop.yaml").symlink_to("loop.yaml")
    (inside / "twin.yaml").symlink_to("own.yaml")
    os.mkfifo(inside / "pipe.yaml")
    (inside / "device.yaml").symlink_to("/dev/zero")
    report = import_from([inside], at(0))
    assert set(outcomes(report)) == {"own.yaml", "twin.yaml"}
    assert refusals(report) == {
        "device.yaml": "import-outside",
        "link.yaml": "import-outside",
        "loop.yaml": "import-unreadable",
        "pipe.yaml": "import-unreadable",
        "up.yaml": "import-outside",
    }
    assert report.left_alone == ()
    (pipe,) = [row for row in report.refused if row.file == "pipe.yaml"]
    assert "no file, but a pipe" in str(pipe.problems[0].values["says"])
    assert refusals(import_from([inside / "pipe.yaml"], at(0))) == {
        "pipe.yaml": "import-unreadable"
    }
    assert {item.key for item in listed("formula")} == {"own", "twin"}


@pytest.mark.usefixtures("library")
def test_an_archive_is_not_trusted(bread: Bread, at: At, tmp_path: Path) -> None:
    link = zipfile.ZipInfo("link.yaml")
    link.external_attr = (stat.S_IFLNK | 0o777) << 16
    packed = io.BytesIO(
        zipped(
            {
                "../up.yaml": bread(),
                "breads/../../up.yaml": bread(),
                "/etc/root.yaml": bread(),
                "C:\\drive.yaml": bread(),
                "..\\back.yaml": bread(),
                "bomb.yaml": b" " * 50_000_000,
                "own.yaml": bread("Own"),
                "inner.zip": zipped({"x.yaml": bread()}),
                "__MACOSX/own.yaml": b"\0",
            }
        )
    )
    with zipfile.ZipFile(packed, "a") as archive:
        archive.writestr(link, "/etc/passwd")
    report = import_uploads([("class.zip", packed.getvalue())], at(0))
    outside = ["../up.yaml", "breads/../../up.yaml", "/etc/root.yaml", "link.yaml"]
    windows = {row.file for row in report.refused if "drive" in row.file or "back" in row.file}
    assert len(windows) == 2
    assert refusals(report) == {
        **dict.fromkeys([*outside, *windows], "import-outside"),
        "bomb.yaml": "import-too-long",
    }
    assert outcomes(report) == {"own.yaml": "new"}
    assert list(tmp_path.rglob("*.yaml")) == []


@pytest.mark.usefixtures("library")
def test_a_damaged_archive_is_refused_by_its_name(bread: Bread, at: At, tmp_path: Path) -> None:
    whole = bytearray(zipped({"own.yaml": bread("Own"), "two.yaml": bread("Two")}))
    start = whole.index(b"own.yaml") + len("own.yaml")
    whole[start : start + 40] = bytes(40)
    (tmp_path / "harmed.zip").write_bytes(whole)
    (tmp_path / "cut.zip").write_bytes(zipped({"own.yaml": bread()})[:-30])
    report = import_from([tmp_path / "harmed.zip"], at(0))
    assert refusals(report) == {"own.yaml": "import-unreadable"}
    assert outcomes(report) == {"two.yaml": "new"}
    report = import_from([tmp_path / "cut.zip", tmp_path / "none.yaml"], at(0))
    assert refusals(report) == {"cut.zip": "import-unreadable", "none.yaml": "import-unreadable"}
    assert "damaged or incomplete zip" in str(report.refused[0].problems[0].values["says"])
    head = (tmp_path / "cut.zip").read_bytes()
    for name in ("cut.zip", "cut.yaml"):
        assert refusals(import_uploads([(name, head)], at(0))) == {name: "import-unreadable"}


@pytest.mark.usefixtures("library")
def test_there_is_an_end_to_what_is_imported_at_once(
    bread: Bread, at: At, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(arriving, "MOST_FILES", 3)
    files = [(f"n{number}.yaml", bread(f"N{number}").encode()) for number in range(9)]
    report = import_uploads(files, at(0))
    assert len(report.imported) == 3
    assert refusals(report) == {"n3.yaml": "import-too-many"}
    monkeypatch.setattr(arriving, "MOST_FILES", 99)
    monkeypatch.setattr(arriving, "MOST_BYTES", 2 * len(files[0][1]))
    assert refusals(import_uploads(files, at(0))) == {"n2.yaml": "import-too-many"}


@pytest.mark.usefixtures("library")
def test_names_that_are_not_ours_lead_to_keys_that_are(bread: Bread, at: At) -> None:
    files = {"New.yaml": "new-bread", "../../x y.yaml": "x-y", "Ж.yaml": "bread", ".yaml": "yaml"}
    for name, key in files.items():
        report = import_uploads([(name, bread(name).encode())], at(0))
        assert [row.key for row in report.imported] == [key], report
        assert newest("formula", key).text == bread(name)

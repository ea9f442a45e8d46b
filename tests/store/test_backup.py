"""Backups: all of it, while it is in use; restored on either database, or not at all."""

import io
import json
import sqlite3
import threading
import zipfile
from collections.abc import Callable
from contextlib import closing
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from django.db import connection, connections

from doughwright.errors import StoreError
from doughwright.store.backup import backup_to, former_path, restore_from
from doughwright.store.demo import demo_folder
from doughwright.store.folders import contents, import_from
from doughwright.store.kept import INDEX
from doughwright.store.library import drop, history, listed, newest, save
from doughwright.store.models import Document, Revision

Bread = Callable[..., str]
At = Callable[[int], datetime]
COLUMNS = ("document__kind", "document__key", "document__created", "document__dropped")
SAID = (
    "document__name",
    "document__tags",
    "document__newest",
    "number",
    "text",
    "message",
    "saved",
)


def everything() -> list[Any]:
    rows = Revision.objects.order_by("document__kind", "document__key", "number")
    return list(rows.values_list(*COLUMNS, *SAID))


def codes(error: Any) -> list[str]:
    return [problem.code for problem in error.value.problems]


@pytest.fixture
def filled(library: Any, bread: Bread, at: At) -> Any:
    import_from([demo_folder()], at(0), "The demo.")
    for number in range(3):
        text = bread(salt=f"{number + 1} %").replace("\n", "\r\n")
        save(text, key="rye", expected=number, message=f"Salt, “{number}”.", now=at(number))
    save(bread("Gone"), key=None, expected=0, message="", now=at(1))
    drop("formula", "gone", expected=1, now=at(2))
    return library


def archive(path: Path, change: Callable[[dict[str, bytes]], None]) -> Path:
    """Change what is in an archive."""
    with zipfile.ZipFile(path) as packed:
        files = {name: packed.read(name) for name in packed.namelist()}
    change(files)
    changed = path.with_name("changed.zip")
    with zipfile.ZipFile(changed, "w") as packed:
        for name, content in files.items():
            packed.writestr(name, content)
    return changed


def empty() -> None:
    Document.objects.all().delete()


def test_every_revision_comes_back_from_an_archive(filled: Any, tmp_path: Path) -> None:
    before = everything()
    backup_to(tmp_path / "all.zip")
    empty()
    assert restore_from(tmp_path / "all.zip") == len({row[:2] for row in before})
    assert everything() == before
    assert not connection.in_atomic_block
    assert filled.vendor == connection.vendor


def test_an_archive_is_the_same_bytes_each_time(filled: Any, tmp_path: Path) -> None:
    del filled
    for name in ("one.zip", "two.zip"):
        backup_to(tmp_path / name)
    empty()
    restore_from(tmp_path / "one.zip")
    backup_to(tmp_path / "three.zip")
    assert len({(tmp_path / f"{n}.zip").read_bytes() for n in ("one", "two", "three")}) == 1


def test_a_copy_of_a_sqlite_library_restores_on_either(
    filled: Any, tmp_path: Path, sqlite_mould: Path
) -> None:
    before = everything()
    backup_to(tmp_path / "all.zip")
    copy = tmp_path / "copy.sqlite3"
    if filled.vendor == "sqlite":
        backup_to(copy)
    else:
        with pytest.raises(StoreError) as caught:
            backup_to(copy)
        assert codes(caught) == ["backup-needs-archive"]
        copy = as_sqlite(before, copy, sqlite_mould)
    with closing(sqlite3.connect(copy)) as database:
        assert database.execute("PRAGMA journal_mode").fetchone() == ("delete",)
    assert {path.name for path in tmp_path.iterdir()} <= {"all.zip", "copy.sqlite3", "data"}
    empty()
    restore_from(copy)
    assert everything() == before


def as_sqlite(rows: list[Any], path: Path, mould: Path) -> Path:
    """The same rows in a SQLite library, written by hand."""
    path.write_bytes(mould.read_bytes())
    with closing(sqlite3.connect(path)) as database:
        for kind, key, created, dropped, name, tags, newest_number, *revision in rows:
            database.execute(
                "INSERT OR IGNORE INTO doughwright_document"
                " (kind, key, created, dropped, name, tags, newest, figures_of)"
                " VALUES (?, ?, ?, ?, ?, ?, ?, 0)",
                (
                    kind,
                    key,
                    str(created),
                    dropped and str(dropped),
                    name,
                    json.dumps(tags),
                    newest_number,
                ),
            )
            database.execute(
                "INSERT INTO doughwright_revision (document_id, number, text, message, saved)"
                " SELECT id, ?, ?, ?, ? FROM doughwright_document WHERE kind = ? AND key = ?",
                (*revision[:3], str(revision[3]), kind, key),
            )
        database.commit()
        database.execute("PRAGMA journal_mode=DELETE")
    return path


def test_a_library_with_something_in_it_gives_way_only_when_asked(
    filled: Any, bread: Bread, at: At, tmp_path: Path
) -> None:
    backup_to(tmp_path / "all.zip")
    backed_up = everything()
    save(bread(salt="9 %"), key="rye", expected=3, message="Since then.", now=at(9))
    since = everything()
    with pytest.raises(StoreError) as caught:
        restore_from(tmp_path / "all.zip")
    assert codes(caught) == ["library-not-empty"]
    assert everything() == since
    former = filled.data / former_path(at(9)).name
    former.parent.mkdir(exist_ok=True)
    restore_from(tmp_path / "all.zip", former=former)
    assert everything() == backed_up
    with pytest.raises(StoreError) as caught:  # a former one is never written over
        restore_from(tmp_path / "all.zip", former=former)
    assert codes(caught) == ["file-exists"]
    restore_from(former, former=tmp_path / f"second{former.suffix}")
    assert everything() == since
    assert save(bread(), key="rye", expected=4, message="", now=at(10)).number == 5


def test_who_has_the_library_open_sees_the_restored_one(
    filled: Any, bread: Bread, at: At, tmp_path: Path
) -> None:
    del filled
    other = connections.create_connection("default")
    with closing(other), other.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM doughwright_revision")
        backup_to(tmp_path / "all.zip")
        known = len(everything())
        save(bread("Since"), key=None, expected=0, message="", now=at(9))
        restore_from(tmp_path / "all.zip", former=tmp_path / "former.zip.db.zip") if (
            connection.vendor == "postgresql"
        ) else restore_from(tmp_path / "all.zip", former=tmp_path / "former.sqlite3")
        cursor.execute("SELECT count(*) FROM doughwright_revision")
        assert cursor.fetchone() == (known,)


def test_a_backup_taken_while_somebody_writes_is_of_one_moment(
    library: Any, bread: Bread, at: At, tmp_path: Path
) -> None:
    save(bread(), key="rye", expected=0, message="", now=at(0))
    stop, known = threading.Event(), [1]

    def write_on() -> None:
        while not stop.is_set():
            text = bread(note=f"{known[-1]} " + "x" * 20_000)
            known.append(save(text, key="rye", expected=known[-1], message="", now=at(0)).number)
        connections.close_all()

    writer = threading.Thread(target=write_on)
    writer.start()
    made = []
    try:
        for number in range(4):
            path = tmp_path / f"{number}{'.sqlite3' if library.vendor == 'sqlite' else '.zip'}"
            said = known[-1]
            backup_to(path)
            made.append((said, path))
    finally:
        stop.set()
        writer.join()
    for said, path in made:
        empty()
        restore_from(path)
        found = history("formula", "rye")
        assert [row.number for row in found] == list(range(len(found), 0, -1))
        assert len(found) >= said
        assert newest("formula", "rye") == found[0]


def test_a_backup_replaces_no_file(filled: Any, tmp_path: Path) -> None:
    del filled
    for name in ("there.zip", "there.sqlite3"):
        (tmp_path / name).write_text("mine")
        with pytest.raises(StoreError) as caught:
            backup_to(tmp_path / name)
        assert codes(caught) == ["file-exists"]
        assert (tmp_path / name).read_text() == "mine"


def index_without(key: str) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        index = json.loads(files[INDEX])
        del index[key]
        files[INDEX] = json.dumps(index).encode()

    return change


def first_document(**said: Any) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        index = json.loads(files[INDEX])
        index["documents"][0] |= said
        files[INDEX] = json.dumps(index).encode()

    return change


def a_document_twice(files: dict[str, bytes]) -> None:
    index = json.loads(files[INDEX])
    index["documents"].append(index["documents"][0])
    files[INDEX] = json.dumps(index).encode()


def set_file(name: str, content: bytes) -> Callable[[dict[str, bytes]], None]:
    return lambda files: files.update({name: content})


HARMS: dict[str, Callable[[dict[str, bytes]], None]] = {
    "no index": lambda files: files.pop(INDEX) and None,
    "an index that is none": set_file(INDEX, b"{"),
    "an index of another kind": set_file(INDEX, b"[1]"),
    "another form": set_file(INDEX, b'{"doughwright": "library/9", "documents": []}'),
    "no form": index_without("doughwright"),
    "no documents": index_without("documents"),
    "a key that leads elsewhere": first_document(key="../../up"),
    "an unknown kind": first_document(kind="oven"),
    "no revisions": first_document(revisions=[]),
    "a date that is none": first_document(created="yesterday"),
    "a date before all calendars": first_document(created="0001-01-01T00:00:00+14:00"),
    "a date after all calendars": first_document(created="9999-12-31T23:59:59-14:00"),
    "a date of no age of ours": first_document(dropped="0001-01-01T00:00:00+00:00"),
    "a number beyond all": first_document(
        revisions=[{"number": float("inf"), "message": "", "saved": "2026-01-01T00:00:00"}]
    ),
    "a document twice": a_document_twice,
    "a text that is missing": lambda files: files.pop("formula/rye/2.yaml") and None,
    "a text that is too long": set_file("formula/rye/2.yaml", b"#" * 1_100_000),
    "a text that is none": set_file("formula/rye/2.yaml", b"\xff"),
    "a sign that is no text": set_file("formula/rye/2.yaml", b"\0"),
}


@pytest.mark.parametrize("harm", HARMS)
def test_what_is_no_backup_of_ours_changes_nothing(filled: Any, tmp_path: Path, harm: str) -> None:
    del filled
    backup_to(tmp_path / "all.zip")
    before = everything()
    changed = archive(tmp_path / "all.zip", HARMS[harm])
    with pytest.raises(StoreError) as caught:
        restore_from(changed, former=tmp_path / "former.zip")
    assert codes(caught) == ["backup-not-ours"]
    assert everything() == before
    assert not (tmp_path / "former.zip").exists()


@pytest.mark.parametrize(
    ("table", "column"),
    [("revision", "text"), ("revision", "message"), ("document", "key"), ("document", "created")],
)
def test_a_copy_whose_words_are_none_changes_nothing(
    sqlite_library: Any, bread: Bread, at: At, tmp_path: Path, table: str, column: str
) -> None:
    del sqlite_library
    save(bread(), key="rye", expected=0, message="", now=at(0))
    backup_to(tmp_path / "all.sqlite3")
    before = everything()
    with closing(sqlite3.connect(tmp_path / "all.sqlite3")) as database:
        database.execute(f"UPDATE doughwright_{table} SET {column} = x'c0ffee'")  # noqa: S608 - ours
        database.commit()
    with pytest.raises(StoreError) as caught:
        restore_from(tmp_path / "all.sqlite3", former=tmp_path / "former.sqlite3")
    assert codes(caught) == ["backup-not-ours"]
    assert everything() == before
    assert not (tmp_path / "former.sqlite3").exists()


def test_revisions_that_are_missing_are_noticed(filled: Any, tmp_path: Path) -> None:
    del filled

    def change(files: dict[str, bytes]) -> None:
        index = json.loads(files[INDEX])
        (rye,) = [row for row in index["documents"] if row["key"] == "rye"]
        del rye["revisions"][1]
        files[INDEX] = json.dumps(index).encode()

    backup_to(tmp_path / "all.zip")
    with pytest.raises(StoreError) as caught:
        restore_from(archive(tmp_path / "all.zip", change), former=tmp_path / "former.zip")
    assert "are missing" in str(caught.value)


@pytest.mark.usefixtures("library")
def test_other_files_are_no_backups(tmp_path: Path, sqlite_mould: Path) -> None:
    other = tmp_path / "other.sqlite3"
    with closing(sqlite3.connect(other)) as database:
        database.execute("CREATE TABLE somebody_else (x)")
    harmed = tmp_path / "harmed.sqlite3"
    content = bytearray(sqlite_mould.read_bytes())
    content[4096:8192] = bytes(4096)
    harmed.write_bytes(content)
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as made:
        made.writestr("breads/rye.yaml", "a library's export is no backup")
    (tmp_path / "export.zip").write_bytes(packed.getvalue())
    (tmp_path / "notes.txt").write_text("not ours")
    (tmp_path / "nothing").write_bytes(b"")
    for path in (other, harmed, *(tmp_path / n for n in ("export.zip", "notes.txt", "nothing"))):
        with pytest.raises(StoreError) as caught:
            restore_from(path)
        assert codes(caught) == ["backup-not-ours"], path
    with pytest.raises(FileNotFoundError):
        restore_from(tmp_path / "no-such.zip")


def test_words_that_are_no_document_any_more_are_kept_all_the_same(
    filled: Any, tmp_path: Path
) -> None:
    del filled
    backup_to(tmp_path / "all.zip")
    words = b"doughwright: formula/0\nname: Old\n"
    old = archive(tmp_path / "all.zip", set_file("formula/rye/3.yaml", words))
    empty()
    restore_from(old)
    assert newest("formula", "rye").text == words.decode()
    assert "rye" in [item.name for item in listed("formula")]
    assert "breads/rye.yaml" in contents()

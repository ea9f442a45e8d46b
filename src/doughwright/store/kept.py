"""What a backup holds: documents with all their revisions, as plain data.

An archive holds each revision's words as a file, and ``library.json``, which says what they are.
"""

import json
import re
import sqlite3
import zipfile
from collections.abc import Iterable, Mapping
from contextlib import closing
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import groupby
from pathlib import Path
from typing import Any

from doughwright.documents.clock import YEARS
from doughwright.errors import Notice, StoreError
from doughwright.store.archives import archive_of
from doughwright.store.arriving import LARGEST_FILE, UNREADABLE
from doughwright.store.keys import is_key
from doughwright.store.library import KINDS

FORM = "library/1"
INDEX = "library.json"
LARGEST_INDEX = 256 * 1024 * 1024
SQLITE_HEADER = b"SQLite format 3\0"
ROWS = """
    SELECT d.kind, d.key, d.created, d.dropped, r.number, r.text, r.message, r.saved
    FROM doughwright_document AS d JOIN doughwright_revision AS r ON r.document_id = d.id
    ORDER BY d.kind, d.key, r.number
"""


@dataclass(frozen=True, slots=True)
class KeptRevision:
    """The words of a document as they were saved once."""

    number: int
    text: str
    message: str
    saved: datetime


@dataclass(frozen=True, slots=True)
class KeptDocument:
    """A document with all its revisions, the first one first."""

    kind: str
    key: str
    created: datetime
    dropped: datetime | None
    revisions: tuple[KeptRevision, ...]


Row = tuple[str, str, datetime, datetime | None, int, str, str, datetime]
"""Kind, key, created and dropped of a document; number, text, message and saved of a revision."""


def grouped(rows: Iterable[Row]) -> tuple[KeptDocument, ...]:
    """Documents from rows of their revisions, in order of kind, key and number."""
    return tuple(
        KeptDocument(
            kind, key, created, dropped, tuple(KeptRevision(*row[4:]) for row in revisions)
        )
        for (kind, key, created, dropped), revisions in groupby(rows, key=lambda row: row[:4])
    )


def archived(documents: Iterable[KeptDocument]) -> bytes:
    """Pack documents; the same documents give the same bytes."""
    files: dict[str, bytes] = {}
    entries = []
    for document in documents:
        for revision in document.revisions:
            files[_file(document.kind, document.key, revision.number)] = revision.text.encode()
        entries.append(_entry(document))
    index = json.dumps({"doughwright": FORM, "documents": entries}, indent=1, ensure_ascii=False)
    return archive_of({**files, INDEX: index.encode()})


def kept_in(path: Path) -> tuple[KeptDocument, ...]:
    """Read a backup of either form.

    Raises
    ------
    StoreError
        It is no backup of ours, or a damaged one.
    OSError
        It cannot be read.
    """
    with path.open("rb") as stream:
        is_sqlite = stream.read(len(SQLITE_HEADER)) == SQLITE_HEADER
    try:
        documents = _in_sqlite(path) if is_sqlite else _in_archive(path)
    except (sqlite3.Error, ValueError, KeyError, TypeError, OverflowError, *UNREADABLE) as error:
        raise _not_ours(path, str(error)) from None
    seen: set[tuple[str, str]] = set()
    for document in documents:
        _check(document, path)
        if (document.kind, document.key) in seen:
            raise _not_ours(path, f"{document.kind} “{document.key}” is in it twice")
        seen.add((document.kind, document.key))
    return documents


def sound(database: sqlite3.Connection) -> bool:
    """Whether a SQLite database is whole from end to end."""
    return bool(database.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok")


def _file(kind: str, key: str, number: int) -> str:
    return f"{kind}/{key}/{number}.yaml"


def _entry(document: KeptDocument) -> dict[str, Any]:
    return {
        "kind": document.kind,
        "key": document.key,
        "created": document.created.isoformat(),
        "dropped": document.dropped.isoformat() if document.dropped else None,
        "revisions": [
            {"number": row.number, "saved": row.saved.isoformat(), "message": row.message}
            for row in document.revisions
        ],
    }


def _in_sqlite(path: Path) -> tuple[KeptDocument, ...]:
    with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as database:
        if not sound(database):
            raise ValueError("it is damaged")
        rows = database.execute(ROWS).fetchall()
    return grouped(
        (
            kind,
            key,
            _moment(created),
            _moment(dropped) if dropped else None,
            number,
            *said,
            _moment(saved),
        )
        for kind, key, created, dropped, number, *said, saved in rows
    )


def _moment(text: str) -> datetime:
    """A moment as the database and the index write it; without a zone it is UTC."""
    moment = datetime.fromisoformat(text)
    if moment.year not in YEARS:  # at the ends of the calendar no clock can show it
        raise ValueError(f"{text} is no moment at which anything was saved")
    return moment if moment.tzinfo else moment.replace(tzinfo=UTC)


def _in_archive(path: Path) -> tuple[KeptDocument, ...]:
    with zipfile.ZipFile(path) as archive:
        index = json.loads(_content(archive, INDEX, LARGEST_INDEX))
        if index["doughwright"] != FORM:
            raise ValueError(f"it is of the form {index['doughwright']}, not {FORM}")
        return tuple(_document(archive, entry) for entry in index["documents"])


def _content(archive: zipfile.ZipFile, name: str, largest: int) -> str:
    with archive.open(name) as stream:
        content = stream.read(largest + 1)
    if len(content) > largest:
        raise ValueError(f"{name} is too long")
    return content.decode("utf-8")


def _document(archive: zipfile.ZipFile, entry: Mapping[str, Any]) -> KeptDocument:
    kind, key = str(entry["kind"]), str(entry["key"])
    return KeptDocument(
        kind,
        key,
        _moment(entry["created"]),
        _moment(entry["dropped"]) if entry["dropped"] else None,
        tuple(
            KeptRevision(
                number := int(row["number"]),
                _content(archive, _file(kind, key, number), LARGEST_FILE),
                str(row["message"]),
                _moment(row["saved"]),
            )
            for row in entry["revisions"]
        ),
    )


def _check(document: KeptDocument, path: Path) -> None:
    """Refuse what no library of ours would hold."""
    words = [document.kind, document.key, *(r.text for r in document.revisions)]
    words += (r.message for r in document.revisions)
    if not all(isinstance(word, str) for word in words):
        raise _not_ours(path, "what should be text in it is none")
    numbers = [row.number for row in document.revisions]
    if document.kind not in KINDS or not is_key(document.key):
        raise _not_ours(path, f"{document.kind} “{document.key[:80]}” is no document")
    if not numbers or numbers != list(range(1, len(numbers) + 1)):
        raise _not_ours(path, f"revisions of “{document.key}” are missing")
    if any(re.search("[\0\ud800-\udfff]", row.text + row.message) for row in document.revisions):
        raise _not_ours(path, f"“{document.key}” holds signs that are no text")


def _not_ours(path: Path, says: str) -> StoreError:
    said = (says.splitlines() or [""])[0][:160].rstrip(".")
    return StoreError([Notice.of("backup-not-ours", file=str(path), says=said)])

"""Backups of everything: each revision of each document, those dropped too.

A library in SQLite is copied as it is, while it is in use; any library can be written as an
archive of texts, which any program opens and which restores into SQLite and PostgreSQL alike.
"""

import errno
import sqlite3
from contextlib import closing
from datetime import datetime
from itertools import chain, count
from pathlib import Path

from django.conf import settings
from django.db import connection, transaction

from doughwright.errors import Notice, StoreError
from doughwright.store.errors import LibraryUnreadable, library_place, told, unreadable
from doughwright.store.kept import KeptDocument, archived, grouped, kept_in, sound
from doughwright.store.library import derived_from
from doughwright.store.models import Document, Revision
from doughwright.store.opening import library_file
from doughwright.store.writing import draft_of, refuse_what_is_there, settle, write_whole

ARCHIVE = ".zip"
SQLITE = ".sqlite3"
TABLES = "doughwright_document, doughwright_revision"


def backup_to(path: Path) -> None:
    """Write a backup; it is there whole or not at all, and replaces nothing.

    A name that ends in ``.zip`` makes an archive of texts, any other a copy of the database.

    Raises
    ------
    StoreError
        Something is there already, or the library is no SQLite file and can only be archived.
    OSError
        The file cannot be written.
    """
    refuse_what_is_there(path)
    if path.suffix.casefold() == ARCHIVE:
        with told(), transaction.atomic():
            content = archived(_kept_documents())
        write_whole(path, content)
    elif connection.vendor == "sqlite":
        with told():
            _copy_to(path)
    else:
        raise StoreError([Notice.of("backup-needs-archive", file=path.name)])


def restore_from(path: Path, *, former: Path | None = None) -> int:
    """Put a backup in the place of what is in the library; the number of documents in it.

    What was there is first written to ``former``; without one only an empty library is
    restored into. All of it happens in one transaction, and programs that have the library
    open see it before or after, nothing between.

    Raises
    ------
    StoreError
        The file is no backup of ours, or the library is not empty; nothing was changed.
    OSError
        The file cannot be read, or the former library not be written; nothing was changed.
    """
    documents = kept_in(path)
    with told(), transaction.atomic(durable=True):
        _hold_off_writers()
        if Document.objects.exists():
            if former is None:
                raise StoreError([Notice.of("library-not-empty", at=library_place())])
            _keep_former(former)
        Revision.objects.all().delete()
        Document.objects.all().delete()
        for document in documents:
            _restore(document)
    return len(documents)


def usual_suffix() -> str:
    """How the name of a backup ends where nothing else is asked for."""
    return SQLITE if connection.vendor == "sqlite" else ARCHIVE


def former_path(now: datetime) -> Path:
    """Where a library is kept that gives way to a backup: beside it, by the time."""
    file = library_file()
    folder = file.parent if file is not None else Path(settings.DATA)
    return _free(folder, f"library-before-{now:%Y-%m-%d-%H%M%S}", usual_suffix())


def _free(folder: Path, stem: str, suffix: str) -> Path:
    """A name that is not taken, with a number after it if need be."""
    numbered = (f"{stem}-{number}" for number in count(2))
    names = (folder / f"{name}{suffix}" for name in chain([stem], numbered))
    return next(path for path in names if not path.exists())


def set_aside(now: datetime) -> Path | None:
    """Give a damaged SQLite library another name, so that a new one can be made in its place."""
    file = library_file()
    if file is None:
        return None
    connection.close()
    aside = _free(file.parent, f"{file.stem}-damaged-{now:%Y-%m-%d-%H%M%S}", file.suffix)
    for tail in ("-wal", "-shm", ""):
        part = file.with_name(file.name + tail)
        if part.exists():
            part.rename(aside.with_name(aside.name + tail))
    return aside


def _kept_documents() -> tuple[KeptDocument, ...]:
    """All documents with all their revisions, read in one statement: no writer comes between."""
    columns = ("kind", "key", "created", "dropped")
    rows = Revision.objects.order_by("document__kind", "document__key", "number").values_list(
        *(f"document__{name}" for name in columns), "number", "text", "message", "saved"
    )
    return grouped(rows)


def _copy_to(path: Path) -> None:
    """Copy the database while it is in use, into one file of its own, and read it through.

    A connexion of its own reads what was committed last: one in the middle of writing cannot
    be copied from, and would be waited for without end.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = draft_of(path)
    library = connection.get_connection_params()["database"]
    try:
        with (
            closing(sqlite3.connect(library, uri=True)) as read,
            closing(sqlite3.connect(draft)) as copy,
        ):
            read.backup(copy)
            copy.execute("PRAGMA journal_mode=DELETE")
            whole = sound(copy)
        if not whole:
            raise LibraryUnreadable([unreadable("it is damaged")])
        settle(draft)
        draft.rename(path)
    except sqlite3.Error as error:
        raise OSError(errno.EIO, str(error), str(path)) from None
    finally:
        draft.unlink(missing_ok=True)


def _hold_off_writers() -> None:
    """Let no other writer in until the transaction ends; in SQLite it began that way."""
    if connection.vendor == "postgresql":
        with connection.cursor() as cursor:
            cursor.execute(f"LOCK TABLE {TABLES} IN EXCLUSIVE MODE")


def _keep_former(path: Path) -> None:
    refuse_what_is_there(path)
    if connection.vendor == "sqlite":
        _copy_to(path)
    else:
        write_whole(path, archived(_kept_documents()))


def _restore(kept: KeptDocument) -> None:
    newest = kept.revisions[-1]
    document = Document.objects.create(
        kind=kept.kind,
        key=kept.key,
        newest=newest.number,
        created=kept.created,
        dropped=kept.dropped,
        **derived_from(newest.text, kept.key),
    )
    Revision.objects.bulk_create(
        Revision(document=document, number=r.number, text=r.text, message=r.message, saved=r.saved)
        for r in kept.revisions
    )

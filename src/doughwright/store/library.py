"""The library: what is in it, what it was before, and saving without losing anything.

Text is the one truth. A revision holds the author's own words, comments and all; name, tags
and figures beside it are only there so that a list need not read every text.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from difflib import get_close_matches
from typing import Any, Literal

from django.db import IntegrityError, transaction
from django.db.models import OuterRef, QuerySet, Subquery

from doughwright.documents.reading import Reading, read_document
from doughwright.errors import DocumentError, Notice
from doughwright.store.errors import Conflict, NotInLibrary, told
from doughwright.store.keys import free_keys, is_key, key_from
from doughwright.store.models import Document, Revision

Kind = Literal["formula", "kitchen", "series", "shelf"]
KINDS: tuple[Kind, ...] = ("formula", "kitchen", "series", "shelf")
LONGEST_MESSAGE = 2000


@dataclass(frozen=True, slots=True)
class Stored:
    """One revision of a document."""

    kind: Kind
    key: str
    name: str
    number: int
    text: str
    message: str
    saved: datetime
    dropped: bool


@dataclass(frozen=True, slots=True)
class Listed:
    """A document in a list; figures are missing where none were noted for its newest revision."""

    kind: Kind
    key: str
    name: str
    number: int
    tags: tuple[str, ...]
    figures: Mapping[str, Any] | None
    saved: datetime
    first_saved: datetime


def listed(kind: Kind, *, dropped: bool = False) -> tuple[Listed, ...]:
    """The documents of a kind by name; those dropped only when asked for, and then alone."""
    saved = Revision.objects.filter(document=OuterRef("pk"), number=OuterRef("newest"))
    wanted = Document.objects.filter(kind=kind, dropped__isnull=not dropped)
    with told():
        rows = list(wanted.annotate(saved=Subquery(saved.values("saved")[:1])))
    found = [_listed(row, row.saved) for row in rows]
    return tuple(sorted(found, key=lambda item: (item.name.casefold(), item.key)))


def _listed(row: Document, saved: datetime) -> Listed:
    return Listed(
        kind=_kind(row),
        key=row.key,
        name=row.name,
        number=row.newest,
        tags=tuple(row.tags),
        figures=row.figures if row.figures_of == row.newest else None,
        saved=saved,
        first_saved=row.created,
    )


def newest(kind: Kind, key: str) -> Stored:
    """A document as it was saved last, also one that was dropped.

    Raises
    ------
    NotInLibrary
        With the key most like the one asked for.
    """
    with told():
        return _newest(_document(kind, key))


def revision(kind: Kind, key: str, number: int) -> Stored:
    """A document as it was saved the n-th time.

    Raises
    ------
    NotInLibrary
        Where there is no such document or no such revision.
    """
    with told():
        document = _document(kind, key)
        found = document.revisions.filter(number=number).first()
    if found is None:
        problem = Notice.of("no-such-revision", key=key, number=number, newest=document.newest)
        raise NotInLibrary([problem])
    return _stored(document, found)


def history(kind: Kind, key: str) -> tuple[Stored, ...]:
    """Every revision of a document, newest first."""
    with told():
        document = _document(kind, key)
        return tuple(_stored(document, row) for row in document.revisions.order_by("-number"))


def save(text: str, *, key: str | None, expected: int, message: str, now: datetime) -> Stored:
    """Save a document's words as its next revision, on the disk when this returns.

    Without a key it is a new document, and its key is made from its name. ``expected`` is the
    number of the revision the words were made from, 0 for a new document. The same words as
    the newest make no revision. A document that was dropped is back once it is saved again.

    Raises
    ------
    DocumentError
        The words are no document; nothing was saved.
    Conflict
        Somebody saved meanwhile; nothing was saved, and both texts are in the error.
    NotInLibrary
        A revision is said to be known of a document that is not there.
    LibraryFailure
        The database or its disk will not; nothing was saved, what was there is intact.
    """
    reading = read_document(text)
    said = _message(message)
    with told(), transaction.atomic(durable=True):
        if key is None:
            return _new(reading, said, now)
        return put(reading, key=key, expected=expected, message=said, now=now)


def put(reading: Reading, *, key: str, expected: int | None, message: str, now: datetime) -> Stored:
    """Add a revision within the transaction under way; expecting nothing, whatever is there."""
    kind = kind_of(reading)
    document = _locked(kind, key)
    if document is None:
        if expected:
            raise NotInLibrary([_missing(kind, key)])
        try:
            return _created(reading, key, message, now)
        except IntegrityError:  # another writer made it first, and has saved it by now
            document = _rows(kind, key).select_for_update().get()
    return _next(document, reading, expected=expected, message=message, now=now)


def drop(kind: Kind, key: str, *, expected: int, now: datetime) -> Stored:
    """Take a document out of the lists; its revisions stay, and `undrop` brings it back."""
    return _set_dropped(kind, key, expected, now)


def undrop(kind: Kind, key: str, *, expected: int) -> Stored:
    """Bring a dropped document back into the lists."""
    return _set_dropped(kind, key, expected, None)


def note_figures(kind: Kind, key: str, number: int, figures: Mapping[str, Any]) -> None:
    """Keep what was worked out of a revision; nothing happens if a newer one is there by now."""
    wanted = Document.objects.filter(kind=kind, key=key, newest=number)
    with told():
        wanted.update(figures=dict(figures), figures_of=number)


def kind_of(reading: Reading) -> Kind:
    """The kind of a document by its own first key."""
    said = str(reading.document.doughwright).partition("/")[0]
    return next(kind for kind in KINDS if kind == said)


def _set_dropped(kind: Kind, key: str, expected: int, dropped: datetime | None) -> Stored:
    with told(), transaction.atomic(durable=True):
        document = _locked(kind, key)
        if document is None:
            raise NotInLibrary([_missing(kind, key)])
        if document.newest != expected:
            raise Conflict(_newest(document), text="", expected=expected)
        document.dropped = dropped
        document.save(update_fields=["dropped"])
        return _newest(document)


def _new(reading: Reading, message: str, now: datetime) -> Stored:
    """Add a new document under the first key that is free, also of two writers' same name."""
    kind = kind_of(reading)
    wanted = key_from(reading.document.name, kind)
    like = Document.objects.filter(kind=kind, key__startswith=wanted)
    for key in free_keys(wanted, set(like.values_list("key", flat=True))):
        try:
            return _created(reading, key, message, now)
        except IntegrityError:
            continue
    raise AssertionError  # there is always another number


def _created(reading: Reading, key: str, message: str, now: datetime) -> Stored:
    if not is_key(key):
        raise DocumentError([Notice.of("not-a-key", read=key)])
    with transaction.atomic():
        document = Document.objects.create(
            kind=kind_of(reading), key=key, newest=1, created=now, **_derived(reading)
        )
        return _added(document, reading.text, message, now)


def _next(
    document: Document, reading: Reading, *, expected: int | None, message: str, now: datetime
) -> Stored:
    latest = _newest(document)
    if latest.text == reading.text:
        return _back(document)
    if expected is not None and expected != latest.number:
        raise Conflict(latest, text=reading.text, expected=expected)
    for field, value in _derived(reading).items():
        setattr(document, field, value)
    document.newest, document.dropped = latest.number + 1, None
    document.save(update_fields=["newest", "dropped", *_derived(reading)])
    return _added(document, reading.text, message, now)


def _back(document: Document) -> Stored:
    """Bring a document back that is saved unchanged."""
    if document.dropped is not None:
        document.dropped = None
        document.save(update_fields=["dropped"])
    return _newest(document)


def _added(document: Document, text: str, message: str, now: datetime) -> Stored:
    row = document.revisions.create(number=document.newest, text=text, message=message, saved=now)
    return _stored(document, row)


def _derived(reading: Reading) -> dict[str, Any]:
    """The columns that repeat what the words say, without signs that a database refuses."""
    document = reading.document
    return {"name": _plain(document.name), "tags": list(map(_plain, getattr(document, "tags", ())))}


def derived_from(text: str, key: str) -> dict[str, Any]:
    """The same of words kept long ago, which may be no document any more: its key names it."""
    try:
        return _derived(read_document(text))
    except DocumentError:
        return {"name": key, "tags": []}


def _plain(text: str) -> str:
    return "".join(sign for sign in text if sign.isprintable())


def _message(text: str) -> str:
    """A revision's message without signs that a database refuses."""
    said = "\n".join(_plain(line).rstrip() for line in text.strip().splitlines())
    if len(said) > LONGEST_MESSAGE:
        raise DocumentError(
            [Notice.of("message-too-long", size=len(said), allowed=LONGEST_MESSAGE)]
        )
    return said


def _document(kind: Kind, key: str) -> Document:
    found = _rows(kind, key).first()
    if found is None:
        raise NotInLibrary([_missing(kind, key)])
    return found


def _locked(kind: Kind, key: str) -> Document | None:
    """A document's row, held until the transaction ends: the next writer waits for it."""
    return _rows(kind, key).select_for_update().first()


def _rows(kind: Kind, key: str) -> QuerySet[Document]:
    """A document's row; what is no key is asked of no database: one of them refuses some signs."""
    rows = Document.objects.filter(kind=kind, key=key)
    return rows if is_key(key) else rows.none()


def _missing(kind: Kind, key: str) -> Notice:
    keys = Document.objects.filter(kind=kind, dropped=None).values_list("key", flat=True)
    like = get_close_matches(key, keys, n=1, cutoff=0.6)
    return Notice.of("not-in-library", kind=kind, read=key, like=like[0] if like else "")


def _newest(document: Document) -> Stored:
    return _stored(document, document.revisions.get(number=document.newest))


def _stored(document: Document, row: Revision) -> Stored:
    return Stored(
        kind=_kind(document),
        key=document.key,
        name=document.name,
        number=row.number,
        text=row.text,
        message=row.message,
        saved=row.saved,
        dropped=document.dropped is not None,
    )


def _kind(document: Document) -> Kind:
    return next(kind for kind in KINDS if kind == document.kind)

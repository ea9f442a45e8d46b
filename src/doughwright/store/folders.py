"""The library as a folder of files, and files into the library.

What is exported is what its author wrote, to the byte; read back into an empty library it
gives the same documents under the same keys.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from django.db import transaction
from django.db.models import F

from doughwright.documents.reading import Reading, read_document
from doughwright.errors import DocumentError, Notice, StoreError
from doughwright.store.archives import archive_of
from doughwright.store.arriving import Arrived, from_paths, from_uploads
from doughwright.store.errors import told
from doughwright.store.keys import key_of_file
from doughwright.store.library import Kind, kind_of, put
from doughwright.store.models import Document, Revision
from doughwright.store.writing import write_whole

FOLDERS = MappingProxyType(
    {"formula": "breads", "kitchen": "kitchens", "series": "series", "shelf": "shelf"}
)
Outcome = Literal["new", "changed", "unchanged"]


@dataclass(frozen=True, slots=True)
class Imported:
    """A file whose words are in the library, as which document, and whether that was news."""

    file: str
    kind: Kind
    key: str
    number: int
    outcome: Outcome


@dataclass(frozen=True, slots=True)
class Refused:
    """A file that was not imported, and why."""

    file: str
    problems: tuple[Notice, ...]


@dataclass(frozen=True, slots=True)
class ImportReport:
    """What became of every file; those left alone are no documents by their names."""

    imported: tuple[Imported, ...]
    refused: tuple[Refused, ...]
    left_alone: tuple[str, ...]


def import_from(paths: Iterable[Path], now: datetime, message: str = "Imported.") -> ImportReport:
    """Read files, folders and archives into the library; one refused does not stop the others.

    A file's kind is told by its first key, its document's key by its name. Known words are left
    alone, other words of a known key become its next revision, and a dropped one is back.
    """
    return _report(from_paths(paths), now, message)


def import_uploads(
    files: Iterable[tuple[str, bytes]], now: datetime, message: str = "Imported."
) -> ImportReport:
    """Read files that a browser sent, each with its name, as `import_from` reads paths."""
    return _report(from_uploads(files), now, message)


def contents() -> dict[str, bytes]:
    """The newest words of all that is not dropped, by the name of the file they belong in."""
    newest = Revision.objects.filter(document__dropped=None, number=F("document__newest"))
    with told():
        rows = newest.values_list("document__kind", "document__key", "text")
        return {f"{FOLDERS[kind]}/{key}.yaml": text.encode() for kind, key, text in sorted(rows)}


def as_zip() -> bytes:
    """The same as an archive; the same library gives the same bytes."""
    return archive_of(contents())


def export_to(folder: Path, *, replace: bool = False) -> tuple[str, ...]:
    """Write the library into a folder; the names of the files that were written.

    Files that say the same already are not touched.

    Raises
    ------
    StoreError
        Files there say something else, and may not be replaced, or what is there is no file;
        nothing was written.
    OSError
        The folder cannot be written.
    """
    wanted = contents()
    in_the_way = sorted({found for name in wanted for found in _in_the_way(folder / name)})
    if in_the_way:
        raise StoreError([Notice.of("export-in-the-way", files=_some(in_the_way))])
    there = {name: _content(folder / name) for name in wanted}
    news = {name: text for name, text in wanted.items() if there[name] != text}
    other = [name for name in news if there[name] is not None]
    if other and not replace:
        problem = Notice.of("export-differs", folder=str(folder), files=_some(other))
        raise StoreError([problem])
    for name, text in news.items():
        write_whole(folder / name, text)
    return tuple(news)


def _in_the_way(path: Path) -> Iterator[str]:
    """What makes it impossible to write a file: a folder there, or a file where its folder is."""
    if path.exists():
        found = path if not path.is_file() else None
    else:
        nearest = next(parent for parent in path.parents if parent.exists())
        found = nearest if not nearest.is_dir() else None
    if found is not None:
        yield str(found)


def _content(path: Path) -> bytes | None:
    return path.read_bytes() if path.is_file() else None


def _some(names: list[str]) -> str:
    more = f" and {len(names) - 3} more" if len(names) > 3 else ""
    return ", ".join(names[:3]) + more


def _report(files: Iterable[Arrived], now: datetime, message: str) -> ImportReport:
    imported: dict[tuple[str, str], Imported] = {}
    refused, left_alone = [], []
    for file in files:
        try:
            found = _imported(file, imported, now, message)
        except DocumentError as error:
            refused.append(Refused(file.name, error.problems))
            continue
        if found is None:
            left_alone.append(file.name)
        else:
            imported[found.kind, found.key] = found
    return ImportReport(tuple(imported.values()), tuple(refused), tuple(left_alone))


def _imported(
    file: Arrived, before: Mapping[tuple[str, str], Imported], now: datetime, message: str
) -> Imported | None:
    """Put one file into the library, in a transaction of its own; none if it is no document."""
    if file.problem is not None:
        raise DocumentError([file.problem])
    if file.text is None:
        return None
    reading = read_document(file.text, file.name)
    kind = kind_of(reading)
    key = key_of_file(file.name, kind)
    if (kind, key) in before:
        other = before[kind, key].file
        raise DocumentError([Notice.of("import-twice", key=key, file=file.name, other=other)])
    return _put(reading, file.name, key, now, message)


def _put(reading: Reading, file: str, key: str, now: datetime, message: str) -> Imported:
    kind = kind_of(reading)
    with told(), transaction.atomic():
        row = Document.objects.filter(kind=kind, key=key).first()
        was = row.newest if row is not None else 0
        stored = put(reading, key=key, expected=None, message=message, now=now)
    outcome: Outcome = "unchanged" if stored.number == was else "changed" if was else "new"
    return Imported(file, kind, key, stored.number, outcome)

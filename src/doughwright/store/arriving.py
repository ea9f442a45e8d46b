"""Files that are to be imported: looked at one by one, none trusted.

They come from folders, from archives and from a browser. What is not a document's file is left
alone; what could not be read, or lies outside the folder it was found in, is refused by name.
"""

import os
import stat
import zipfile
import zlib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path, PurePosixPath
from typing import BinaryIO

from doughwright.documents.nodes import LARGEST_TEXT
from doughwright.errors import Notice

SUFFIXES = frozenset({".yaml", ".yml"})
LARGEST_FILE = 4 * LARGEST_TEXT
"""Bytes: no sign of UTF-8 takes more than four."""
MOST_FILES = 5000
MOST_BYTES = 64 * 1024 * 1024
ARCHIVE_HEAD = b"PK\x03\x04"
UNREADABLE = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError)
"""What a damaged, enciphered or strangely packed archive makes the reader say."""


@dataclass(frozen=True, slots=True)
class Arrived:
    """A file under the name it came with: its words, or why not; neither when left alone."""

    name: str
    text: str | None = None
    problem: Notice | None = None


def from_paths(paths: Iterable[Path]) -> Iterator[Arrived]:
    """Every file of the paths named: files, folders with what is in them, archives."""
    return _within_limits(_of_paths(paths))


def from_uploads(files: Iterable[tuple[str, bytes]]) -> Iterator[Arrived]:
    """Every file that a browser sent, archives unpacked."""
    return _within_limits(_of_uploads(files))


def _within_limits(files: Iterator[Arrived]) -> Iterator[Arrived]:
    """Stop at a number of files and of bytes that no library of a baker's reaches."""
    size = 0
    for number, file in enumerate(files):
        size += len(file.text or "")
        if number >= MOST_FILES or size > MOST_BYTES:
            problem = Notice.of("import-too-many", files=MOST_FILES, size=MOST_BYTES // 2**20)
            yield Arrived(file.name, problem=problem)
            return
        yield file


def _of_paths(paths: Iterable[Path]) -> Iterator[Arrived]:
    for path in paths:
        try:
            if path.is_dir():
                yield from _of_folder(path)
            elif path.is_file() and zipfile.is_zipfile(path):
                with path.open("rb") as stream:
                    yield from _of_archive(path.name, stream)
            else:
                yield _of_file(path, path.name)
        except OSError as error:
            yield _unreadable(str(path), error)


def _of_uploads(files: Iterable[tuple[str, bytes]]) -> Iterator[Arrived]:
    for name, content in files:
        if zipfile.is_zipfile(BytesIO(content)):
            yield from _of_archive(name, BytesIO(content))
        else:
            yield _arrived(name, content)


def _of_folder(folder: Path) -> Iterator[Arrived]:
    root = folder.resolve()
    for inside, folders, names in os.walk(root):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            path = Path(inside, name)
            shown = path.relative_to(root).as_posix()
            if not _is_document(shown):
                yield Arrived(shown)
            elif Path(os.path.realpath(path)).is_relative_to(root):  # of a link to itself, too
                yield _of_file(path, shown)
            else:
                yield Arrived(shown, problem=Notice.of("import-outside", file=shown))


def _of_file(path: Path, name: str) -> Arrived:
    try:
        if not stat.S_ISREG(path.stat().st_mode):  # a pipe would be waited for without end
            return _refused(name, "it is no file, but a pipe or a device")
        with path.open("rb") as stream:
            return _arrived(name, stream.read(LARGEST_FILE + 1))
    except OSError as error:
        return _unreadable(name, error)


def _of_archive(name: str, stream: BinaryIO) -> Iterator[Arrived]:
    try:
        with zipfile.ZipFile(stream) as archive:
            for entry in archive.infolist():
                yield _of_entry(archive, entry)
    except (OSError, *UNREADABLE) as error:
        yield _unreadable(name, error)


def _of_entry(archive: zipfile.ZipFile, entry: zipfile.ZipInfo) -> Arrived:
    name = entry.filename
    if entry.is_dir() or not _is_document(name):
        return Arrived(name)
    if is_outside(name) or stat.S_ISLNK(entry.external_attr >> 16):
        return Arrived(name, problem=Notice.of("import-outside", file=name))
    try:
        with archive.open(entry) as stream:
            return _arrived(name, stream.read(LARGEST_FILE + 1))
    except (OSError, *UNREADABLE) as error:
        return _unreadable(name, error)


def is_outside(name: str) -> bool:
    """Whether the name of an archive's entry leads out of the folder it is unpacked into.

    >>> [is_outside(name) for name in ("breads/rye.yaml", "../rye.yaml", "/rye.yaml", "C:/rye")]
    [False, True, True, True]
    """
    parts = PurePosixPath(name.replace("\\", "/"))
    return parts.is_absolute() or ".." in parts.parts or ":" in name


def _is_document(name: str) -> bool:
    """Whether a file is one of ours by its name; hidden ones are the system's own."""
    parts = PurePosixPath(name.replace("\\", "/"))
    hidden = any(part.startswith((".", "__MACOSX")) and part != ".." for part in parts.parts)
    return parts.suffix.casefold() in SUFFIXES and not hidden


def _arrived(name: str, content: bytes) -> Arrived:
    if content.startswith(ARCHIVE_HEAD) or name.casefold().endswith(".zip"):
        return _refused(name, "it is a damaged or incomplete zip archive")
    if len(content) > LARGEST_FILE:
        problem = Notice.of("import-too-long", file=name, allowed=LARGEST_TEXT)
        return Arrived(name, problem=problem)
    try:
        return Arrived(name, content.decode("utf-8"))
    except UnicodeDecodeError:
        return Arrived(name, problem=Notice.of("import-not-text", file=name))


def _unreadable(name: str, error: Exception) -> Arrived:
    says = getattr(error, "strerror", None) or str(error).splitlines()[0][:100]
    return _refused(name, says.rstrip("."))


def _refused(name: str, says: str) -> Arrived:
    return Arrived(name, problem=Notice.of("import-unreadable", file=name, says=says))

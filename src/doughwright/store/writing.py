"""Files that are there whole or not at all, and that replace nothing unasked."""

import os
import secrets
from pathlib import Path

from doughwright.errors import Notice, StoreError


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all.

    Raises
    ------
    OSError
        It cannot be written; what was there before is there.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = draft_of(path)
    try:
        draft.write_bytes(content)
        settle(draft)
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)


def write_new(path: Path, content: bytes, *, replace: bool = False) -> None:
    """Write a file where none is yet, or over one if asked to.

    Raises
    ------
    StoreError
        Something is there already.
    """
    if not replace:
        refuse_what_is_there(path)
    write_whole(path, content)


def draft_of(path: Path) -> Path:
    """A name beside a file's own, for what is not finished yet."""
    return path.with_name(f".{path.name}.{secrets.token_hex(4)}")


def settle(path: Path) -> None:
    """Have a file on the disk before it gets its name."""
    with path.open("rb+") as stream:
        os.fsync(stream.fileno())


def refuse_what_is_there(path: Path) -> None:
    """Refuse a name that is taken."""
    if path.exists():
        raise StoreError([Notice.of("file-exists", file=str(path))])

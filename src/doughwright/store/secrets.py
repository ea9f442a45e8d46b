"""The key that signs cookies, made once and kept in the data folder."""

import os
import secrets
from pathlib import Path


def signing_key(folder: Path) -> str:
    """Read the key kept in a folder; made at the first reading, for its owner's eyes only."""
    path = folder / "signing.key"
    if not path.exists():
        _make(path)
    return path.read_text(encoding="ascii")


def _make(path: Path) -> None:
    """Write a key whole before it gets its name: no one ever reads half of one, or none."""
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    draft = path.with_name(f"{path.name}.{secrets.token_hex(8)}")
    opened = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(opened, "w", encoding="ascii") as file:
        file.write(secrets.token_urlsafe(48))
    try:
        path.hardlink_to(draft)
    except FileExistsError:  # another process was first: its key counts
        pass
    except OSError:  # a disk that knows no links
        draft.replace(path)
    draft.unlink(missing_ok=True)

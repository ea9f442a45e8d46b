"""The key that signs cookies, made once and kept in the data folder."""

import os
import secrets
from pathlib import Path


def signing_key(folder: Path) -> str:
    """Read the key kept in a folder; made at the first reading, for its owner's eyes only."""
    path = folder / "signing.key"
    try:
        opened = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text(encoding="ascii")
    with os.fdopen(opened, "w", encoding="ascii") as file:
        key = secrets.token_urlsafe(48)
        file.write(key)
    return key

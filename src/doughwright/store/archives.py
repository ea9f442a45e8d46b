"""Archives that are the same bytes whenever the same is put into them."""

import zipfile
from collections.abc import Mapping
from io import BytesIO

EARLIEST = (1980, 1, 1, 0, 0, 0)
"""The first moment that the format knows; when a file was packed is nobody's question."""
UNIX = 3
READABLE = 0o100644


def archive_of(files: Mapping[str, bytes]) -> bytes:
    """Pack files, by name, without a date or a machine of their own.

    >>> archive_of({"b": b"2", "a": b"1"}) == archive_of({"a": b"1", "b": b"2"})
    True
    """
    packed = BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, EARLIEST)
            entry.create_system, entry.external_attr = UNIX, READABLE << 16
            entry.compress_type = zipfile.ZIP_DEFLATED
            archive.writestr(entry, files[name], compresslevel=9)
    return packed.getvalue()

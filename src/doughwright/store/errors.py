"""What the store cannot do, in our words: the database's own never reach the baker."""

from collections.abc import Iterator
from contextlib import contextmanager
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from django.db import DatabaseError, InterfaceError, OperationalError, connection

from doughwright.errors import Notice, StoreError

if TYPE_CHECKING:
    from doughwright.store.library import Stored


class NotInLibrary(StoreError):  # noqa: N818 - reads as what it is
    """No such document, or no such revision of it."""


class Conflict(StoreError):  # noqa: N818 - reads as what it is
    """Somebody saved meanwhile; both texts are at hand and nothing was saved.

    ``newest`` is what is in the library, ``text`` what was to be saved.
    """

    def __init__(self, newest: "Stored", *, text: str, expected: int) -> None:
        """Keep both sides."""
        self.newest, self.text, self.expected = newest, text, expected
        values = {"key": newest.key, "expected": expected, "newest": newest.number}
        super().__init__([Notice.of("conflict", **values)])


class LibraryFailure(StoreError):  # noqa: N818 - reads as what it is
    """The database or its disk will not: full, locked, damaged, out of reach."""


class LibraryUnreadable(LibraryFailure):
    """What is there is no library, or a damaged one."""


SQLITE_CODES = MappingProxyType(
    {
        "SQLITE_FULL": "library-full",
        "SQLITE_BUSY": "library-locked",
        "SQLITE_LOCKED": "library-locked",
        "SQLITE_NOTADB": "library-unreadable",
        "SQLITE_CORRUPT": "library-unreadable",
        "SQLITE_IOERR": "library-not-written",
        "SQLITE_READONLY": "library-not-written",
        "SQLITE_CANTOPEN": "library-unreachable",
        "SQLITE_PERM": "library-unreachable",
    }
)
POSTGRESQL_CODES = MappingProxyType(
    {
        "53100": "library-full",
        "55P03": "library-locked",
        "40P01": "library-locked",
        "25006": "library-not-written",
        "42501": "library-not-written",
    }
)
"""SQLSTATE: disk full, lock not available, deadlock, read-only, not permitted."""
CONNECTION_LOST = ("08", "57P", "28", "3D")
"""Classes of SQLSTATE: no connexion, shut down, not let in, no such database."""


@contextmanager
def told() -> Iterator[None]:
    """Turn the database's errors into ours; a connexion that broke is let go.

    Raises
    ------
    LibraryFailure
        Where the database or its disk will not; what is not of that kind passes unchanged,
        for it is a defect of ours.
    """
    try:
        yield
    except DatabaseError as error:
        failure = failure_of(error)
        connection.close_if_unusable_or_obsolete()
        if failure is None:
            raise
        raise failure from error


def failure_of(error: BaseException) -> LibraryFailure | None:
    """Our word for a database's error; none where it is a defect of ours."""
    code = _code(error)
    if code is None:
        return None
    problem = Notice.of(code, at=library_place(), says=_first_line(error))
    kind = LibraryUnreadable if code == "library-unreadable" else LibraryFailure
    return kind([problem])


def unreadable(says: str) -> Notice:
    """That the library is none, or a damaged one."""
    return Notice.of("library-unreadable", at=library_place(), says=says)


def library_place() -> str:
    """Where the library stands, without a password: a file, or a host and a name."""
    settings = connection.settings_dict
    if connection.vendor == "sqlite":
        return str(settings["NAME"])
    return f"{settings['HOST'] or 'localhost'}/{settings['NAME']}"


def _code(error: BaseException) -> str | None:
    cause: Any = error.__cause__ or error
    name = str(getattr(cause, "sqlite_errorname", ""))
    if name:
        family = "_".join(name.split("_")[:2])  # SQLITE_IOERR_WRITE is one of SQLITE_IOERR
        return SQLITE_CODES.get(family)
    state = getattr(cause, "sqlstate", "-")
    if state is None:  # it never got as far as a state: no connexion, or words it does not take
        lost = isinstance(error, OperationalError | InterfaceError)
        return "library-unreachable" if lost else None
    if state.startswith(CONNECTION_LOST):
        return "library-unreachable"
    return POSTGRESQL_CODES.get(state)


def _first_line(error: BaseException) -> str:
    return (str(error).splitlines() or [type(error).__name__])[0][:200].rstrip(".")

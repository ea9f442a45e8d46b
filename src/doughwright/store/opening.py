"""Opening a library: where it stands, its tables, and the demo where it is empty.

Nothing here imports Django's models before Django knows where the library stands.
"""

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from importlib.util import find_spec
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import dj_database_url
import django
from django.conf import settings
from django.db import connection, transaction

from doughwright.errors import Notice
from doughwright.store.errors import LibraryFailure, library_place, told

if TYPE_CHECKING:
    from django.db.migrations.executor import MigrationExecutor

SETTINGS = "doughwright.web.settings"
ENGINES = ("django.db.backends.sqlite3", "django.db.backends.postgresql")
ONE_AT_A_TIME = 0x646F7567
"""The number of the lock under which a library in PostgreSQL is made: any will do."""
MAKING = 60
"""Seconds another process may take to make the library on a slow machine."""


def open_library(
    data: Path | None, url: str = "", *, demo: bool = True, create: bool = True
) -> None:
    """Open the library, once a process: in a folder, or at a database's URL.

    Without a folder it is the one that ``DOUGHWRIGHT_DATA`` names or the user's own; tables
    that are missing are made, and an empty library gets the demo. All of that happens at once
    or not at all, whoever else is opening it. Where none is to be created, a file that is not
    there is refused, and one in a folder that cannot be written is only read.

    Raises
    ------
    LibraryFailure
        It cannot be opened; nothing was changed.
    """
    _say_where(data, url)
    if create:
        _make_room()
    only_read = not create and _is_read_as_it_lies()
    django.setup()
    with told():
        if not only_read:
            write_ahead()
        if _pending(_executor()) or (demo and _is_empty()):
            bring_up_to_date(demo=demo)


def library_file() -> Path | None:
    """The file the library is; none where it stands in PostgreSQL."""
    return Path(connection.settings_dict["NAME"]) if connection.vendor == "sqlite" else None


def _say_where(data: Path | None, url: str) -> None:
    """Put into the environment what the settings read from it, and read it."""
    wanted = {"DOUGHWRIGHT_DATA": str(data.resolve()) if data else "", "DOUGHWRIGHT_DATABASE": url}
    given = {name: value for name, value in wanted.items() if value}
    if settings.configured and any(os.environ.get(name) != given[name] for name in given):
        raise RuntimeError("another library is open in this process")
    os.environ.update(given, DJANGO_SETTINGS_MODULE=SETTINGS)
    _refuse_other_databases(os.environ.get("DOUGHWRIGHT_DATABASE", ""))


def _make_room() -> None:
    """Make the folder that the library's file is to stand in; it must take the log beside it."""
    file = library_file()
    if file is None:
        return
    _make_folder(file.parent)
    if not os.access(file.parent, os.W_OK):
        says = "nothing can be written into its folder"
        problem = Notice.of("library-not-written", at=str(file), says=says)
        raise LibraryFailure([problem])


def _is_read_as_it_lies() -> bool:
    """Whether the library's file is in a folder that cannot be written; it is then only read.

    SQLite keeps a log beside the file and opens none without it, unless told that nobody
    writes. It then looks into no log that is there, and would miss what was saved last.
    """
    file = library_file()
    if file is None:
        return False
    if not file.exists():
        raise _unreachable(file, "there is none yet")
    if os.access(file.parent, os.W_OK):
        return False
    log, index = (file.with_name(f"{file.name}{tail}") for tail in ("-wal", "-shm"))
    if not (log.exists() and log.stat().st_size):
        connection.settings_dict["OPTIONS"]["database"] = f"{file.resolve().as_uri()}?immutable=1"
    elif not index.exists():
        says = f"what was saved last is in {log.name}; copy both to where they can be written"
        raise _unreachable(file, says)
    return True


def _refuse_other_databases(url: str) -> None:
    if not url:
        return
    try:
        engine = dj_database_url.parse(url)["ENGINE"]
    except ValueError:
        engine = ""
    if _has_odd_port(url):
        raise LibraryFailure([Notice.of("library-url-port")])
    if engine not in ENGINES:
        raise LibraryFailure([Notice.of("library-url", read=url.partition(":")[0])])
    if engine == ENGINES[1] and find_spec("psycopg") is None:
        raise LibraryFailure([Notice.of("library-without-driver")])


def _has_odd_port(url: str) -> bool:
    """Whether a URL is one but for its port; it is not repeated, for it may be of a password."""
    try:
        _ = urlsplit(url).port
    except ValueError as error:
        return str(error).startswith("Port")  # a host may be none either
    return False


def _make_folder(folder: Path) -> None:
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    except OSError as error:
        raise _unreachable(folder, error.strerror or type(error).__name__) from None


def _unreachable(at: Path, says: str) -> LibraryFailure:
    return LibraryFailure([Notice.of("library-unreachable", at=str(at), says=says)])


def write_ahead() -> None:
    """Let readers and a writer work side by side; the file remembers it."""
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        mode = cursor.execute("PRAGMA journal_mode").fetchone()[0]
    if mode == "delete":
        with _patient():
            _say("PRAGMA journal_mode=WAL")


def _executor() -> "MigrationExecutor":
    from django.db.migrations.executor import MigrationExecutor  # noqa: PLC0415 - see the module

    executor = MigrationExecutor(connection)
    loader = executor.loader
    unknown = sorted(
        f"{app} {name}"
        for app, name in loader.applied_migrations
        if app in loader.migrated_apps and (app, name) not in loader.disk_migrations
    )
    if unknown:
        problem = Notice.of("library-too-new", at=library_place(), unknown=", ".join(unknown))
        raise LibraryFailure([problem])
    return executor


def _pending(executor: "MigrationExecutor") -> bool:
    return bool(executor.migration_plan(executor.loader.graph.leaf_nodes()))


def _is_empty() -> bool:
    from doughwright.store.models import Document  # noqa: PLC0415 - see the module

    return not Document.objects.exists()


def bring_up_to_date(*, demo: bool) -> None:
    """Make what is missing; what another process made meanwhile is looked at again."""
    with _alone():
        executor = _executor()
        executor.migrate(executor.loader.graph.leaf_nodes())
        if demo and _is_empty():
            from doughwright.store.demo import fill  # noqa: PLC0415 - documents, only then

            fill(datetime.now(UTC))


@contextmanager
def _alone() -> Iterator[None]:
    """Hold one transaction that no other process can hold, tables and all."""
    with _patient():
        if connection.vendor == "sqlite":
            connection.disable_constraint_checking()  # tables cannot be made otherwise
        try:
            with transaction.atomic(durable=True):
                if connection.vendor == "postgresql":
                    _say(f"SET LOCAL lock_timeout = '{MAKING}s'")
                    _say(f"SELECT pg_advisory_xact_lock({ONE_AT_A_TIME})")
                yield
        finally:
            if connection.vendor == "sqlite":
                connection.enable_constraint_checking()


@contextmanager
def _patient() -> Iterator[None]:
    """Wait for another process that makes the library as long as that may take."""
    if connection.vendor != "sqlite":
        yield
        return
    _say(f"PRAGMA busy_timeout={MAKING * 1000}")
    try:
        yield
    finally:
        patience = connection.settings_dict["OPTIONS"]["timeout"]
        _say(f"PRAGMA busy_timeout={int(patience * 1000)}")


def _say(statement: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(statement)

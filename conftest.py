"""What all tests stand on: never the library of whoever runs them, always one of their own.

pytest reads this file before Django reads its settings, whatever part of the tests is asked for.
"""

import atexit
import os
import shutil
import signal
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

SETTINGS = "doughwright.web.settings"
SHARED = "DOUGHWRIGHT_TESTS"
"""Workers of one run share its folder: pytest-django reads it before this file is read there."""
OWN = Path(os.environ.get(SHARED) or tempfile.mkdtemp(prefix="doughwright-tests-"))
if SHARED not in os.environ:
    atexit.register(shutil.rmtree, OWN, ignore_errors=True)
os.environ.update(
    {SHARED: str(OWN), "DOUGHWRIGHT_DATA": str(OWN), "DJANGO_SETTINGS_MODULE": SETTINGS}
)
os.environ.pop("DOUGHWRIGHT_DATABASE", None)

from django.conf import settings  # noqa: E402 - only now it may be read
from django.db import connections  # noqa: E402 - as above

from doughwright.engine.formula import (  # noqa: E402 - as above
    Batch,
    Line,
    Preparation,
    SolvedFormula,
    Use,
    solved,
)
from doughwright.engine.ingredients import ingredient_table  # noqa: E402 - as above

if OWN != settings.DATA:
    pytest.exit(f"Django was set up before the tests could: unset {SETTINGS}.", returncode=2)

BINARIES = sorted(Path("/usr/lib/postgresql").glob("*/bin"), reverse=True)
"""Where Debian keeps PostgreSQL's programs, which are not on the path; the newest first."""
NO_SERVER = "PostgreSQL (initdb, postgres) is not installed: the store was tested on SQLite alone"


@dataclass(frozen=True, slots=True)
class Library:
    """A library of a test's own: its folder, and its URL where it is not the file in there."""

    vendor: str
    data: Path
    url: str = ""

    @property
    def options(self) -> list[str]:
        """How a command is told where it is."""
        return ["--data", str(self.data), *(["--database", self.url] if self.url else [])]

    @property
    def environment(self) -> dict[str, str]:
        """How a program is told where it is."""
        named = {"DOUGHWRIGHT_DATA": str(self.data), "DOUGHWRIGHT_DATABASE": self.url}
        return {**os.environ, **named}


def program(name: str) -> str | None:
    """One of PostgreSQL's programs."""
    found = shutil.which(name)
    return found or next((str(b / name) for b in BINARIES if (b / name).is_file()), None)


@pytest.fixture(scope="session")
def postgresql() -> Iterator[str]:
    """The URL of a PostgreSQL server of the tests' own, that ends with them."""
    initdb, postgres = program("initdb"), program("postgres")
    if not initdb or not postgres:
        pytest.skip(NO_SERVER)
    folder = Path(tempfile.mkdtemp(prefix="pg-"))
    someone = server_user()
    if someone:
        shutil.chown(folder, someone)
    try:
        with server(initdb, postgres, folder, someone):
            yield f"postgresql://baker@{quote(str(folder), safe='')}"
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def server_user() -> str | None:
    """Who runs the server: it refuses to be run by root."""
    if not hasattr(os, "geteuid") or os.geteuid() != 0:
        return None
    import pwd  # noqa: PLC0415 - not on Windows

    names = {entry.pw_name for entry in pwd.getpwall()}
    return "postgres" if "postgres" in names else "nobody"


@contextmanager
def server(initdb: str, postgres: str, folder: Path, user: str | None) -> Iterator[None]:
    """Run a server that listens on a socket in its folder alone: no port can be taken.

    It forgets everything with its folder, so that it need not wait for the disk.
    """
    run: dict[str, Any] = {"user": user, "extra_groups": [] if user else None, "cwd": folder}
    run |= {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    data = str(folder / "data")
    made = [initdb, "-D", data, "-U", "baker", "-A", "trust", "-E", "UTF8", "--locale=C", "-N"]
    subprocess.run(made, check=True, **run)  # noqa: S603 - our own server
    asked = [f"-c{o}" for o in ("listen_addresses=", "fsync=off", "max_connections=40")]
    running = subprocess.Popen([postgres, "-D", data, "-k", str(folder), *asked], **run)  # noqa: S603
    try:
        yield
    finally:
        running.send_signal(signal.SIGQUIT)  # at once: nothing of it is kept
        running.wait(timeout=20)


@contextmanager
def pointed_at(database: str | Path) -> Iterator[None]:
    """Have Django use another database, a SQLite file or a URL, in every thread."""
    from doughwright.web.settings import database as described  # noqa: PLC0415 - reads the settings

    url = database if isinstance(database, str) else f"sqlite:///{database}"
    before = connections.settings["default"]
    _use(connections.configure_settings({"default": described(url)})["default"])
    try:
        yield
    finally:
        _use(before)


def _use(described: dict[str, Any]) -> None:
    connections.close_all()
    connections.settings["default"] = described
    with suppress(AttributeError):  # no connexion was asked for yet
        del connections["default"]


@pytest.fixture(scope="session")
def sqlite_mould(tmp_path_factory: pytest.TempPathFactory, django_db_blocker: Any) -> Path:
    """An empty library in SQLite, to be copied."""
    file = tmp_path_factory.mktemp("mould") / "library.sqlite3"
    with django_db_blocker.unblock():
        _cast(file)
    return file


@pytest.fixture(scope="session")
def postgresql_mould(postgresql: str, django_db_blocker: Any) -> str:
    """The URL of an empty library in PostgreSQL, which is emptied again for each test."""
    _in_server(f"{postgresql}/postgres", "CREATE DATABASE library")
    with django_db_blocker.unblock():
        _cast(f"{postgresql}/library")
    return f"{postgresql}/library"


def _cast(database: str | Path) -> None:
    from doughwright.store.opening import bring_up_to_date, write_ahead  # noqa: PLC0415 - as above

    with pointed_at(database):
        write_ahead()
        bring_up_to_date(demo=False)


def _in_server(url: str, statement: str) -> None:
    """Say something to the server, waiting until it answers at all."""
    import time  # noqa: PLC0415 - only here

    import psycopg  # noqa: PLC0415 - only with a server

    for _ in range(200):
        try:
            with psycopg.connect(url, autocommit=True) as session:
                session.execute(statement)  # type: ignore[arg-type]  # our own words
                return
        except psycopg.OperationalError:
            time.sleep(0.05)
    pytest.fail("the PostgreSQL server of the tests does not answer")


EMPTY = """
DO $$ BEGIN EXECUTE (
    SELECT 'TRUNCATE ' || string_agg(quote_ident(tablename), ', ')
    FROM pg_tables WHERE schemaname = 'public' AND tablename <> 'django_migrations'
); END $$
"""
"""Faster than a database for each test by far."""


@pytest.fixture(params=["sqlite", "postgresql"])
def library(
    request: pytest.FixtureRequest, tmp_path: Path, django_db_blocker: Any
) -> Iterator[Library]:
    """An empty library on each database, with real transactions, and Django pointed at it."""
    made = {"sqlite": _sqlite_library, "postgresql": _postgresql_library}[request.param]
    with django_db_blocker.unblock():
        yield from _opened(made(request, tmp_path))


@pytest.fixture
def sqlite_library(
    request: pytest.FixtureRequest, tmp_path: Path, django_db_blocker: Any
) -> Iterator[Library]:
    """An empty library in SQLite, for what only a file can show."""
    with django_db_blocker.unblock():
        yield from _opened(_sqlite_library(request, tmp_path))


@pytest.fixture
def impatient(library: Library) -> None:
    """Wait a third of a second for a lock, not five."""
    options = connections.settings["default"]["OPTIONS"]
    if library.vendor == "sqlite":
        options["timeout"] = 0.3
    else:
        options["options"] = "-c lock_timeout=300ms"
    connections.close_all()


@pytest.fixture
def held() -> Callable[[], AbstractContextManager[None]]:
    """A block during which somebody else is in the middle of writing to the library."""
    return _held


@contextmanager
def _held() -> Iterator[None]:
    other = connections.create_connection("default")
    with closing(other), other.cursor() as cursor:
        if other.vendor == "sqlite":
            cursor.execute("BEGIN IMMEDIATE")
        else:
            cursor.execute("BEGIN")
            tables = ", ".join(other.introspection.table_names(cursor))
            cursor.execute(f"LOCK TABLE {tables} IN EXCLUSIVE MODE")
        cursor.execute("UPDATE doughwright_document SET name = 'half a name'")
        yield
        cursor.execute("ROLLBACK")


def _sqlite_library(request: pytest.FixtureRequest, folder: Path) -> Library:
    data = folder / "data"
    data.mkdir()
    shutil.copy(request.getfixturevalue("sqlite_mould"), data / "library.sqlite3")
    return Library("sqlite", data)


def _postgresql_library(request: pytest.FixtureRequest, folder: Path) -> Library:
    url = request.getfixturevalue("postgresql_mould")
    _in_server(url, EMPTY)
    return Library("postgresql", folder / "data", url)


def _opened(library: Library) -> Iterator[Library]:
    with pointed_at(library.url or library.data / "library.sqlite3"):
        yield library


@pytest.fixture(scope="session")
def sponge_brioche() -> SolvedFormula:
    """Sponge brioche of Professional Baking, metric column."""
    table = ingredient_table()

    def lines(**grams: float) -> tuple[Line, ...]:
        named = {name.replace("_", " "): mass / 1000 for name, mass in grams.items()}
        return tuple(Line(name, table[name], fixed=mass) for name, mass in named.items())

    sponge = lines(whole_milk=60, fresh_yeast=15, strong_white_flour=60)
    dough = lines(egg=150, strong_white_flour=240, sugar=15, salt=6, unsalted_butter=210)
    preparations = [
        Preparation("sponge", "preferment", sponge),
        Preparation("dough", "dough", dough, (Use("sponge"),)),
    ]
    return solved(preparations, Batch())


@pytest.fixture(autouse=True)
def _shared_formulas(doctest_namespace: dict[str, Any], sponge_brioche: SolvedFormula) -> None:
    """Give the doctests of the algebra ``brioche``."""
    doctest_namespace["brioche"] = sponge_brioche

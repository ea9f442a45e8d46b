"""Django's settings, read from the environment that ``doughwright serve`` sets.

``DOUGHWRIGHT_DATA`` is the folder that holds the database and nothing else;
``DOUGHWRIGHT_DATABASE`` a database's URL where it is not the SQLite file in that folder;
``DOUGHWRIGHT_HOSTS`` the names, beside this machine's own, by which a browser may ask.
Reading the settings makes no folder and no file: that is for opening the library.
"""

import os
import secrets
from pathlib import Path
from typing import Any

import dj_database_url
from platformdirs import user_data_path

DATA = Path(os.environ.get("DOUGHWRIGHT_DATA") or user_data_path("doughwright", appauthor=False))

PATIENCE = 5
"""Seconds a writer waits for another, and for a server to answer."""
OPTIONS: dict[str, dict[str, Any]] = {
    "django.db.backends.sqlite3": {
        "timeout": PATIENCE,
        "transaction_mode": "IMMEDIATE",  # two writers wait for each other, none fails half-way
        "init_command": "PRAGMA synchronous=FULL",  # what is said to be saved is on the disk
    },
    "django.db.backends.postgresql": {
        "connect_timeout": PATIENCE,
        "options": f"-c lock_timeout={PATIENCE}s",
    },
}
"""WAL is not asked for at every connexion: the file keeps it from when it was made."""


def database(url: str) -> dict[str, Any]:
    """The database of a URL; the file in the data folder where there is none."""
    file = {"ENGINE": "django.db.backends.sqlite3", "NAME": str(DATA / "library.sqlite3")}
    found: dict[str, Any] = dict(dj_database_url.parse(url)) if url else file
    asked = {**OPTIONS.get(found["ENGINE"], {}), **found.get("OPTIONS", {})}
    return {**found, "OPTIONS": asked}


DATABASES = {"default": database(os.environ.get("DOUGHWRIGHT_DATABASE", ""))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
INSTALLED_APPS = [
    "django.contrib.staticfiles",
    "django_htmx",
    "doughwright.store",
    "doughwright.web",
]
SECRET_KEY = secrets.token_urlsafe(48)  # Django asks for one; nothing of ours is signed with it
DEBUG = False
USE_TZ = True
TIME_ZONE = ""  # the machine keeps its own zone: 18:30 is by the clock on the kitchen's wall
USE_I18N = False
ROOT_URLCONF = "doughwright.web.urls"
ASGI_APPLICATION = "doughwright.web.asgi.application"
ALLOWED_HOSTS = [
    "localhost",
    "127.0.0.1",
    "[::1]",
    *os.environ.get("DOUGHWRIGHT_HOSTS", "").split(),
]

LAN_ADDRESS = os.environ.get("DOUGHWRIGHT_LAN", "")
"""This machine's address for phones in the same network, where it was asked to listen there."""

MIDDLEWARE = [
    "doughwright.web.guards.headers",
    "doughwright.web.guards.host_guard",
    "servestatic.middleware.ServeStaticMiddleware",
    "django.middleware.gzip.GZipMiddleware",
    "doughwright.web.guards.origin_guard",
    "django.middleware.csrf.CsrfViewMiddleware",
    "doughwright.web.guards.paired_only",
    "django_htmx.middleware.HtmxMiddleware",
    "doughwright.web.guards.problems_as_pages",
]
TEMPLATES = [
    {
        "BACKEND": "django.template.backends.jinja2.Jinja2",
        "DIRS": [],
        "APP_DIRS": False,
        "OPTIONS": {"environment": "doughwright.web.jinja.environment"},
    }
]
STATIC_URL = "/static/"
SERVESTATIC_USE_FINDERS = True  # from the package as it is installed: nothing to collect
SERVESTATIC_AUTOREFRESH = False
SERVESTATIC_MAX_AGE = 3600
SERVESTATIC_ALLOW_ALL_ORIGINS = False

CSRF_COOKIE_SAMESITE = "Strict"
CSRF_COOKIE_HTTPONLY = True
CSRF_COOKIE_AGE = None  # gone with the browser
CSRF_FAILURE_VIEW = "doughwright.web.views.refusals.form_too_old"

LARGEST_REQUEST = 12 * 1024 * 1024
"""A form holds a document three times: its text, the last good one and its fields. A sign takes
up to four bytes, and a byte three signs of a form (``%F0%9F%A5%96`` for a loaf)."""
DATA_UPLOAD_MAX_MEMORY_SIZE = LARGEST_REQUEST
DATA_UPLOAD_MAX_NUMBER_FIELDS = 10_000  # a formula's form, when it has all that it may have
DATA_UPLOAD_MAX_NUMBER_FILES = 200
FILE_UPLOAD_MAX_MEMORY_SIZE = LARGEST_REQUEST
FILE_UPLOAD_HANDLERS = ["django.core.files.uploadhandler.MemoryFileUploadHandler"]

LOGGING: dict[str, Any] = {
    "version": 1,
    "disable_existing_loggers": False,
    "handlers": {"terminal": {"class": "logging.StreamHandler", "level": "ERROR"}},
    "loggers": {"django": {"handlers": ["terminal"], "level": "ERROR", "propagate": False}},
}
"""What goes wrong on our side is printed where the server was started, never on a page."""

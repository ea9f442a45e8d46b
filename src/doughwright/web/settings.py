"""Django's settings, read from the environment that ``doughwright serve`` sets.

``DOUGHWRIGHT_DATA`` is the folder that holds the database, the key that signs cookies and
nothing else; ``DOUGHWRIGHT_DATABASE`` a database's URL where it is not the SQLite file in that
folder; ``DOUGHWRIGHT_HOSTS`` the names, beside this machine's own, by which a browser may ask.
"""

import os
from pathlib import Path
from typing import Any

import dj_database_url
from platformdirs import user_data_path

from doughwright.store.secrets import signing_key

DATA = Path(os.environ.get("DOUGHWRIGHT_DATA") or user_data_path("doughwright", appauthor=False))
DATA.mkdir(parents=True, exist_ok=True, mode=0o700)

SQLITE: dict[str, Any] = {
    "ENGINE": "django.db.backends.sqlite3",
    "NAME": str(DATA / "library.sqlite3"),
    "OPTIONS": {
        "timeout": 5,
        "transaction_mode": "IMMEDIATE",  # two writers wait for each other, none fails half-way
        "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;",
    },
}
"""``synchronous=FULL``: what is said to be saved is on the disk, whatever the power does."""


def database(url: str) -> dict[str, Any]:
    """The database of a URL; the file in the data folder where there is none."""
    return dict(dj_database_url.parse(url)) if url else SQLITE


DATABASES = {"default": database(os.environ.get("DOUGHWRIGHT_DATABASE", ""))}
DEFAULT_AUTO_FIELD = "django.db.models.BigAutoField"
INSTALLED_APPS = [
    "django.contrib.staticfiles",
    "django_htmx",
    "doughwright.store",
    "doughwright.web",
]
SECRET_KEY = signing_key(DATA)
DEBUG = False
USE_TZ = True
TIME_ZONE = "UTC"
USE_I18N = False
ROOT_URLCONF = "doughwright.web.urls"
ASGI_APPLICATION = "doughwright.web.asgi.application"

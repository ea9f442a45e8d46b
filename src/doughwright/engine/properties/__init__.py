"""Tables of constants and ingredients, one source and locator a row."""

from collections.abc import Mapping
from pathlib import Path

from doughwright import sources
from doughwright.sources import Constant, Source

FOLDER = Path(__file__).parent


def constants(table: str) -> Mapping[str, Constant]:
    """All rows of ``<table>.tsv`` by name.

    >>> constants("plausibility")["salt_inedible"].value
    0.05
    """
    return sources.constants(FOLDER / f"{table}.tsv")


def known_sources() -> Mapping[str, Source]:
    """All publications named in the tables' source columns.

    >>> known_sources()["usda-sr28"].key
    'usda-sr28'
    """
    return sources.sources(FOLDER / "sources.toml")

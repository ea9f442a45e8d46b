"""The key of a document: what it is called in addresses and file names."""

import re
import unicodedata
from collections.abc import Collection, Iterator
from itertools import chain, count
from pathlib import PurePosixPath

LONGEST = 60
LONGEST_OF_ALL = 80
"""A key with a number after it, to tell it from others."""
KEY = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")
RESERVED = frozenset(
    {"new", "import", "gather", "con", "prn", "aux", "nul"}
    | {f"{port}{n}" for port in ("com", "lpt") for n in range(10)}
)
"""Pages of the web app beside the breads, and what Windows allows no file to be called."""
WITHOUT_ACCENT = str.maketrans(
    {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
)
WORDS_FOR = {"formula": "bread", "kitchen": "kitchen", "series": "series", "shelf": "shelf"}
"""What a document is called that no letter of the key's alphabet is left of."""


def key_from(name: str, kind: str) -> str:
    """The key a name leads to: ASCII letters and digits, with dashes between.

    >>> key_from("Crème-brûlée buns, 2nd try", "formula"), key_from("Ржаной", "formula")
    ('creme-brulee-buns-2nd-try', 'bread')
    """
    plain = unicodedata.normalize("NFKD", name.casefold().translate(WITHOUT_ACCENT))
    letters = plain.encode("ascii", "ignore").decode()
    key = re.sub(r"[^a-z0-9]+", "-", letters)[:LONGEST].strip("-")
    word = WORDS_FOR.get(kind, kind)
    return f"{key}-{word}" if key in RESERVED else key or word


def is_key(text: str) -> bool:
    """Whether a text is a key as this module makes them, fit for an address and a file name.

    >>> is_key("rye-loaf-2"), is_key("../rye-loaf"), is_key("Rye"), is_key("new")
    (True, False, False, False)
    """
    return len(text) <= LONGEST_OF_ALL and bool(KEY.fullmatch(text)) and text not in RESERVED


def key_of_file(name: str, kind: str) -> str:
    """The key a file's name leads to; a key of ours leads to itself.

    >>> key_of_file("breads/rye-loaf.yaml", "formula"), key_of_file("Home.kitchen.yaml", "kitchen")
    ('rye-loaf', 'home')
    """
    stem = PurePosixPath(name.replace("\\", "/")).stem
    stem = stem.removesuffix(f".{kind}")
    return stem if is_key(stem) else key_from(stem, kind)


def free_keys(wanted: str, taken: Collection[str]) -> Iterator[str]:
    """The key wanted, else the same with a number, those taken left out.

    >>> next(free_keys("rye-loaf", {"rye-loaf", "rye-loaf-2"}))
    'rye-loaf-3'
    """
    numbered = (f"{wanted}-{number}" for number in count(2))
    return (key for key in chain([wanted], numbered) if key not in taken)

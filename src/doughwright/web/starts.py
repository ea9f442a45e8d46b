"""What a new document begins as. No database is needed to know it."""

from collections.abc import Mapping
from types import MappingProxyType

from doughwright.documents.editing import SetValue, edited
from doughwright.errors import DocumentError, Notice

LONGEST_NAME = 120

STRAIGHT_DOUGH = """\
doughwright: formula/1
name: A straight dough
yield: {pieces: 8, piece: 80 g}

preparations:
  dough:
    kind: dough
    aim: 25 °C
    ingredients:
      strong white flour: 100 %
      water: 65 %
      salt: 2 %
      instant yeast: 1 %

process:
  - mix: dough
  - ferment: dough
    until: double
  - divide: dough
  - shape: dough
  - proof: dough
    until: 1.8x
  - bake: dough
    oven: 200 °C fan
"""
"""Common practice, no source: a plain white dough to begin from."""

EMPTY: Mapping[str, str] = MappingProxyType(
    {
        "formula": STRAIGHT_DOUGH,
        "kitchen": "doughwright: kitchen/1\nname: A kitchen\nroom: 21 °C\n",
        "series": "doughwright: series/1\nname: A series\n",
        "shelf": "doughwright: shelf/1\nname: Our shelf\n",
    }
)


def named(text: str, name: str) -> str:
    """A document's text under a name of its own.

    Raises
    ------
    DocumentError
        The name is missing or no name.
    """
    said = " ".join(name.split())
    if not said:
        raise DocumentError([Notice.of("no-text", "name", read="", allowed="some words")])
    if len(said) > LONGEST_NAME:
        read = f"{said[:47]}…"
        problem = Notice.of("name-too-long", "name", read=read, allowed=LONGEST_NAME)
        raise DocumentError([problem])
    return edited(text, [SetValue(("name",), said)])

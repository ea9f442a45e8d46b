"""The document ``shelf/1``: the baker's own ingredients, for all breads."""

from typing import Literal

from pydantic import Field

from doughwright.documents.formula import OwnIngredient
from doughwright.documents.scalars import Name, Strict, Words


class ShelfDocument(Strict):
    """The baker's own ingredients, for every bread that says nothing of them itself."""

    doughwright: Literal["shelf/1"]
    name: Name
    note: Words | None = None
    ingredients: dict[str, OwnIngredient] = Field(default_factory=dict)

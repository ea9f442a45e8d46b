"""An ingredient of the baker's own as fields, and what the table knows beside each."""

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from doughwright.documents.names import plain_name
from doughwright.documents.shelf import ShelfDocument
from doughwright.engine.ingredients import Ingredient, ingredient_named, ingredient_table
from doughwright.render.numbers import percent
from doughwright.web.fields import Field, Group

BY_WEIGHT = "% of its weight"
PARTS = {
    "water": "Water",
    "fat": "Fat",
    "saturates": "of it saturates",
    "carbohydrate": "Carbohydrate, without fibre",
    "sugars": "of it sugars",
    "fibre": "Fibre",
    "protein": "Protein",
    "salt": "Salt",
    "alcohol": "Alcohol",
}
"""In the order of a packet's label, the water first."""


def groups(name: str) -> tuple[Group, ...]:
    """The fields of an ingredient by its name in the shelf's document."""

    def field(part: str, label: str, aside: str = "", **more: Any) -> Field:
        return Field(("ingredients", name, part), label, aside, called=part, **more)

    what = (
        field(
            "like", "Like", "what is not said below is taken from it", suggests="known-ingredients"
        ),
        field(
            "kind",
            "Kind",
            "egg, dairy, cheese, fat, vegetable …: says whether it spoils",
            suggests="known-kinds",
        ),
        field("flour", "Counts as flour", choices=("yes", "no")),
        field("note", "Note", long=True),
    )
    parts = tuple(field(p, label, f"in {BY_WEIGHT}", unit="%") for p, label in PARTS.items())
    sold = (
        field("price", "Price", "such as 6.40 EUR/kg or 1.35 EUR/500 g"),
        field("edible", "Of what is bought goes into the bowl", "in %", unit="%"),
        field("allergens", "Allergens", "commas between: milk, wheat", many=True),
    )
    return (
        Group("What it is", what),
        Group("What is in it", parts),
        Group("Buying and labelling", sold),
    )


def table_says(name: str, like: str) -> Mapping[str, str]:
    """What the table knows of the fields of an ingredient, by the field's name."""
    known = ingredient_named(like) if like else ingredient_named(plain_name(name))
    if known is None:
        return MappingProxyType({})
    said = {**dict(_parts(known)), "kind": known.kind}
    return MappingProxyType({part: f"the table: {value}" for part, value in said.items()})


def _parts(known: Ingredient) -> Iterator[tuple[str, str]]:
    for part in PARTS:
        value = getattr(known.composition, part, None)
        if value is None:
            value = getattr(known, part, None)
        if value is not None and known.composition is not None:
            yield part, percent(value)


def kinds() -> tuple[str, ...]:
    """The kinds the table tells apart."""
    return tuple(sorted({known.kind for known in ingredient_table().values()}))


def own_line(document: ShelfDocument, name: str) -> str:
    """An own ingredient in one line, in the baker's words."""
    body = document.ingredients[name].model_dump(by_alias=True, exclude_unset=True)
    parts = {
        key: ", ".join(value) if isinstance(value, list) else str(value)
        for key, value in body.items()
        if value is not None and key not in {"note", "price"}
    }
    return "; ".join(f"{key} {value}" for key, value in parts.items())

"""A document's ingredient lines as the engine's, with their ingredients found."""

import re
from collections.abc import Mapping
from dataclasses import replace

from doughwright.documents.formula import (
    FormulaDocument,
    OwnIngredient,
)
from doughwright.documents.formula import Line as LineInDocument
from doughwright.documents.formula import Preparation as PreparationInDocument
from doughwright.documents.formula import (
    Use as UseInDocument,
)
from doughwright.documents.quantities import Quantity
from doughwright.engine.formula import Line, Preparation, Use
from doughwright.engine.ingredients import (
    LABEL_PROTEIN_FACTOR,
    Composition,
    Ingredient,
    RawHazard,
    Spoils,
    counted_mass,
    ingredient_named,
    ingredient_table,
    measures_of,
    nearest_names,
    starter_of,
)
from doughwright.engine.properties import constants
from doughwright.errors import Notice, Path

OWN_KIND = "own"
"""Kind of an own ingredient that is like nothing in the table: its stated water counts."""

RYE, WHEAT = "medium rye flour", "strong white flour"
"""What a starter is made of, by whether it is called rye (assumption)."""

OWN_SPOILS: Mapping[str, Spoils] = {"dairy": "cold", "cheese": "cold", "egg": "cold"}
OWN_RAW_HAZARD: Mapping[str, RawHazard] = {"flour": "flour", "egg": "egg"}
"""What is taken of an own ingredient like nothing in the table, by the kind it is called."""

ROUNDED = 0.005
"""Parts of a packet's label may miss the whole by this much through rounding."""


class Lookup:
    """Finds the ingredients of one formula, and remembers what could not be found."""

    def __init__(self, document: FormulaDocument) -> None:
        """Take the formula's own ingredients first, then the table's."""
        self.place = document.place
        self.own = {plain_name(name): (name, own) for name, own in document.ingredients.items()}
        self.problems: list[Notice] = []
        self.notices: list[Notice] = []
        self._check_own()

    def _check_own(self) -> None:
        """Note own ingredients that cannot be, once, however often they are used."""
        for name, entry in self.own.values():
            path = ("ingredients", name)
            whole = sum(_stated(entry).values())
            if whole > 1 + ROUNDED:
                self.problems.append(Notice.of("parts-exceed-whole", *path, name=name, sum=whole))
            if entry.like and ingredient_named(entry.like) is None:
                near = ", ".join(nearest_names(entry.like))
                self.problems.append(
                    Notice.of("unknown-ingredient", *path, "like", read=entry.like, like=near)
                )

    def preparations(self, document: FormulaDocument) -> tuple[Preparation, ...]:
        """All preparations of the document, as far as they can be understood."""
        return tuple(
            Preparation(
                name=name,
                kind=p.kind,
                lines=self.lines(name, p),
                uses=tuple(_use(other, use) for other, use in p.uses.items()),
                each=p.each.best if p.each else None,
            )
            for name, p in document.preparations.items()
        )

    def lines(self, preparation: str, document: PreparationInDocument) -> tuple[Line, ...]:
        """The lines of one preparation."""
        found = (
            self.line(("preparations", preparation, "ingredients", name), name, line)
            for name, line in document.ingredients.items()
        )
        return tuple(line for line in found if line is not None)

    def line(self, path: Path, name: str, document: LineInDocument) -> Line | None:
        """One line, or None after noting why not."""
        ingredient = self.ingredient(path, name, document)
        if ingredient is None:
            return None
        amount = document.amount
        line = Line(name, ingredient, spread=_spread(amount))
        if amount.dimension == "percent":
            return replace(line, ratio=amount.best)
        if amount.dimension == "parts":
            return replace(line, parts=amount.best)
        per_unit = self.unit_mass(path, name, ingredient, amount)
        return None if per_unit is None else replace(line, fixed=amount.best * per_unit)

    def ingredient(self, path: Path, name: str, document: LineInDocument) -> Ingredient | None:
        """The ingredient of a line, with what the line itself says of it."""
        found = self.named(path, name)
        if found is None:
            return None
        if found.kind == "starter":
            if document.hydration is None:
                self.problems.append(Notice.of("starter-needs-hydration", *path))
                return None
            if document.flour is not None:
                self.problems.append(Notice.of("flour-of-starter", *path, "flour"))
            entry = self.own.get(plain_name(name))
            rye = _is_rye(name, entry[1].like if entry else None)
            flour = ingredient_table()[RYE if rye else WHEAT]
            return starter_of(document.hydration.best, flour)
        if document.hydration is not None:
            self.problems.append(Notice.of("hydration-of-no-starter", *path, "hydration"))
        if document.flour is not None:
            found = replace(found, flour=1.0 if document.flour else 0.0)
        return found

    def named(self, path: Path, name: str) -> Ingredient | None:
        """An ingredient by the baker's word: their own first, then the table's."""
        plain = plain_name(name)
        if plain in self.own:
            return self._own(path, plain, self.own[plain][1])
        # what stands in brackets may belong to the name: ``potato (boiled)`` is not raw
        base = ingredient_named(name) or ingredient_named(plain)
        if base is None:
            near = ", ".join(nearest_names(plain))
            self.problems.append(Notice.of("unknown-ingredient", *path, read=plain, like=near))
        return base

    def _own(self, path: Path, name: str, entry: OwnIngredient) -> Ingredient | None:
        base = ingredient_named(entry.like or name)
        if entry.like and base is None:
            return None
        found = own_ingredient(name, entry, base)
        if found.composition is None and found.kind != "starter":
            self.notices.append(Notice.of("composition-unknown", *path, name=name))
        return found

    def unit_mass(
        self, path: Path, name: str, ingredient: Ingredient, amount: Quantity
    ) -> float | None:
        """Mass of one unit of an amount: 1 kg, a cubic metre of it, one large egg."""
        if amount.dimension == "mass":
            return 1.0
        if amount.dimension == "volume":
            if ingredient.density is None:
                self.problems.append(Notice.of("no-density", *path, name=name))
            return ingredient.density
        region = self.place or "EU"
        mass = counted_mass(ingredient.name, amount.measure, region)
        if mass is None:
            known = ", ".join(measures_of(ingredient.name, region)) or "none"
            values = {"read": amount.text, "name": ingredient.name, "allowed": known}
            self.problems.append(Notice.of("unknown-measure", *path, **values))
        elif self.place is None and self.differs(ingredient.name, amount.measure):
            self.notices.append(
                Notice.of("measure-without-country", *path, read=amount.text, mass=mass)
            )
        return mass

    @staticmethod
    def differs(ingredient: str, measure: str) -> bool:
        """Whether a measure means another weight in the US than in the EU."""
        us, eu = counted_mass(ingredient, measure, "US"), counted_mass(ingredient, measure, "EU")
        return us is not None and eu is not None and us != eu


def plain_name(name: str) -> str:
    """Strip what tells a second line apart: ``water (second)`` is water."""
    return " ".join(re.sub(r"\s*\([^)]*\)\s*$", "", name).split()).casefold()


def ingredient_key(name: str) -> str:
    """One word for all the words of an ingredient: the table's, else the baker's own.

    >>> ingredient_key("Bread flour (second)"), ingredient_key("Ube paste")
    ('strong white flour', 'ube paste')
    """
    plain = plain_name(name)
    found = ingredient_named(name) or ingredient_named(plain)
    return found.name if found is not None else plain


def _is_rye(starter: str, like: str | None) -> bool:
    """Whether a starter is a rye starter, by its own name or the one it is like."""
    return "rye" in re.findall(r"\w+", f"{starter} {like or ''}".casefold())


def _spread(amount: Quantity) -> tuple[float, float]:
    if not amount.ranged or not amount.best:
        return (1.0, 1.0)
    return amount.low / amount.best, amount.high / amount.best


def _use(name: str, use: UseInDocument) -> Use:
    if use.share is None:
        return Use(name)
    if use.share.dimension == "mass":
        return Use(name, mass=use.share.best)
    return Use(name, share=use.share.best)


_STATED = ("water", "protein", "fat", "carbohydrate", "fibre", "alcohol")


def own_ingredient(name: str, entry: OwnIngredient, base: Ingredient | None) -> Ingredient:
    """Put the baker's values over the table's; what is not stated fills up to 100 %."""
    stated = _stated(entry)
    start = base or _blank(name)
    composition = _composition(stated, start.composition)
    changes: dict[str, object] = {"name": name, "composition": composition}
    for field, quantity in (("sugars", entry.sugars), ("salt", entry.salt)):
        if quantity is not None:
            changes[field] = quantity.best
    if entry.salt is not None:
        changes["sodium"] = entry.salt.best / constants("nutrition")["salt_per_sodium"].value
    if entry.protein is not None:
        changes["protein_factor"] = LABEL_PROTEIN_FACTOR  # it is a label's
    kind = (entry.kind or start.kind).casefold()
    if base is not None or kind != "other":  # of nothing known, ``other`` tells nothing more
        changes |= {"kind": kind, "poured": start.poured or kind == "liquid"}
    if entry.sugars is not None:
        changes["fermentable_sugars"] = entry.sugars.best
        changes["added_sugars"] = entry.sugars.best * _share_added(base, kind)
    if base is None:
        hazard = "flour" if entry.flour else OWN_RAW_HAZARD.get(kind, "")
        changes |= {"spoils": OWN_SPOILS.get(kind, "no"), "raw_hazard": hazard}
    if entry.flour is not None:
        changes["flour"] = 1.0 if entry.flour else 0.0
    if entry.allergens is not None:
        changes["allergens_eu"] = changes["allergens_us"] = tuple(entry.allergens)
    return replace(start, **changes)  # type: ignore[arg-type]  # names are fields


def _share_added(base: Ingredient | None, kind: str) -> float:
    """Which share of the sugars is added: as in what it is like, else all of a sugar's."""
    if base is not None and base.sugars:
        return base.added_sugars / base.sugars
    return 1.0 if kind == "sugar" else 0.0


def _stated(entry: OwnIngredient) -> dict[str, float]:
    return {
        part: quantity.best for part in _STATED if (quantity := getattr(entry, part)) is not None
    }


def _composition(stated: dict[str, float], base: Composition | None) -> Composition | None:
    """Stated parts as stated; the others share the rest as in the table (else carbohydrate)."""
    if not stated:
        return base
    parts = {part: getattr(base, part) if base else 0.0 for part in (*_STATED, "ash")}
    rest = max(0.0, 1 - sum(stated.values()))  # a label's rounding may pass the whole
    others = sum(value for part, value in parts.items() if part not in stated)
    if others:
        scaled = {part: value * rest / others for part, value in parts.items()}
        return Composition(**(scaled | stated))
    return Composition(**(parts | {"carbohydrate": rest} | stated))


def _blank(name: str) -> Ingredient:
    return Ingredient(
        name=name,
        kind=OWN_KIND,
        flour=0.0,
        poured=False,
        composition=None,
        saturates=0.0,
        sugars=0.0,
        fermentable_sugars=0.0,
        salt=0.0,
        sodium=0.0,
        density=None,
        butterfat=False,
        yeast_equivalent=0.0,
        perishable=False,
        kept="room",
        allergens_eu=(),
        allergens_us=(),
        source="the formula",
        locator="ingredients",
    )

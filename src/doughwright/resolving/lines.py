"""A document's ingredient lines as the engine's, with their ingredients found."""

import re
from collections.abc import Iterator, Mapping
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
from doughwright.documents.names import plain_name
from doughwright.documents.quantities import Quantity
from doughwright.engine.allergens import TO_CHECK
from doughwright.engine.formula import Line, Preparation, Use
from doughwright.engine.ingredients import (
    BESIDE,
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
    plain_words,
    starter_of,
)
from doughwright.engine.nutrition import OF_THE_BAKER, WITHIN
from doughwright.engine.overall import MOIST
from doughwright.engine.properties import constants
from doughwright.errors import Notice, Path

OWN_KIND = "own"
"""Kind of an own ingredient that is like nothing in the table: its stated water counts."""

RYE, WHEAT = "medium rye flour", "strong white flour"
"""What a starter is made of, by whether it is called rye (assumption)."""

OWN_SPOILS: Mapping[str, Spoils] = dict.fromkeys(
    ("dairy", "cheese", "egg", "meat", "vegetable"), "cold"
)
OWN_RAW_HAZARD: Mapping[str, RawHazard] = {"flour": "flour", "egg": "egg", "meat": "meat"}
"""What is taken of an own ingredient by the kind it is called, unless it is like one of it."""

ROUNDED = 0.005
"""Parts of a packet's label may miss the whole by this much through rounding."""


class Lookup:
    """Finds the ingredients of one formula, and remembers what could not be found."""

    def __init__(self, document: FormulaDocument) -> None:
        """Take the formula's own ingredients first, then the table's."""
        self.place = document.place
        self.made = {plain_name(name): name for name in document.preparations}
        self.own = {plain_name(name): (name, own) for name, own in document.ingredients.items()}
        self.problems: list[Notice] = []
        self.notices: list[Notice] = []
        self._check_own()

    def _check_own(self) -> None:
        """Note own ingredients that cannot be, once, however often they are used."""
        for name, entry in self.own.values():
            self.problems.extend(_own_problems(name, entry))

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
        other = self.made.get(plain, "")
        if base is None and other and path[:1] == ("preparations",) and path[1] != other:
            values = {"read": plain, "name": other, "by": path[1]}
            self.problems.append(Notice.of("preparation-as-ingredient", *path, **values))
        elif base is None:
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


def _own_problems(name: str, entry: OwnIngredient) -> Iterator[Notice]:
    """Why an own ingredient cannot be: more than the whole, like nothing known."""
    path, base = ("ingredients", name), ingredient_named(entry.like or plain_name(name))
    whole = sum(_stated(entry).values())
    if whole > 1 + ROUNDED:
        yield Notice.of("parts-exceed-whole", *path, name=name, sum=whole)
    elif entry.like and base is None:
        near = ", ".join(nearest_names(entry.like))
        yield Notice.of("unknown-ingredient", *path, "like", read=entry.like, like=near)
    else:
        yield from _part_problems(name, entry, base)


def _part_problems(name: str, entry: OwnIngredient, base: Ingredient | None) -> Iterator[Notice]:
    """Saturates beyond the fat, sugars beyond the carbohydrate, as far as either is known."""
    composition = _composition(_stated(entry), base.composition if base else None)
    for part, whole in WITHIN.items():
        said = getattr(entry, part)
        if said is None or composition is None:
            continue
        most = getattr(composition, whole)
        if said.best > most + ROUNDED:
            values = {"part": part, "share": said.best, "whole": whole, "most": most}
            yield Notice.of("part-exceeds-whole", "ingredients", name, part, name=name, **values)


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
    start = base or _blank(name)
    composition = _composition(_stated(entry), start.composition)
    kind = _kind_called(entry.kind) if entry.kind else start.kind
    changes: dict[str, object] = {"name": name, "composition": composition}
    changes |= _parts_within(start, composition) | _beside(entry, base, kind)
    changes["blanks"] = tuple(_blanks(entry, start, composition))
    if entry.protein is not None:
        changes["protein_factor"] = LABEL_PROTEIN_FACTOR  # it is a label's
    if entry.edible is not None:
        changes["edible"] = entry.edible.best
    if base is not None or kind != "other":  # of nothing known, ``other`` tells nothing more
        changes |= {"kind": kind, "poured": start.poured or kind == "liquid"}
    if base is None or kind != base.kind:
        changes |= _keeping(entry, start, kind)
    if entry.flour is not None:
        changes["flour"] = 1.0 if entry.flour else 0.0
    changes |= _allergens(name, entry, start)
    return replace(start, **changes)  # type: ignore[arg-type]  # names are fields


def _allergens(name: str, entry: OwnIngredient, start: Ingredient) -> dict[str, object]:
    """What is stated; else those of what it is like, and, unless it is that, more to ask for.

    Where the name is itself a row of the table, its allergens are to be asked for: a tahini that
    is like olive oil may be one.
    """
    if entry.allergens is not None:
        stated = tuple(entry.allergens)
        compound = "yes" if len(stated) > 1 else start.compound
        return {"allergens_eu": stated, "allergens_us": stated, "compound": compound}
    named = ingredient_named(name)
    if named is not None and named.name == start.name:
        return {}
    found: dict[str, object] = {"allergens_stated": False}
    for law in ("allergens_eu", "allergens_us"):
        ask = getattr(named, law) if named is not None else ()
        more = tuple(TO_CHECK + entry.removeprefix(TO_CHECK) for entry in ask)
        found[law] = tuple(dict.fromkeys((*getattr(start, law), *more)))
    return found


def _kind_called(word: str) -> str:
    """A kind as the table calls it (``Cheeses`` are cheese), other words as they are."""
    singular = " ".join(plain_words(word))
    known = {ingredient.kind for ingredient in ingredient_table().values()} | OWN_SPOILS.keys()
    return singular if singular in known else word.casefold()


def _parts_within(start: Ingredient, composition: Composition | None) -> dict[str, float]:
    """Saturates and sugars in the table's proportion to the fat and carbohydrate they are in."""
    if start.composition is None or composition is None:
        return {}
    parts = {**WITHIN, "fermentable_sugars": "carbohydrate", "added_sugars": "carbohydrate"}
    return {
        part: getattr(start, part) * (getattr(composition, whole) / old)
        for part, whole in parts.items()
        if (old := getattr(start.composition, whole))
    }


def _beside(entry: OwnIngredient, base: Ingredient | None, kind: str) -> dict[str, float]:
    """What the baker states beside a composition: saturates, sugars, salt."""
    found = {}
    if entry.saturates is not None:
        found["saturates"] = entry.saturates.best
    if entry.sugars is not None:
        found["sugars"] = found["fermentable_sugars"] = entry.sugars.best
        found["added_sugars"] = entry.sugars.best * _share_added(base, kind)
    if entry.salt is not None:
        found["salt"] = entry.salt.best
        found["sodium"] = entry.salt.best / constants("nutrition")["salt_per_sodium"].value
    return found


def _blanks(
    entry: OwnIngredient, start: Ingredient, composition: Composition | None
) -> Iterator[str]:
    """What beside a composition neither the baker nor the table knows.

    Saturates of a fat that the table's row has none of are not known either, and so on.
    """
    for part in BESIDE:
        stated = entry.salt if part == "sodium" else getattr(entry, part)
        whole = WITHIN.get(part, "")
        grown = start.composition is None or (
            bool(whole)
            and not getattr(start.composition, whole)
            and bool(getattr(composition, whole))
        )
        if stated is None and (grown or part in start.blanks):
            yield part


def _keeping(entry: OwnIngredient, start: Ingredient, kind: str) -> dict[str, object]:
    """How an ingredient of this kind keeps; powders and other dry things keep well."""
    hazard = start.raw_hazard or ("flour" if entry.flour else OWN_RAW_HAZARD.get(kind, ""))
    dry = entry.water is not None and entry.water.best < MOIST
    if dry or kind not in OWN_SPOILS:
        return {"raw_hazard": hazard}
    spoils = OWN_SPOILS[kind]
    return {"raw_hazard": hazard, "spoils": spoils, "perishable": True, "kept": "fridge"}


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
        source=OF_THE_BAKER,
        locator="ingredients",
    )

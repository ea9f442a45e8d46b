"""What bread contains: from the ingredients' tables to a kilogram as it is sold.

Masses are added up raw and divided by what is left after the oven, which takes water. EU
and US count protein and carbohydrate differently; both are kept. What a table does not
know is listed with its share: the sums then are the least there is.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import astuple, dataclass, replace
from types import MappingProxyType

from doughwright.engine.formula import Line, SolvedFormula
from doughwright.engine.ingredients import LABEL_PROTEIN_FACTOR, Ingredient
from doughwright.engine.overall import free_water
from doughwright.engine.properties import constants
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ASSUMPTION, ModelCard, Range, notices_for
from doughwright.units import JoulePerKilogram, Kilogram, Ratio

JOULES_PER_KILOCALORIE = 4184.0
"""The thermochemical calorie, exact by definition; labels never convert one to the other."""

OF_THE_BAKER = "the formula"
"""Source of an ingredient that the baker described, like nothing in the table."""

WITHIN = MappingProxyType({"saturates": "fat", "sugars": "carbohydrate"})
"""What some are part of: where there is none of it, none of them is missing."""

AS_SOLD = ModelCard(
    key="as-sold",
    name="Nutrients as sold",
    predicts="nutrients and energy of the baked product from what was weighed",
    sources=("eu-1169-2011", "usda-sr28", "usda-sr-legacy", ASSUMPTION),
    inputs={"baking_loss": Range(0.0, 0.3, "1")},
    expected_error="as the ingredients differ from their tables; 1 point of baking loss moves "
    "everything by 1.1 %",
    known_from="two formulas worked out by hand; flours and cheeses of different makers",
    assumptions=(
        "the oven takes water, and before it the alcohol of beer and extracts",
        "what yeast turns into gas and alcohol (0.5–1.5 % of the dough, from memory) still counts",
        "all glaze and filling is eaten, nothing is fried",
    ),
)


@dataclass(frozen=True, slots=True)
class Nutrients:
    """Nutrients in a kilogram of an ingredient or a product; all are mass ratios.

    ``protein`` is nitrogen by the table's own factor and ``carbohydrate`` what that leaves,
    without fibre; ``protein_n6_25`` is the same nitrogen by 6.25. ``added_sugars`` are
    those of the US.
    """

    water: Ratio
    protein: Ratio
    protein_n6_25: Ratio
    fat: Ratio
    saturates: Ratio
    carbohydrate: Ratio
    sugars: Ratio
    fibre: Ratio
    sodium: Ratio
    alcohol: Ratio
    ash: Ratio
    added_sugars: Ratio

    @property
    def salt(self) -> Ratio:
        """Sodium as salt, whatever brought it."""
        return self.sodium * constants("nutrition")["salt_per_sodium"].value

    @property
    def carbohydrate_eu(self) -> Ratio:
        """Available carbohydrate beside protein by 6.25: what one gains the other loses."""
        return max(0.0, self.carbohydrate - (self.protein_n6_25 - self.protein))

    @property
    def carbohydrate_us(self) -> Ratio:
        """Total carbohydrate by difference, fibre included."""
        return self.carbohydrate + self.fibre


NOTHING = Nutrients(*(0.0,) * 12)


@dataclass(frozen=True, slots=True)
class Missing:
    """Something unknown of an ingredient that is ``share`` of the raw mass.

    ``part`` is ``composition`` where nothing is known, else the nutrient.
    """

    name: str
    part: str
    share: Ratio


@dataclass(frozen=True, slots=True)
class Product:
    """A product as sold: nutrients per kilogram, what it weighs, what is not known of it.

    With anything in ``missing`` the nutrients are the least it can contain.
    """

    nutrients: Nutrients
    mass: Kilogram
    raw_mass: Kilogram
    missing: tuple[Missing, ...] = ()
    notices: tuple[Notice, ...] = ()

    @property
    def unknown(self) -> frozenset[str]:
        """What a label can only say the least of: ``composition`` (all of it), or a nutrient.

        Missing from less than a negligible share of the raw mass does not count; salt counts
        sooner, for little of it is much.
        """
        parts = {"composition": "missing_negligible", **dict.fromkeys(WITHIN, "missing_negligible")}
        limits = {**parts, "sodium": "missing_negligible_salt"}
        return frozenset(
            part
            for part, limit in limits.items()
            if sum(m.share for m in self.missing if m.part in {part, "composition"})
            >= constants("nutrition")[limit].value
        )


Weighed = Sequence[tuple[Ingredient, Kilogram]]
"""Ingredients with their raw, edible masses; one may stand in it more than once."""


def nutrients_of(ingredient: Ingredient) -> Nutrients | None:
    """Nutrients of an ingredient as its table has them; None when its composition is unknown.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> flour = nutrients_of(ingredient_table()["strong white flour"])
    >>> round(flour.carbohydrate_us, 4)  # USDA SR28, NDB 20129: 72.53 g by difference
    0.7253
    """
    parts = ingredient.composition
    if parts is None:
        return None
    counted = 0.0 if ingredient.kind == "salt" else ingredient.salt  # salt holds other salts too
    sodium_at_least = counted / constants("nutrition")["salt_per_sodium"].value
    return Nutrients(
        water=parts.water,
        protein=parts.protein,
        protein_n6_25=parts.protein * LABEL_PROTEIN_FACTOR / ingredient.protein_factor,
        fat=parts.fat,
        saturates=ingredient.saturates,
        carbohydrate=parts.carbohydrate,
        sugars=ingredient.sugars,
        fibre=parts.fibre,
        sodium=max(ingredient.sodium, sodium_at_least),
        alcohol=parts.alcohol,
        ash=parts.ash,
        added_sugars=ingredient.added_sugars,
    )


def as_sold(weighed: Weighed, baking_loss: Ratio) -> Product:
    """Nutrients per kilogram of the product, from raw masses and the share lost on baking.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> grams = {"strong white flour": 1000, "water": 680, "salt": 20, "instant yeast": 10}
    >>> weighed = [(table[name], mass / 1000) for name, mass in grams.items()]
    >>> bread = as_sold(weighed, 0.12)  # our own worked example, from the USDA rows
    >>> round(bread.mass, 4), round(bread.nutrients.salt, 5), round(bread.nutrients.water, 4)
    (1.5048, 0.01297, 0.4042)

    Raises
    ------
    ImpossibleInput
        If more is lost than there is water, or less than nothing.
    """
    raw_mass = sum(mass for _, mass in weighed)
    assert raw_mass > 0, "a formula without flour is refused before it comes here"
    missing = tuple(_missing(weighed, raw_mass))
    raw = _summed(weighed, raw_mass)
    unknown = sum(m.share for m in missing if m.part == "composition")
    notices = (*notices_for(AS_SOLD, baking_loss=baking_loss),) if baking_loss >= 0 else ()
    dried = _dried(raw, baking_loss, unknown)
    kept = 1 - baking_loss
    baked = _guarded(Nutrients(*(part / kept for part in astuple(dried))))
    added = sum(free_water(i) * mass for i, mass in weighed) / raw_mass + raw.alcohol + unknown
    if added < baking_loss:
        values = {"loss": baking_loss, "water": added}
        notices = (*notices, Notice.of("loss-beyond-added-water", **values))
    return Product(baked, raw_mass * kept, raw_mass, missing, notices)


def to_the_oven(formula: SolvedFormula) -> Weighed:
    """Ingredients of what is baked: the pieces' dough and all that goes beside it.

    Dough spared or left over is not counted.

    >>> [(i.name, round(mass, 3)) for i, mass in to_the_oven(brioche)][:2]
    [('whole milk', 0.06), ('fresh yeast', 0.015)]
    """
    return tuple((line.ingredient, mass) for line, mass in lines_to_the_oven(formula))


def lines_to_the_oven(formula: SolvedFormula) -> tuple[tuple[Line, Kilogram], ...]:
    """Lines of what is baked, each with as much of it as goes into the oven.

    >>> [(line.name, round(mass, 3)) for line, mass in lines_to_the_oven(brioche)][:2]
    [('whole milk', 0.06), ('fresh yeast', 0.015)]
    """
    shares = _baked_shares(formula)
    return tuple(
        (line, mass * shares[p.name])
        for p in formula.preparations
        for line, mass in zip(p.preparation.lines, p.masses, strict=True)
        if mass * shares[p.name] > 0
    )


def energy_eu(nutrients: Nutrients) -> JoulePerKilogram:
    """Energy by the kilojoule factors of EU law, Annex XIV.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> sugar = nutrients_of(ingredient_table()["sugar"])
    >>> round(energy_eu(sugar) / 1e4)  # kJ in 100 g: 99.98 g carbohydrate at 17 kJ
    1700
    """
    return 1e6 * _weighted("eu_kilojoules", _eu(nutrients))


def kilocalorie_energy_eu(nutrients: Nutrients) -> JoulePerKilogram:
    """Energy by the kilocalorie factors of EU law, a sum of its own (4184 J to print it).

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> sugar = nutrients_of(ingredient_table()["sugar"])
    >>> round(kilocalorie_energy_eu(sugar) / JOULES_PER_KILOCALORIE / 10)  # kcal in 100 g
    400
    """
    return 1e3 * JOULES_PER_KILOCALORIE * _weighted("eu_kilocalories", _eu(nutrients))


def energy_us(nutrients: Nutrients) -> JoulePerKilogram:
    """Energy by 4, 4 and 9 kcal/g of protein, total carbohydrate and fat; alcohol has none.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> sugar = nutrients_of(ingredient_table()["sugar"])
    >>> round(energy_us(sugar) / JOULES_PER_KILOCALORIE / 10)  # kcal in 100 g
    400
    """
    parts = {
        "carbohydrate": nutrients.carbohydrate_us,
        "protein": nutrients.protein,
        "fat": nutrients.fat,
    }
    return 1e3 * JOULES_PER_KILOCALORIE * _weighted("us_kilocalories", parts)


def _eu(nutrients: Nutrients) -> Mapping[str, Ratio]:
    return {
        "carbohydrate": nutrients.carbohydrate_eu,
        "protein": nutrients.protein_n6_25,
        "fat": nutrients.fat,
        "fibre": nutrients.fibre,
        "alcohol": nutrients.alcohol,
    }


def _weighted(factors: str, parts: Mapping[str, Ratio]) -> float:
    table = constants("nutrition")
    return sum(table[f"{factors}_{part}"].value * ratio for part, ratio in parts.items())


def _summed(weighed: Weighed, raw_mass: Kilogram) -> Nutrients:
    known = [(nutrients_of(ingredient) or NOTHING, mass) for ingredient, mass in weighed]
    columns = zip(*(astuple(nutrients) for nutrients, _ in known), strict=True)
    masses = [mass for _, mass in known]
    return Nutrients(
        *(sum(a * m for a, m in zip(c, masses, strict=True)) / raw_mass for c in columns)
    )


def _dried(raw: Nutrients, baking_loss: Ratio, unknown: Ratio) -> Nutrients:
    """Take the loss off alcohol, then off water; what is unknown may be water."""
    if baking_loss < 0:
        raise ImpossibleInput([Notice.of("loss-below-zero", loss=baking_loss)])
    alcohol = min(raw.alcohol, baking_loss)
    water = raw.water - (baking_loss - alcohol)
    if water + unknown < 0:
        most = raw.water + raw.alcohol + unknown
        raise ImpossibleInput([Notice.of("loss-exceeds-water", loss=baking_loss, most=most)])
    return replace(raw, water=max(0.0, water), alcohol=raw.alcohol - alcohol)


def _guarded(n: Nutrients) -> Nutrients:
    """Keep a part of a part within it: USDA's milk has more sugars than carbohydrate."""
    sugars = min(n.sugars, n.carbohydrate)
    added = min(n.added_sugars, sugars)
    return replace(n, saturates=min(n.saturates, n.fat), sugars=sugars, added_sugars=added)


def _missing(weighed: Weighed, raw_mass: Kilogram) -> Iterator[Missing]:
    shares: dict[Ingredient, Ratio] = {}
    for ingredient, mass in weighed:
        shares[ingredient] = shares.get(ingredient, 0.0) + mass / raw_mass
    for ingredient, share in shares.items():
        for part in _unknown_parts(ingredient):
            yield Missing(ingredient.name, part, share)


def _unknown_parts(ingredient: Ingredient) -> Iterator[str]:
    """What nobody stated: blanks of the table, and what the baker left out of their own."""
    nutrients = nutrients_of(ingredient)
    if nutrients is None:
        yield "composition"
        return
    for part in ingredient.blanks:
        possible = part not in WITHIN or getattr(nutrients, WITHIN[part])
        if possible and not getattr(nutrients, part):
            yield part


def _baked_shares(formula: SolvedFormula) -> Mapping[str, Ratio]:
    """Share of each preparation, as made, that ends on or in the pieces."""
    shares = dict.fromkeys((p.name for p in formula.preparations), 0.0)
    taken = dict.fromkeys(shares, 0.0)
    for p in formula.preparations:
        for other, mass in p.taken.items():
            taken[other] += mass / formula.named(other).mass if mass else 0.0
    for p in reversed(formula.preparations):
        if p.name == formula.final:
            pieced = (formula.pieces or 0) * (formula.piece or 0.0)
            shares[p.name] += pieced / p.mass if pieced else 1.0
        elif not p.preparation.in_dough:
            shares[p.name] += max(0.0, 1 - taken[p.name])
        for other, mass in p.taken.items():
            made = formula.named(other).mass
            shares[other] += shares[p.name] * mass / made if made else 0.0
    return MappingProxyType(shares)

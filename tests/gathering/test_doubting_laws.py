"""Laws of doubting: a table that is right raises none; one slip is told with its candidate."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from doughwright.gathering.drafted import Draft
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Doubt
from doughwright.gathering.pages.sections import text_gathered

DRAWS = 400
"""How often a table is changed to count how many slips are told."""

OTHERS = ("sugar", "unsalted butter", "honey", "skimmed milk powder", "egg yolk")
QUIET = ("gather-which", "gather-measure")
"""What may be asked of a right table: which of several, not what is wrong."""


@dataclass(frozen=True)
class Loaf:
    """Lines of a table in grams and in percent of the flour, as they are printed."""

    names: tuple[str, ...]
    grams: tuple[str, ...]
    shares: tuple[str, ...]
    sums: tuple[str, str]

    def listed(self) -> str:
        rows = [f"{mass} g {name}" for mass, name in zip(self.grams, self.names, strict=True)]
        return "\n".join(["Loaf", "", *rows, f"Total {self.sums[0]} g"])

    def table(self, *, summed: bool) -> str:
        cells = zip(self.names, self.grams, self.shares, strict=True)
        rows = [" | ".join(row) for row in cells]
        total = [f"Total | {' | '.join(self.sums)}"] if summed else []
        return "\n".join(["Loaf", "", "What | g | %", *rows, *total])


def loaf(chance: Random) -> Loaf:
    """A plausible dough whose numbers are rounded each for itself, its sums too."""
    more = chance.sample(OTHERS, chance.randint(0, 4))
    rye = chance.choice((0.0, round(chance.uniform(5, 45))))
    shares = {"bread flour": 100 - rye, "medium rye flour": rye} if rye else {"bread flour": 100.0}
    shares["water"] = chance.uniform(55, 80)
    shares["salt"] = chance.uniform(1.2, 2.4)
    shares["fresh yeast"] = chance.uniform(0.6, 4)
    shares |= {name: chance.uniform(2, 9) for name in more}
    flour = chance.uniform(3, 20)  # g for one percent
    scales = [0, 1] if flour > 8 else [1]
    decimals, digits = chance.choice(scales), chance.choice((1, 2))
    grams = [_printed(share * flour, decimals, chance) for share in shares.values()]
    sums = f"{sum(shares.values()) * flour:.{decimals}f}", f"{sum(shares.values()):.{digits}f}"
    return Loaf(
        tuple(shares), tuple(grams), tuple(f"{s:.{digits}f}" for s in shares.values()), sums
    )


def _printed(mass: float, decimals: int, chance: Random) -> str:
    """Small weights as a card has them, a digit finer."""
    finer = mass < 20 and decimals == 0 and chance.random() < 0.5
    return f"{mass:.{decimals + finer}f}"


def drafted(text: str) -> Draft:
    return draft(text_gathered(text, "a table"))


def asked(made: Draft) -> list[Doubt]:
    return [d for d in made.doubts if d.notice.code not in QUIET]


def layouts(one: Loaf) -> tuple[str, ...]:
    return one.listed(), one.table(summed=False), one.table(summed=True)


@given(st.integers(0, 10**9))
@settings(max_examples=150, deadline=None)
def test_a_consistent_table_raises_no_doubt(seed: int) -> None:
    for text in layouts(loaf(Random(seed))):  # noqa: S311 - no secret
        assert asked(drafted(text)) == [], text


# --- One slip -------------------------------------------------------------------------------------


def moved(words: str, power: float) -> str:
    """A number with its point moved, as somebody would print it."""
    return f"{float(words) * power:.6g}"


def slipped(one: Loaf, at: int, power: float) -> Loaf:
    grams = [moved(g, power) if i == at else g for i, g in enumerate(one.grams)]
    return replace(one, grams=tuple(grams))


def swapped(one: Loaf, at: int, other: int) -> Loaf:
    grams = list(one.grams)
    grams[at], grams[other] = grams[other], grams[at]
    return replace(one, grams=tuple(grams))


def matters(one: Loaf, at: int, power: float, *, summed_only: bool) -> bool:
    """Whether a slip moves more than the rounding of all lines can."""
    value = float(one.grams[at])
    step = max(10.0 ** -len(g.partition(".")[2]) for g in one.grams)
    lines = len(one.grams) + 1 if summed_only else 2
    return abs(power - 1) * value > lines * step


def candidates(made: Draft) -> Iterator[float]:
    yield from (1000 * c.mass[1] for d in asked(made) for c in d.choices if c.mass)


def offers(made: Draft, mass: float, within: float) -> bool:
    return any(abs(found - mass) <= within for found in candidates(made))


@pytest.mark.parametrize("power", [10.0, 100.0, 0.1])
@pytest.mark.parametrize("layout", [0, 1, 2], ids=["list", "columns", "columns and total"])
def test_a_moved_point_is_told_with_the_right_number(layout: int, power: float) -> None:
    chance, drawn, found = Random(int(power * 10) + layout), 0, 0  # noqa: S311 - no secret
    while drawn < DRAWS // 4:
        one = loaf(chance)
        at = chance.randrange(len(one.names))
        if not matters(one, at, power, summed_only=layout == 0):
            continue
        drawn += 1
        made = drafted(layouts(slipped(one, at, power))[layout])
        found += offers(made, float(one.grams[at]), 1.0 + 0.01 * float(one.grams[at]))
    assert found >= 0.95 * drawn


@pytest.mark.parametrize("layout", [1, 2], ids=["columns", "columns and total"])
def test_two_lines_that_changed_places_are_told(layout: int) -> None:
    chance, drawn, found = Random(layout), 0, 0  # noqa: S311 - no secret
    while drawn < DRAWS // 2:
        one = loaf(chance)
        at, other = chance.sample(range(len(one.names)), 2)
        masses = float(one.grams[at]), float(one.grams[other])
        if abs(masses[0] - masses[1]) < 4 + 0.04 * max(masses):
            continue
        drawn += 1
        made = drafted(layouts(swapped(one, at, other))[layout])
        exchanged = [d for d in made.doubts if d.notice.code == "gather-swapped"]
        names = {one.names[at], one.names[other]}
        told = [{d.notice.values["name"], d.notice.values["other"]} for d in exchanged]
        found += names in told
    assert found >= 0.95 * drawn


@pytest.mark.parametrize("pair", [("salt", "water"), ("bread flour", "fresh yeast")])
def test_two_lines_of_one_list_that_changed_places_are_told(pair: tuple[str, str]) -> None:
    chance, drawn, found = Random(len(pair[0])), DRAWS // 4, 0  # noqa: S311 - no secret
    for _ in range(drawn):
        one = loaf(chance)
        made = drafted(swapped(one, *map(one.names.index, pair)).listed())
        (doubt,) = asked(made)
        keys = {frozenset(choice.key.split(" and ")) for choice in doubt.choices}
        found += doubt.notice.code == "gather-places" and frozenset(pair) in keys
    assert found >= 0.95 * drawn

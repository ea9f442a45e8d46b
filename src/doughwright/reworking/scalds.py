"""A part of the flour scalded with some of the water, and back; the whole stays what it is."""

from collections.abc import Iterable, Iterator
from dataclasses import replace
from math import floor
from typing import Any

from doughwright.documents.editing import Edit, Insert
from doughwright.documents.quantities import ICE_POINT
from doughwright.engine.exchange import largest_preferment
from doughwright.engine.formula import PERCENT_SLACK
from doughwright.engine.overall import PLAIN_WATER, free_water
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.reworking.amounts import EXACT, at_most, number
from doughwright.reworking.moving import (
    Tree,
    free_name,
    moved_out,
    put_before,
    taken_away,
    taken_first,
    takers,
    usual,
)
from doughwright.reworking.rework import (
    ALL_OF_IT,
    Rework,
    Weighed,
    followed,
    line_named,
    refusal,
    reworked,
    rising_steps,
    times_dropped,
    weighed_lines,
)
from doughwright.units import Kilogram, Ratio

SCALD = "scald"
TOP_UP = (
    "Weigh the pan first. Water boils away: "
    "top up with hot water to the weight of flour and water together."
)


def with_scald(formula: ResolvedFormula, share: Ratio, liquid: Ratio | None = None) -> Rework:
    """Scald a share of the flour in ``liquid`` times its weight of the dough's water.

    What boils away is topped up, so that each ingredient of the whole stays as it is.

    Raises
    ------
    DocumentError
        Beyond the flour or the water the dough has; the limit is stated.
    """
    document, dough = formula.document, formula.solution.final
    lines = weighed_lines(formula, dough)
    ratio = liquid if liquid is not None else usual("scald_liquid")
    if ratio <= 0:
        allowed = f"{usual('scald_liquid'):g} times the water"
        raise refusal("not-above-zero", read=f"{ratio:g} times the water", allowed=allowed)
    shares = _scalded(lines, share, ratio, formula.solution.total_flour)
    name = free_name(document, SCALD)
    edits, moved = moved_out(lines, shares, name)
    ingredients = {key: _boiling(lines, key, said) for key, said in moved.items()}
    tree: Tree = {"kind": "soaker", "style": SCALD, "ingredients": ingredients}
    dropped, said = times_dropped(document, rising_steps(document, [dough]))
    put: list[Edit] = put_before(document, dough, name, tree, _steps(name))
    return reworked(formula, [*dropped, *put, *edits], ALL_OF_IT, said)


def _scalded(
    lines: tuple[Weighed, ...], share: Ratio, ratio: Ratio, total: Kilogram
) -> dict[str, Ratio]:
    flours = sorted(
        (line for line in lines if line.ingredient.flour >= 1), key=lambda line: -line.mass
    )
    waters = [line for line in lines if free_water(line.ingredient) >= PLAIN_WATER]
    there, water = (sum(line.mass for line in each) for each in (flours, waters))
    flour = share * total
    if not 0 < flour <= there * (1 + PERCENT_SLACK):
        values = {"style": SCALD, "share": share, "limit": at_most(there / total)}
        raise refusal("preferment-flour-short", "preparations", **values)
    if water <= 0:
        raise refusal("no-water-for-scald", "preparations")
    limit = largest_preferment({"flour": total, "water": water}, ratio)
    if share > limit + EXACT:
        wetness = floor(100 * water / flour + EXACT) / 100
        values = {"share": share, "limit": at_most(limit), "times": wetness}
        liquid = {"wanted": ratio * flour, "there": water}
        raise refusal("scald-too-large", "preparations", **values, **liquid)
    return taken_first(flours, flour, total) | taken_first(waters, ratio * flour, total)


def _boiling(lines: tuple[Weighed, ...], name: str, said: object) -> object:
    """Say of flour that it still is flour, of water that it boils."""
    flour = next(line for line in lines if line.name == name).ingredient.flour
    beside = {"flour": "yes"} if flour else {"at": f"{usual('scald_warm') - ICE_POINT:.0f} °C"}
    return {**(said if isinstance(said, dict) else {"amount": said}), **beside}


def _steps(name: str) -> list[Tree]:
    cook, cool = (f"{number(usual(f'scald_{key}') / 60)} min" for key in ("cook", "cool"))
    return [{"cook": name, "for": cook, "note": TOP_UP}, {"cool": name, "for": cool}]


def without_scald(formula: ResolvedFormula) -> Rework:
    """Put the flour and water of every scald back into the dough that takes it.

    Raises
    ------
    DocumentError
        If there is no scald.
    """
    names = [
        name for name, p in formula.document.preparations.items() if SCALD in (p.style or "", name)
    ]
    if not names:
        raise refusal("no-scald", "preparations")
    done = _without(formula, names[0])
    for name in names[1:]:
        done = followed(done, _without(done.formula, name))
    return done


def _without(formula: ResolvedFormula, name: str) -> Rework:
    document = formula.document
    into = takers(document, name)
    if len(into) != 1 or document.preparations[name].uses:
        raise refusal("taken-by-several", "preparations", name, name=name, by=", ".join(into))
    dropped, said = times_dropped(document, rising_steps(document, into))
    edits = [*dropped, *_uncooked(taken_away(formula, name, into[0]), into[0])]
    said += _gone_with_it(formula, name, into[0])
    return reworked(formula, edits, ALL_OF_IT, said)


def _uncooked(edits: Iterable[Edit], into: str) -> Iterator[Edit]:
    """Without what was so for the pan only: how hot a line went in, its note."""
    path = ("preparations", into)
    for edit in edits:
        if isinstance(edit, Insert) and edit.path == (*path, "ingredients"):
            yield replace(edit, value=_plain(edit.value))
        elif edit.path != (*path, "note"):
            yield edit


def _plain(tree: Any) -> Any:
    if not isinstance(tree, dict):
        return tree
    left = {key: value for key, value in tree.items() if key != "at"}
    return left["amount"] if [*left] == ["amount"] else left


def _gone_with_it(formula: ResolvedFormula, name: str, into: str) -> Iterator[Notice]:
    document = formula.document
    hot = [x for x in weighed_lines(formula, name) if x.line.at is not None]
    carried = [x.name for x in hot if line_named(formula, into, x) is None]
    if carried:
        values = {"names": ", ".join(carried), "name": name}
        yield Notice.of("scald-water-as-any", "preparations", into, **values)
    note = document.preparations[name].note
    if note is not None:
        yield Notice.of("note-gone", "preparations", into, name=name, read=note)

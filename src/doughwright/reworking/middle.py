"""A formula from the middle of several: the median of what at least half of them have.

A group of ingredients (liquids, fats, yeast) comes in with the median of the sources that have
it; inside it what at least half have, in proportion to their own medians. So water in one and
milk in another make one dough's liquid, not two; of several yeasts one is taken. Last, what is
poured is brought to the middle of the hydrations.
"""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.names import plain_name
from doughwright.documents.reading import document_from
from doughwright.documents.writing import written
from doughwright.engine.groups import (
    FLOUR,
    GROUPS,
    LIQUID,
    STARTER,
    STARTER_FLOUR,
    STARTER_WATER,
    YEAST,
    Part,
    counted,
    group_of,
    parts,
    table_name,
)
from doughwright.engine.ingredients import Ingredient, ingredient_table
from doughwright.engine.overall import (
    content_ratio,
    free_water,
    hydration,
    prefermented_flour_ratio,
)
from doughwright.engine.spread import middle
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.likeness import likeness
from doughwright.resolving.said_times import (
    STAGES,
    SaidTime,
    proofs_in_the_cold,
    said_oven,
    said_times,
)
from doughwright.reworking.rework import solved_document
from doughwright.units import ICE_POINT, Ratio, Second

COLD, PROOF = STAGES["retard"], STAGES["proof"]

DECIMALS = 3
"""Of a percent: a hundredth of a gram on a kilogram of flour."""


@dataclass(frozen=True, slots=True)
class Named:
    """A formula by what its source is called."""

    name: str
    formula: ResolvedFormula


def middle_text(sources: Sequence[Named]) -> str:
    """A formula document from the middle of several, as text; it says from which.

    The dough is a straight one: what the sources ferment before is said in its note.
    """
    return written(middle_document(sources))


def middle_document(sources: Sequence[Named]) -> FormulaDocument:
    """A formula from the middle of several, on 1 kg of flour; their order changes nothing."""
    ordered = sorted(sources, key=lambda source: source.name.casefold())
    shares = _shares([_parted(s.formula) for s in ordered])
    document = _document(ordered, shares)
    solution = solved_document(document).solution
    poured = content_ratio(solution, lambda i: free_water(i) if _is_poured(i) else 0.0)
    wanted = middle([hydration(source.formula.solution) for source in ordered])
    missing = wanted - hydration(solution)
    if poured <= 0 or poured + missing <= 0:
        return document  # the water is all in eggs and butter
    factor = 1 + missing / poured
    more = [replace(p, ratio=p.ratio * factor) if p.group == LIQUID else p for p in shares]
    return _document(ordered, more)


def _is_poured(ingredient: Ingredient) -> bool:
    return ingredient.kind != STARTER and group_of(ingredient) == LIQUID


# How much of what


def _parted(formula: ResolvedFormula) -> tuple[Part, ...]:
    """The parts of a formula; what is in its starter stands by itself."""
    starter = {STARTER_FLOUR, STARTER_WATER}
    return tuple(
        replace(part, group=part.name) if part.name in starter else part
        for part in parts(formula.solution, likeness(formula))
    )


def _shares(found: Sequence[tuple[Part, ...]]) -> list[Part]:
    """Every ingredient of the middle, as its group counts it, over total flour."""
    groups = list(dict.fromkeys(part.group for each in found for part in each))
    order = {group: i for i, group in enumerate(GROUPS)}
    groups.sort(key=lambda group: (order.get(group, len(order)), group))
    made = [part for group in groups for part in _group(group, found)]
    leavened = sum(part.ratio for part in made if part.group == STARTER_FLOUR)
    flour = sum(part.ratio for part in made if part.group == FLOUR)
    factor = (1 - leavened) / flour if flour else 1.0
    return [replace(p, ratio=p.ratio * factor) if p.group == FLOUR else p for p in made]


def _group(group: str, found: Sequence[tuple[Part, ...]]) -> Iterator[Part]:
    """A group's ingredients, if at least half of the sources have it."""
    held = [_held(each, group) for each in found]
    totals = [sum(names.values()) for names in held if names]
    if 2 * len(totals) < len(found):
        return
    chosen = _chosen(group, held)
    factor = middle(totals) / sum(chosen.values())
    for name, ratio in sorted(chosen.items(), key=lambda item: (-item[1], item[0])):
        yield Part(group, name, ratio * factor)


def _held(each: Iterable[Part], group: str) -> dict[str, Ratio]:
    return {part.name: part.ratio for part in each if part.group == group}


def _chosen(group: str, held: Sequence[Mapping[str, Ratio]]) -> dict[str, Ratio]:
    """The medians of what at least half of the sources have; else of what most of them have."""
    times = Counter(name for names in held for name in names)
    medians = {name: middle([names[name] for names in held if name in names]) for name in times}
    often = [name for name in times if 2 * times[name] >= len(held)]
    if not often or group == YEAST:
        often = [min(times, key=lambda name: (-times[name], -round(medians[name], 9), name))]
    return {name: medians[name] for name in often}


# The document


def _document(sources: Sequence[Named], shares: Sequence[Part]) -> FormulaDocument:
    tree = {
        "doughwright": "formula/1",
        "name": f"The middle of {len(sources)} sources",
        "note": _note(sources, shares),
        "yield": {"flour": "1 kg"},
        "preparations": {"dough": {"kind": "dough", "ingredients": dict(_lines(shares))}},
        "process": list(_process([source.formula for source in sources])),
    }
    own = _own(sources, {part.name for part in shares})
    document = document_from(tree | ({"ingredients": own} if own else {}))
    assert isinstance(document, FormulaDocument)
    return document


def _note(sources: Sequence[Named], shares: Sequence[Part]) -> str:
    """From which sources it is, what few of them have, what they ferment before."""
    said = [f"From {_listed([source.name for source in sources])}."]
    kept = {part.name for part in shares}
    all_names = {part.name for source in sources for part in _parted(source.formula)}
    if all_names - kept:
        said.append(f"Left out: {_listed(sorted(all_names - kept))}.")
    before = [prefermented_flour_ratio(source.formula.solution) for source in sources]
    some = [ratio for ratio in before if ratio > 0]
    if some and STARTER_FLOUR not in kept:
        share = f"{middle(some) * 100:.0f} % of the flour"
        how = f"ferment part of it before, in the middle {share}"
        if len(some) == 1:
            how = f"ferments part of it before, {share}"
        said.append(f"{len(some)} of {len(sources)} {how}.")
    warm, cold = _proofs([source.formula for source in sources])
    if warm and cold:
        other, where = (warm, "out of the cold") if len(cold) > len(warm) else (cold, "in the cold")
        have = "has its" if len(other) == 1 else "have their"
        said.append(f"{len(other)} of {len(sources)} {have} final proof {where}.")
    return " ".join(said)


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, (", ".join(names[:-1]), names[-1])))


def _lines(shares: Sequence[Part]) -> Iterator[tuple[str, Any]]:
    """The lines in percent; the first flour takes what rounding leaves."""
    by_name = {part.name: part.ratio for part in shares}
    leavened = round(100 * by_name.get(STARTER_FLOUR, 0.0), DECIMALS)
    flours = [part for part in shares if part.group == FLOUR]
    rest = 100 - leavened - sum(round(100 * part.ratio, DECIMALS) for part in flours[1:])
    for part in shares:
        if part.name == STARTER_FLOUR:
            yield STARTER, _starter(leavened, 100 * by_name.get(STARTER_WATER, 0.0))
        elif part.name != STARTER_WATER:
            share = rest if flours and part is flours[0] else 100 * part.ratio
            yield part.name, _line(part, share)


def _starter(flour: float, water: float) -> dict[str, str]:
    return {"amount": _percent(flour + water), "hydration": _percent(100 * water / flour)}


def _line(part: Part, share: float) -> Any:
    """An amount, and whether it counts as flour where the table says otherwise."""
    ingredient = ingredient_table().get(part.name)
    if ingredient is None:
        return _percent(share)
    is_flour = part.group == FLOUR
    if is_flour != bool(ingredient.flour):
        return {"amount": _percent(share), "flour": "yes" if is_flour else "no"}
    return _percent(share / counted(ingredient))


def _percent(share: float) -> str:
    return f"{round(share, DECIMALS):.{DECIMALS}f}".rstrip("0").rstrip(".") + " %"


def _own(sources: Sequence[Named], names: set[str]) -> dict[str, Any]:
    """What sources say of ingredients the table does not know, or all that have one say alike."""
    said: dict[str, list[Any]] = {}
    for source in sources:
        for name, values in _entries(source.formula).items():
            said.setdefault(name, []).append(values)
    return {
        name: min(values, key=repr)
        for name, values in sorted(said.items())
        if name in names and (name not in ingredient_table() or _alike(sources, name, values))
    }


def _entries(formula: ResolvedFormula) -> dict[str, Any]:
    """The document's own entries of what is in it, by the names they have side by side."""
    like, own = likeness(formula), formula.document.ingredients
    entries = {plain_name(name): entry for name, entry in own.items()}
    found = {line.ingredient for p in formula.preparations for line in p.lines}
    return {
        table_name(ingredient, like): entries[ingredient.name].model_dump(
            by_alias=True, exclude_unset=True
        )
        for ingredient in sorted(found, key=lambda ingredient: ingredient.name)
        if ingredient.name in entries
    }


def _alike(sources: Sequence[Named], name: str, values: Sequence[Any]) -> bool:
    having = sum(any(part.name == name for part in _parted(source.formula)) for source in sources)
    return len(values) == having and all(value == values[0] for value in values)


# The steps


def _process(formulas: Sequence[ResolvedFormula]) -> Iterator[dict[str, str]]:
    """The steps at least half of the sources give a time for, and how long in the middle."""
    times = [said_times(formula) for formula in formulas]
    early = [{} if _is_late(f) else said for f, said in zip(formulas, times, strict=True)]
    yield {"mix": "dough"}
    yield from _timed("ferment", "bulk fermentation", times)
    yield from ({**step, "at": "fridge"} for step in _timed("retard", COLD, early))
    yield {"shape": "dough"}
    warm, cold = _proofs(formulas)
    if 2 * len({*warm, *cold}) >= len(formulas):  # one of the two, as of several yeasts
        is_cold = len(cold) > len(warm)
        took = _duration(middle([said.best for said in (cold if is_cold else warm).values()]))
        yield {"proof": "dough", "took": took, **({"at": "fridge"} if is_cold else {})}
    ovens = [oven for formula in formulas if (oven := said_oven(formula.document)) is not None]
    if 2 * len(ovens) >= len(formulas):
        dial = middle([oven.temperature for oven in ovens]) - ICE_POINT
        said = {"oven": f"{dial:.0f} °C conventional"}
        yield from ({**step, **said} for step in _timed("bake", "bake", times, open_too=True))


def _proofs(
    formulas: Sequence[ResolvedFormula],
) -> tuple[dict[int, SaidTime], dict[int, SaidTime]]:
    """How long the shaped dough stands, warm and in the cold, by the number of the source."""
    warm, cold = dict[int, SaidTime](), dict[int, SaidTime]()
    for at, formula in enumerate(formulas):
        said = said_times(formula)
        if PROOF in said:
            warm[at] = said[PROOF]
        if COLD in said and _is_late(formula):
            cold[at] = said[COLD]
    return warm, cold


def _is_late(formula: ResolvedFormula) -> bool:
    return proofs_in_the_cold(formula.document, formula.solution.final)


def _timed(
    verb: str, stage: str, times: Sequence[Mapping[str, SaidTime]], *, open_too: bool = False
) -> Iterator[dict[str, str]]:
    """A step with its middle time; without one, only where it comes in all the same."""
    took = _middle_time(stage, times)
    if took is not None:
        yield {verb: "dough", "took": took}
    elif open_too:
        yield {verb: "dough"}


def _middle_time(stage: str, times: Sequence[Mapping[str, SaidTime]]) -> str | None:
    said = [each[stage].best for each in times if stage in each]
    return _duration(middle(said)) if said and 2 * len(said) >= len(times) else None


def _duration(seconds: Second) -> str:
    hours, minutes = divmod(max(1, round(seconds / 60)), 60)
    return " ".join(filter(None, (f"{hours} h" * bool(hours), f"{minutes} min" * bool(minutes))))

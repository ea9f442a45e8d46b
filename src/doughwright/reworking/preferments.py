"""Straight dough to sponge, poolish, biga, old dough, and back: flour, liquid and yeast move.

The whole stays what it is. What a style takes where a baker names no figures stands in
``properties/preferments.tsv``. In a preferment that stands at room temperature for hours only
water is moved: milk and juice would not keep.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

from doughwright.documents.editing import Edit
from doughwright.documents.quantities import ICE_POINT, Quantity, quantity
from doughwright.engine.exchange import largest_preferment
from doughwright.engine.formula import PERCENT_SLACK
from doughwright.engine.overall import PLAIN_WATER, free_water, fresh_yeast_ratio
from doughwright.errors import Notice
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.yeast import check_survives, place_notices
from doughwright.reworking.amounts import EXACT, at_most, number
from doughwright.reworking.moving import (
    Shares,
    Tree,
    free_name,
    has_usual,
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
    unchanged,
    weighed_lines,
)
from doughwright.units import Kilogram, Ratio

STYLES = ("poolish", "biga", "sponge", "flying sponge", "overnight sponge", "old dough")
"""The preferments a straight dough can be given."""

QUICK = frozenset({"sponge", "flying sponge"})
"""Styles that are used within hours: any liquid may go in."""


@dataclass(frozen=True, slots=True)
class PrefermentAsked:
    """A preferment by its style; what is None is as usual for the style.

    ``share`` is of the total flour; ``liquid`` and ``yeast`` (counted as fresh) are on the
    preferment's own flour. ``at`` is where it stands.
    """

    style: str
    share: Ratio | None = None
    liquid: Ratio | None = None
    yeast: Ratio | None = None
    at: str | Quantity | None = None

    def of_flour(self) -> Ratio:
        """The share of the total flour that goes in."""
        return self.share if self.share is not None else usual(f"{self.key}_flour")

    def figure(self, name: str, asked: Ratio | None) -> Ratio | None:
        """What is asked for, else usual; None where the style takes all of the dough's."""
        row = f"{self.key}_{name}"
        return asked if asked is not None else usual(row) if has_usual(row) else None

    @property
    def key(self) -> str:
        """The style as rows of the table call it."""
        return self.style.replace(" ", "_")


# --- out


def straight(formula: ResolvedFormula) -> Rework:
    """Make a straight dough; of a leaven it is said that it stays.

    Raises
    ------
    DocumentError
        If there is no preferment with yeast.
    """
    done = _straightened(formula)
    if stays := ", ".join(_leavens(done.formula)):
        kept = Notice.of("leaven-stays", "preparations", names=stays)
        done = replace(done, notices=(*done.notices, kept))
    return done


def _straightened(formula: ResolvedFormula) -> Rework:
    """Let what its preferments hold go into the doughs that took them.

    Each ingredient stays as much as ends in the dough. A preferment without yeast of its own
    is a leaven, and stays.

    Raises
    ------
    DocumentError
        If there is no preferment with yeast.
    """
    names = list(_with_yeast(formula))
    if not names:
        raise refusal("no-preferment", "preparations")
    done = _without(formula, names[-1])
    while names := list(_with_yeast(done.formula)):
        done = followed(done, _without(done.formula, names[-1]))
    return done


def _leavens(formula: ResolvedFormula) -> Iterator[str]:
    for p in formula.solution.preparations:
        if p.preparation.kind == "preferment" and p.used > 0:
            yield p.name


def _with_yeast(formula: ResolvedFormula) -> Iterator[str]:
    for p in formula.solution.preparations:
        lines = p.preparation.lines
        raised = any(line.ingredient.yeast_equivalent for line in lines)
        leaven = any(line.ingredient.kind == "starter" for line in lines)
        if p.preparation.kind == "preferment" and raised and not leaven and p.used > 0:
            yield p.name


def _without(formula: ResolvedFormula, name: str) -> Rework:
    document = formula.document
    into = takers(document, name)
    if len(into) != 1 or document.preparations[name].uses:
        raise refusal("taken-by-several", "preparations", name, name=name, by=", ".join(into))
    dropped, said = times_dropped(document, rising_steps(document, [into[0]]))
    said += _warmth(formula, name, into[0])
    return reworked(formula, [*dropped, *taken_away(formula, name, into[0])], ALL_OF_IT, said)


def _warmth(formula: ResolvedFormula, name: str, into: str) -> list[Notice]:
    """What was as warm as the preferment wanted it goes into a dough that may want another."""
    lines = weighed_lines(formula, name)
    carried = [line for line in lines if line_named(formula, into, line) is None]
    warm = ", ".join(line.name for line in carried if line.line.at is not None)
    where = ("preparations", into)
    said = [Notice.of("warmth-of-preferment", *where, names=warm, name=name)] if warm else []
    return [*said, *_other_warmth(formula, name, into)]


def _other_warmth(formula: ResolvedFormula, name: str, into: str) -> Iterator[Notice]:
    """What goes into a line that says where it is kept or how warm it is, and did not itself."""
    for line in weighed_lines(formula, name):
        there = line_named(formula, into, line)
        if there is None:
            continue
        for key in ("kept", "at"):
            own, said = (getattr(each.line, key) for each in (line, there))
            if said is not None and own != said:
                values = {"name": name, "line": line.name, "now": f"{key}: {said}"}
                yield Notice.of("warmth-joined", "preparations", into, **values)


# --- in


def with_preferment(formula: ResolvedFormula, asked: PrefermentAsked) -> Rework:
    """Move flour, liquid and yeast of the dough into a preferment of a style.

    A dough that has another preferment is made straight first. Each ingredient of the whole
    stays as it is; the flour that makes up most of the dough is taken first.

    Raises
    ------
    DocumentError
        Beyond the limit, which it states: the flour or the liquid the dough has; without yeast.
    """
    if fresh_yeast_ratio(formula.solution) <= 0:
        raise refusal("no-yeast-to-move", "preparations", style=asked.style)
    plain = _straightened(formula) if any(_with_yeast(formula)) else unchanged(formula)
    return followed(plain, _put_in(plain.formula, asked))


def _put_in(formula: ResolvedFormula, asked: PrefermentAsked) -> Rework:
    check_survives(asked.at)
    document, dough = formula.document, formula.solution.final
    lines = weighed_lines(formula, dough)
    shares, said = _shares(formula, lines, asked)
    said += place_notices(asked.at)
    name = free_name(document, asked.style)
    edits, moved = moved_out(lines, shares, name)
    liquids = [line for line in lines if _is_liquid(line)]
    said += _without_warmth(asked, moved, liquids)
    _warmed(asked, moved, liquids)
    tree: Tree = {"kind": "preferment", "style": asked.style, "ingredients": moved}
    dropped, gone = times_dropped(document, rising_steps(document, [dough]))
    put: list[Edit] = put_before(document, dough, name, tree, _steps(name, asked))
    return reworked(formula, [*dropped, *put, *edits], ALL_OF_IT, [*said, *gone])


def _shares(
    formula: ResolvedFormula, lines: tuple[Weighed, ...], asked: PrefermentAsked
) -> tuple[Shares, list[Notice]]:
    """How much of each line goes in, and what is worth saying of it."""
    total = formula.solution.total_flour
    flour = asked.of_flour() * total
    shares = taken_first(_flours(lines, flour, total, asked), flour, total)
    shares |= taken_first(*_liquid(lines, flour, total, asked), total)
    salt = asked.of_flour() if asked.style == "old dough" else 0.0
    shares |= {x.name: salt for x in lines if x.ingredient.kind == "salt" and salt}
    raised, said = _yeast(lines, flour, asked)
    return {**shares, **raised}, said


def _flours(
    lines: tuple[Weighed, ...], wanted: Kilogram, total: Kilogram, asked: PrefermentAsked
) -> list[Weighed]:
    """The dough's flours, most of it first; refused if they are less than is wanted."""
    flours = [line for line in lines if line.ingredient.flour >= 1]
    there = sum(line.mass for line in flours)
    if not 0 < wanted <= there * (1 + PERCENT_SLACK):
        values = {"style": asked.style, "share": wanted / total, "limit": at_most(there / total)}
        raise refusal("preferment-flour-short", "preparations", **values)
    return sorted(flours, key=lambda line: -line.mass)


def _liquid(
    lines: tuple[Weighed, ...], flour: Kilogram, total: Kilogram, asked: PrefermentAsked
) -> tuple[list[Weighed], Kilogram]:
    """The liquids that may go in, water first, and how much of them does."""
    usable = [line for line in lines if _is_liquid(line) and _may_stand(line, asked.style)]
    usable.sort(key=lambda line: line.ingredient.name != "water")
    there = sum(line.mass for line in usable)
    ratio = asked.figure("liquid", asked.liquid)
    if ratio is None and there > 0:
        return usable, there
    if there <= 0:
        raise refusal("no-water-for-preferment", "preparations", style=asked.style)
    wanted = ratio or 0.0
    if wanted <= 0:
        raise refusal("not-above-zero", read=f"hydration {wanted:.0%}", allowed="hydration 100 %")
    limit = largest_preferment({"flour": total, "water": there}, wanted)
    if flour / total > limit + EXACT:
        values = {"style": asked.style, "share": flour / total, "limit": at_most(limit)}
        liquid = {"wanted": wanted * flour, "there": there, "hydration": at_most(there / flour)}
        raise refusal("preferment-too-large", "preparations", **values, **liquid)
    return usable, wanted * flour


def _is_liquid(line: Weighed) -> bool:
    return line.ingredient.poured and line.ingredient.kind != "starter"


def _may_stand(line: Weighed, style: str) -> bool:
    """Milk, juice and beer are for preferments that are used within hours."""
    return style in QUICK or free_water(line.ingredient) >= PLAIN_WATER


def _yeast(
    lines: tuple[Weighed, ...], flour: Kilogram, asked: PrefermentAsked
) -> tuple[Shares, list[Notice]]:
    """How much of the dough's yeast goes in: what the style wants, at most all of it."""
    yeasts = [line for line in lines if line.ingredient.yeast_equivalent]
    fresh = sum(line.mass * line.ingredient.yeast_equivalent for line in yeasts)
    ratio = asked.figure("yeast", asked.yeast)
    if asked.style == "old dough" and asked.yeast is None:
        ratio = asked.of_flour() * fresh / flour
    if ratio is None:
        return {line.name: 1.0 for line in yeasts}, []
    share = min(1.0, ratio * flour / fresh) if fresh else 0.0
    if fresh >= ratio * flour * (1 - EXACT):
        return {line.name: share for line in yeasts if share}, []
    values = {"style": asked.style, "given": fresh / flour, "wanted": ratio}
    all_of_it = Notice.of("preferment-takes-all-yeast", "preparations", **values)
    return {line.name: share for line in yeasts if share}, [all_of_it]


def _without_warmth(asked: PrefermentAsked, moved: Tree, liquids: list[Weighed]) -> list[Notice]:
    """Let a preferment that ripens take no liquid's warmth along, which was for the dough.

    What stays of the line keeps it, with its note; a note goes only with the whole line.
    """
    if asked.style in QUICK:
        return []
    warm: list[str] = []
    for line in liquids:
        said = moved.get(line.name)
        if not isinstance(said, dict) or "at" not in said:
            continue
        parts = quantity(said["amount"], line.line.amount.dimension).best < line.line.amount.best
        gone = {"at", "note"} if parts else {"at"}
        left = {key: value for key, value in said.items() if key not in gone}
        moved[line.name] = left["amount"] if [*left] == ["amount"] else left
        warm.append(f"{line.name} at {line.line.at.text if line.line.at is not None else ''}")
    names = ", ".join(warm)
    values = {"style": asked.style, "names": names}
    return [Notice.of("warmth-stays-out", "preparations", **values)] if warm else []


def _warmed(asked: PrefermentAsked, moved: Tree, liquids: list[Weighed]) -> None:
    """Say how warm the liquid of a quick sponge is, where its line does not."""
    if not has_usual(f"{asked.key}_warm"):
        return
    warm = f"{number(usual(f'{asked.key}_warm') - ICE_POINT)} °C"
    for line in liquids:
        said = moved.get(line.name)
        if isinstance(said, str):
            moved[line.name] = {"amount": said, "at": warm}
        elif isinstance(said, dict):
            moved[line.name] = {**said, "at": said.get("at", warm)}


def _steps(name: str, asked: PrefermentAsked) -> list[Tree]:
    """How a preferment is made: mixed, and left until it is ripe."""
    place = str(asked.at if asked.at is not None else "room")
    if asked.style != "old dough":
        return [{"mix": name}, {"ferment": name, "until": "ripe", "at": place}]
    first, cold = (f"{number(usual(f'old_dough_{key}') / 3600)} h" for key in ("first", "cold"))
    return [
        {"mix": name},
        {"ferment": name, "until": first, "at": place},
        {"retard": name, "at": "fridge", "for": cold},
    ]


def preferment_made(rework: Rework) -> str:
    """Return the preferment that a rework put in: the last its dough takes."""
    return [*rework.document.preparations[rework.formula.solution.final].uses][-1]

"""What was gathered, a country, its measures and answers to a draft, with what is to be asked."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from doughwright.documents.formula import MOST_LINES, MOST_PREPARATIONS
from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import Notice
from doughwright.gathering.asking import SHARED, Asked, Asking, Moves, key_of
from doughwright.gathering.doubts.dry import dry_parts
from doughwright.gathering.doubts.printed_own import OWN
from doughwright.gathering.doubts.whole import checked
from doughwright.gathering.drafted import Draft, DraftLine, DraftPreparation
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Item, Settings
from doughwright.gathering.headings import COUNTED, around, headed, inside, title_settled
from doughwright.gathering.kinds import together
from doughwright.gathering.pages.told_shares import apart_by_method
from doughwright.gathering.placing import OWN_PARTS, own_part, placed, soaking, with_share
from doughwright.gathering.process.workflow import workflow_of
from doughwright.gathering.questions import line_drafted
from doughwright.gathering.tables.columns import one_batch
from doughwright.gathering.taking import NO_ANSWERS, Part, implied, taken_in, with_final_dough
from doughwright.gathering.weighing.unit_asked import without_waiting

OF_FLOUR = "of the flour"
MATTERS = 0.005
"""A doubt blocks if it moves water or salt by more than this of the flour (assumption)."""

NO_BREAD = "gather-no-bread"
"""The message where no line is a flour and none may count as one."""

NEAR_WHOLE = 0.006
"""Percentages of flour, rounded each, may miss the whole by this much (assumption)."""


def draft(
    gathered: Gathered, settings: Settings | None = None, answers: Mapping[str, str] = NO_ANSWERS
) -> Draft:
    """What somebody's recipe comes to; call it again with one more answer to settle a doubt.

    >>> from doughwright.gathering.pages.sections import text_gathered
    >>> made = draft(text_gathered("500 g strong flour, 325 g water, 10 g salt"))
    >>> [round(line.mass[1], 3) for line in made.preparations[0].lines]
    [0.5, 0.325, 0.01]
    """
    asking = Asking(settings or Settings(), answers)
    parted = headed(apart_by_method(gathered), asking)
    sound, told_first = checked(inside(parted.gathered, asking), asking.settled, answers)
    single, asked = one_batch(around(sound, parted.gathered), answers)
    asked = [*told_first, *parted.asked, *asked]
    parts, kinds = _parts(single, asking)
    asked += kinds
    preparations = []
    for part in parts:
        made, told = _preparation(part, parts, asking)
        preparations.append(made)
        asked += told
    preparations, which = with_final_dough(preparations, answers.get("final dough", ""))
    asked += [Asked(which)] if which else []
    whole = implied(preparations)
    if not any(one.doubt.is_open and one.doubt.key.startswith(OWN) for one in asked):
        whole, flours = _with_flour(whole, asking)
        asked += flours
    asked += _excess(whole)
    asked += dry_parts(whole, asked, answers)
    doubts = without_waiting(_told_once(together(_weighted(asked, whole), answers)))
    work = workflow_of(gathered, whole, answers)
    doubts = _hopeful((*doubts, *work.doubts))
    known = {doubt.key for doubt in doubts if doubt.answer}
    stray = tuple(sorted(answers.keys() - known))
    read = replace(gathered, made=sound.made, other=(*gathered.other, *parted.outside))
    return Draft(
        read, asking.settled, whole, doubts, tuple(answers.items()), tuple(work.steps), stray
    )


# --- Parts ----------------------------------------------------------------------------------------


def _parts(gathered: Gathered, asking: Asking) -> tuple[list[Part], list[Asked]]:
    """The preparations by the headings, and those that single lines ask for: a glaze, a dusting."""
    filled = [section for section in gathered.sections if section.items]
    asked: list[Asked] = []
    parts: list[Part] = []
    for section in filled:
        title, told = title_settled(section, filled, asking)
        asked += told
        parts.append(Part(_unused(title.name, parts), title.kind, title.style, section))
    for part in parts:
        for item in part.section.items:
            settled, told = placed(item, part, asking)
            asked += told
            for one in settled:
                own_part(one, part, parts).items.append(one)
    return [part for part in parts if part.items], asked


def _unused(name: str, parts: Iterable[Part]) -> str:
    """A name that no other part has."""
    taken = {part.name.casefold() for part in parts}
    numbered = (name if i == 1 else f"{name} {i}" for i in range(1, len(taken) + 2))
    return next(n for n in numbered if n.casefold() not in taken)


# --- Lines ----------------------------------------------------------------------------------------


def _preparation(
    part: Part, parts: Sequence[Part], asking: Asking
) -> tuple[DraftPreparation, list[Asked]]:
    """A part with its lines weighed, what it takes, and what is to be asked about them."""
    taken, items, named = taken_in(part, parts, asking.settled)
    left, lines, asked = [], [], list[Asked]()
    keys = Counter[str]()
    for item in items:
        if item.amount is None and _weighs_nothing(item, part):
            left.append(item.origin)
            continue
        key = key_of(item)
        keys[key] += 1
        made = line_drafted(item, key if keys[key] == 1 else f"{key} {keys[key]}", asking)
        kept, told = soaking(item, with_share(item, made.line), asking)
        asked += told
        in_dough = kept is not None and item.use != "drained"
        asked += [_as_beside(one, part) for one in made.asked if in_dough or one.doubt.answer]
        if kept is None:
            left.append(item.origin)
        else:
            lines.append(kept)
    prepared = DraftPreparation(
        name=part.name,
        kind=part.kind,
        style=part.style,
        lines=tuple(_apart(lines)),
        takes=tuple(taken),
        weighed=tuple((name, mass) for name, mass in taken.items() if mass is not None),
        left=tuple(left),
        named=tuple(named),
        origin=part.section.origin,
    )
    return prepared, asked


def _as_beside(one: Asked, part: Part) -> Asked:
    """A question; how much there is of a glaze or a topping leaves the dough as it is."""
    if part.kind not in ("glaze", "topping") or not one.doubt.key.endswith(":amount"):
        return one
    return Asked(replace(one.doubt, blocks=False))


def _weighs_nothing(item: Item, part: Part) -> bool:
    """Whether a line without an amount is for bench, tin or brush, not for the scale."""
    return item.use in (*OWN_PARTS, "drained") or part.kind in ("glaze", "topping")


def _apart(lines: Iterable[DraftLine]) -> Iterator[DraftLine]:
    """Lines of one name told apart: ``water``, ``water (2)``."""
    count = Counter[str]()
    for line in lines:
        plain = line.name.casefold()
        count[plain] += 1
        again = f" ({count[plain]})" if count[plain] > 1 else ""
        yield replace(line, name=f"{line.name}{again}")


# --- The whole ------------------------------------------------------------------------------------


def flour_in(preparations: Iterable[DraftPreparation]) -> tuple[float, float]:
    """Flour by weight in kg, and flour by its share of itself."""
    lines = [line for part in preparations if part.kind in COUNTED for line in part.lines]
    flours = [(line, _flour_of(line)) for line in lines]
    mass = sum(flour * line.mass[1] for line, flour in flours if line.mass)
    return mass, sum(flour * line.share for line, flour in flours if line.share)


def _flour_of(line: DraftLine) -> float:
    """How much of an ingredient counts as flour."""
    if line.flour:
        return 1.0
    if line.hydration is not None:
        return 1 / (1 + line.hydration)
    return ingredient_table()[line.table].flour if line.table else 0.0


def _with_flour(
    preparations: tuple[DraftPreparation, ...], asking: Asking
) -> tuple[tuple[DraftPreparation, ...], list[Asked]]:
    """The same, with what counts as flour where there is none, and percentages that add up."""
    mass, share = flour_in(preparations)
    unsaid = any(line.is_culture for part in preparations for line in part.lines)
    if mass or (share and (abs(share - 1) <= NEAR_WHOLE or (unsaid and share < 1))):
        return preparations, []
    if share:
        return _rescaled(preparations, share, asking)
    if any(_flour_of(line) for part in preparations if part.kind in COUNTED for line in part.lines):
        return preparations, []  # how much of it is asked already
    dry = _dry(preparations)
    doubt = Doubt(
        "flour",
        Notice.of("gather-no-flour" if dry else NO_BREAD),
        tuple(Choice(line.key, line.name) for line in dry),
        next((line.key for line in dry if line.key == asking.answers.get("flour")), ""),
    )
    counted = (_counted(part, doubt.answer) for part in preparations)
    return tuple(counted), [Asked(doubt)]


def _hopeful(doubts: tuple[Doubt, ...]) -> tuple[Doubt, ...]:
    """The same; where nothing that is asked can make it a bread, only that it is none."""
    lost = [doubt for doubt in doubts if doubt.notice.code == NO_BREAD]
    if not lost or any(_may_bring_flour(doubt) for doubt in doubts):
        return doubts
    return (*lost, *(doubt for doubt in doubts if doubt.answer))


def _may_bring_flour(doubt: Doubt) -> bool:
    """Whether an answer may name a flour, a culture's water or the part of the dough."""
    rows = (ingredient_table().get(choice.key) for choice in doubt.choices)
    about = doubt.key.rpartition(":")[2]
    may_name = doubt.takes == "ingredient" and not doubt.answer
    brings = may_name or about in ("hydration", "part", "final dough")
    return brings or any(row and row.flour for row in rows)


def _counted(part: DraftPreparation, key: str) -> DraftPreparation:
    lines = (replace(line, flour=True) if key and line.key == key else line for line in part.lines)
    return replace(part, lines=tuple(lines))


def _rescaled(
    preparations: tuple[DraftPreparation, ...], share: float, asking: Asking
) -> tuple[tuple[DraftPreparation, ...], list[Asked]]:
    """Percentages of another whole than all the flour: of the dough, of flour with its starch."""
    rest = [line for line in _dry(preparations) if abs(share + (line.share or 0) - 1) <= NEAR_WHOLE]
    choices = (
        *(Choice(line.key, f"{line.name} counts as flour") for line in rest),
        Choice(OF_FLOUR, f"each of them times {1 / share:.4g}"),
    )
    given = asking.answers.get("percent", "")
    answer = given if given in {choice.key for choice in choices} else ""
    notice = Notice.of("gather-percent", found=share)
    cultures = [line for part in preparations for line in part.lines if line.hydration is not None]
    brought = sum(_flour_of(line) * (line.share or 0.0) for line in cultures)
    if brought and abs(share - brought - 1) <= NEAR_WHOLE:
        names = ", ".join(dict.fromkeys(line.name for line in cultures))
        notice = Notice.of("gather-percent-culture", name=names, found=share)
    asked = [Asked(Doubt("percent", notice, choices, answer))]
    if answer == OF_FLOUR:
        return tuple(_times(part, 1 / share) for part in preparations), asked
    return tuple(_counted(part, answer) for part in preparations), asked


def _dry(preparations: Iterable[DraftPreparation]) -> list[DraftLine]:
    """Lines that may count as flour, and do not by themselves."""
    kinds = ("starch", "flake")
    lines = (line for part in preparations if part.kind in COUNTED for line in part.lines)
    return [line for line in lines if line.table and ingredient_table()[line.table].kind in kinds]


def _times(part: DraftPreparation, factor: float) -> DraftPreparation:
    lines = (
        replace(line, share=line.share * factor) if line.share is not None else line
        for line in part.lines
    )
    return replace(part, lines=tuple(lines))


def _excess(parts: Sequence[DraftPreparation]) -> list[Asked]:
    """What no formula can hold."""
    lines = sum(len(part.lines) + len(part.takes) for part in parts)
    if len(parts) <= MOST_PREPARATIONS and lines <= MOST_LINES:
        return []
    notice = Notice.of(
        "gather-too-many",
        parts=len(parts),
        lines=lines,
        most_parts=MOST_PREPARATIONS,
        most_lines=MOST_LINES,
    )
    return [Asked(Doubt("size", notice))]


def _weighted(asked: Iterable[Asked], parts: Sequence[DraftPreparation]) -> Iterator[Doubt]:
    """Each doubt, which blocks only if its answer moves water or salt enough to matter."""
    mass, share = flour_in(parts)
    flour = mass or share
    for one in asked:
        slight = one.moves is not None and flour > 0 and _spread(one.moves) < MATTERS * flour
        yield replace(one.doubt, blocks=False) if slight else one.doubt


def _spread(moves: Moves) -> float:
    return max((max(values) - min(values) for values in zip(*moves, strict=True)), default=0.0)


def _told_once(doubts: Iterable[Doubt]) -> tuple[Doubt, ...]:
    """Questions about the whole recipe once, blocking if one of them does."""
    found: dict[str, Doubt] = {}
    for doubt in doubts:
        before = found.get(doubt.key)
        if before is None:
            found[doubt.key] = doubt
        elif doubt.key in SHARED:
            known = {choice.key for choice in before.choices}
            read = f", for “{doubt.notice.values['read']}”" if "read" in doubt.notice.values else ""
            more = tuple(
                replace(choice, words=f"{choice.words}{read}")
                for choice in doubt.choices
                if choice.key not in known
            )
            found[doubt.key] = replace(
                before,
                choices=(*before.choices, *more),
                answer=before.answer or doubt.answer,
                blocks=before.blocks or doubt.blocks,
            )
    return tuple(found.values())

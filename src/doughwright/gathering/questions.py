"""One ingredient as it was read: its line in a draft, and what its baker must be asked."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.engine.ingredients import Ingredient, ingredient_named, ingredient_table
from doughwright.errors import Notice
from doughwright.gathering.asking import (
    ALLOWED,
    SHARED,
    Asked,
    Asking,
    Moves,
    doubt_of,
    key_of,
    words_of,
)
from doughwright.gathering.drafted import DraftLine, Masses
from doughwright.gathering.gathered import Amount, Choice, Doubt, Item, Settings
from doughwright.gathering.kinds import kind_given, kind_key
from doughwright.gathering.lines.amounts import amount_of
from doughwright.gathering.lines.cultures import as_culture, hydration_said
from doughwright.gathering.lines.names import candidates, may_mean
from doughwright.gathering.weighing.masses import mass_of
from doughwright.gathering.weighing.weights import EGGS

NOT_WEIGHED = "not weighed"
"""The choice for what no scale is asked about: it stays a remark."""

WEIGHT = "weight"
"""The question of an amount that nothing is known of."""

BY_WEIGHT = "by weight only"
"""The choice for an ingredient that nobody knows: it weighs, and nothing else is counted."""

MOST_MASS = 10_000.0
"""No line of a bread weighs more, in kg (assumption)."""

CULTURES = (0.5, 1.0, 1.25)
"""Water on flour of a stiff, an even and a liquid culture (common practice, no source)."""

UNMEASURED = frozenset({"spice"})
"""Kinds whose missing amount leaves the formula as it is."""


@dataclass(frozen=True, slots=True)
class Drafted:
    """The line of an ingredient and its doubts."""

    line: DraftLine
    asked: tuple[Asked, ...] = ()


def rows_meant(item: Item, answers: Mapping[str, str]) -> tuple[Ingredient, ...]:
    """The rows of the table that an item may mean after the answers; none where nobody knows.

    >>> from doughwright.gathering.gathered import Origin
    >>> yeast = Item("yeast", None, Origin("pasted text", 3, "yeast"))
    >>> [row.name for row in rows_meant(yeast, {"3:yeast:kind": "fresh yeast"})]
    ['fresh yeast']
    """
    found, key = ingredient_named(as_culture(item).name), key_of(item)
    if found is None:
        named = ingredient_named(answers.get(f"{key}:name", ""))
        return (named,) if named else ()
    meant = may_mean(item.name)
    given = kind_given(item, key, answers)
    if given in meant:
        return (ingredient_table()[given],)
    others = (ingredient_table()[name] for name in meant if name != found.name)
    return (found, *others)


def line_drafted(item: Item, key: str, asking: Asking) -> Drafted:
    """The line of an item in a draft, with its questions in the order they are asked."""
    taken, choosing = _alternative(as_culture(item), key, asking)
    ingredient, naming = _ingredient(taken, key, asking)
    weighed, weighing = _weighed(taken, ingredient, key, asking)
    name = _name(taken, ingredient)
    line = replace(weighed, name=name, table=ingredient.name if ingredient else "")
    line, wetting = _hydrated(line, ingredient, key, asking, hydration_said(taken))
    if asking.answers.get(f"{key}:amount") == NOT_WEIGHED:
        naming = tuple(replace(one, doubt=replace(one.doubt, blocks=False)) for one in naming)
    return Drafted(line, (*choosing, *naming, *weighing, *wetting))


# --- Which of several -----------------------------------------------------------------------------


def _alternative(item: Item, key: str, asking: Asking) -> tuple[Item, tuple[Asked, ...]]:
    """The item that was chosen among alternatives, the first while nobody has."""
    if not item.alternatives:
        return item, ()
    amounts = [
        item,
        *(a if a.amount else replace(a, amount=item.amount) for a in item.alternatives),
    ]
    slugs = [_slug(_said(one), at) for at, one in enumerate(amounts)]
    keys = [slug if slugs.count(slug) == 1 else f"{slug} {at}" for at, slug in enumerate(slugs, 1)]
    masses = [_mass(one, asking.settled) for one in amounts]
    choices = tuple(
        Choice(name, _said(one), mass)
        for name, one, mass in zip(keys, amounts, masses, strict=True)
    )
    notice = Notice.of("gather-alternatives", name=item.name, read=item.origin.text.strip())
    yeasts = all(_kind(one) == "yeast" for one in amounts)
    doubt = doubt_of(f"{key}:choice", notice, choices, asking, blocks=not yeasts)
    moves = None if yeasts else _moves(amounts, masses)
    asked = Asked(doubt, moves)
    chosen = amounts[keys.index(doubt.answer)] if doubt.answer else amounts[0]
    return replace(chosen, alternatives=()), (asked,)


def _said(item: Item) -> str:
    return " ".join(filter(None, (item.amount.words if item.amount else "", item.name)))


def _slug(words: str, at: int) -> str:
    return " ".join(words.casefold().replace("=", " ").split()) or str(at + 1)


def _kind(item: Item) -> str:
    found = ingredient_named(item.name)
    return found.kind if found else ""


def _mass(item: Item, settings: Settings) -> Masses | None:
    ingredient = ingredient_named(item.name)
    return mass_of(item.amount, ingredient, settings, item.name).mass if item.amount else None


def _moves(items: Sequence[Item], masses: Sequence[Masses | None]) -> Moves | None:
    """What each choice brings; None where the weight of one is not known."""
    if any(mass is None for mass in masses):
        return None
    found = zip(items, masses, strict=True)
    return tuple(
        _brought(ingredient_named(item.name), mass[1] if mass else 0.0) for item, mass in found
    )


def _brought(ingredient: Ingredient | None, mass: float) -> tuple[float, ...]:
    """Water, salt and flour in so much of an ingredient; a flour's own water is not counted."""
    if ingredient is None:
        return 0.0, 0.0, 0.0
    parts = ingredient.composition if not ingredient.flour else None
    return mass * (parts.water if parts else 0.0), mass * ingredient.salt, mass * ingredient.flour


# --- What it is -----------------------------------------------------------------------------------


def _ingredient(
    item: Item, key: str, asking: Asking
) -> tuple[Ingredient | None, tuple[Asked, ...]]:
    """The row of the table an item means, and the question where that is open."""
    found = ingredient_named(item.name)
    if found is None:
        return _unknown(item, key, asking)
    meant = may_mean(item.name)
    if len(meant) < 2:
        return found, ()
    notice = Notice.of("gather-which", name=item.name, read=item.origin.text.strip())
    choices = tuple(Choice(name, name) for name in meant)
    blocks = "fresh yeast" in meant  # a third of it dried raises as much
    doubt = doubt_of(f"{key}:kind", notice, choices, asking, blocks=blocks)
    given = kind_given(item, key, asking.answers)
    doubt = replace(doubt, shared=kind_key(item), answer=given if given in meant else "")
    return ingredient_table()[doubt.answer or meant[0]], (Asked(doubt),)


def _unknown(item: Item, key: str, asking: Asking) -> tuple[Ingredient | None, tuple[Asked, ...]]:
    near = [ingredient_named(name) for name in candidates(item.name)]
    names = list(dict.fromkeys(found.name for found in near if found))
    notice = Notice.of("gather-unknown", name=item.name, read=item.origin.text.strip())
    choices = tuple(Choice(name, name) for name in (*names, BY_WEIGHT))
    mass = mass_of(item.amount, None, asking.settled).mass if item.amount else None
    doubt = replace(
        doubt_of(f"{key}:name", notice, choices, asking, blocks=True), takes="ingredient"
    )
    meant = ingredient_named(asking.answers.get(doubt.key, ""))
    if not doubt.answer and meant is not None:
        doubt = replace(doubt, answer=meant.name)
    rows = [*(ingredient_table()[name] for name in names), None]
    moves = tuple(_brought(row, mass[1]) for row in rows) if mass else None
    if item.amount and item.amount.unit == "%":
        moves = tuple(_brought(row, item.amount.best / 100) for row in rows)
    return ingredient_table().get(doubt.answer), (Asked(doubt, moves),)


def _name(item: Item, ingredient: Ingredient | None) -> str:
    """The baker's own word where the table takes it for the same, else the table's.

    Brackets would tell a second line apart, so that a name has none.
    """
    plain = " ".join(item.name.replace("(", " ").replace(")", " ").split())
    own = ingredient_named(plain)
    if ingredient is not None:
        return plain if own is ingredient else ingredient.name
    return plain if any(map(str.isalnum, plain)) else f"line {item.origin.line}"


def _hydrated(
    line: DraftLine,
    ingredient: Ingredient | None,
    key: str,
    asking: Asking,
    said: float | None,
) -> tuple[DraftLine, tuple[Asked, ...]]:
    """A culture's own water on its flour: as its line says, else nobody can see from outside."""
    if ingredient is None or ingredient.kind != "starter":
        return line, ()
    if said is not None:
        return replace(line, hydration=said), ()
    notice = Notice.of("gather-culture", name=line.name, read=line.origin.text.strip())
    named = {f"{ratio:.0%}": ratio for ratio in CULTURES}
    choices = tuple(Choice(name, name) for name in (*named, BY_WEIGHT))
    doubt = doubt_of(f"{key}:hydration", notice, choices, asking, blocks=True)
    much = line.mass[1] if line.mass else line.share
    moves = ((0.0, 0.0), *((much * r / (1 + r), 0.0) for r in CULTURES)) if much else None
    if doubt.answer in named:
        return replace(line, hydration=named[doubt.answer]), (Asked(doubt, moves),)
    is_open = doubt.answer != BY_WEIGHT
    return replace(line, table="", is_culture=is_open), (Asked(doubt, moves),)


# --- How much -------------------------------------------------------------------------------------


def _weighed(
    item: Item, ingredient: Ingredient | None, key: str, asking: Asking
) -> tuple[DraftLine, tuple[Asked, ...]]:
    """The line with its weight or its share, and the question where there is neither."""
    line = DraftLine(item.name, None, None, "", item.note, item.origin, key)
    amount = item.amount or _answered(f"{key}:amount", asking)
    if amount is None:
        return line, (_missing(item, ingredient, key, asking),)
    line = replace(line, kept_words=amount.words)
    asked = () if item.amount else (_missing(item, ingredient, key, asking),)
    if amount.unit == "%" and 0 <= amount.low <= amount.high < MOST_MASS * 100:
        ends = (amount.low / 100, amount.high / 100) if amount.high > amount.low else None
        return replace(line, share=amount.best / 100, ends=ends), asked
    return _by_mass(line, item, amount, ingredient, asking, asked)


def _by_mass(
    line: DraftLine,
    item: Item,
    amount: Amount,
    ingredient: Ingredient | None,
    asking: Asking,
    asked: tuple[Asked, ...],
) -> tuple[DraftLine, tuple[Asked, ...]]:
    """The weight of an amount, as far as its questions were answered."""
    answer = _answered(f"{line.key}:amount", asking) or amount
    words = words_of(item)
    massed = mass_of(answer, ingredient, asking.settled, words, asking.told(line.key))
    doubts = _all_asked(answer, ingredient, words, asking)
    inner = [_of_mass(d, ingredient, line.key, asking) for d in doubts if d.key != WEIGHT]
    mass = massed.mass
    if mass is None or not 0 <= mass[0] <= mass[2] <= MOST_MASS:
        mass = None
        why = next((d.notice for d in massed.doubts if d.key == WEIGHT), None)
        missing = _missing(item, ingredient, line.key, asking, why)
        if why and missing.doubt.answer not in {choice.key for choice in missing.doubt.choices}:
            asked = (
                Asked(replace(missing.doubt, answer="")),
            )  # it was answered, and weighs nothing
        else:
            asked = asked or (missing,)
    elif answer != amount:
        asked = asked or (_missing(item, ingredient, line.key, asking),)
    ends = massed.ends if mass else None
    return replace(line, mass=mass, how=massed.how, ends=ends), (*asked, *inner)


def _all_asked(
    amount: Amount, ingredient: Ingredient | None, words: str, asking: Asking
) -> Iterator[Doubt]:
    """All that is asked about an amount, answered or not.

    The whole recipe's questions stay when they are answered; a line's own are asked as far as
    those leave anything open.
    """
    shared: dict[str, Doubt] = {}
    for doubt in mass_of(amount, ingredient, asking.settings, words).doubts:
        if _about(doubt, ingredient) in SHARED:
            shared[doubt.key] = doubt
    yield from shared.values()
    for doubt in mass_of(amount, ingredient, asking.settled, words).doubts:
        if doubt.key not in shared:
            yield doubt


def _about(doubt: Doubt, ingredient: Ingredient | None) -> str:
    is_egg = doubt.key == "size" and ingredient is not None and ingredient.name in EGGS
    return "egg size" if is_egg else doubt.key


def _of_mass(doubt: Doubt, ingredient: Ingredient | None, key: str, asking: Asking) -> Asked:
    """A question about an amount, with the line's key unless it is the whole recipe's."""
    about = _about(doubt, ingredient)
    whole = about if about in SHARED else f"{key}:{about}"
    asked = doubt_of(whole, doubt.notice, doubt.choices, asking, blocks=doubt.blocks)
    if about in SHARED and not asked.answer and about in asking.answers:
        asked = replace(asked, answer=_setting(about, asking))
    masses = [choice.mass for choice in doubt.choices]
    known = bool(masses) and all(masses)
    moves = tuple(_brought(ingredient, mass[1]) for mass in masses if mass) if known else None
    return Asked(asked, moves if doubt.blocks else None)


def _setting(about: str, asking: Asking) -> str:
    """An answer for the whole recipe that this line's own choices do not tell apart."""
    given = asking.answers[about]
    return given if given in ALLOWED[about] else ""


def _answered(key: str, asking: Asking) -> Amount | None:
    """An amount that was written as the answer."""
    return amount_of(asking.answers.get(key, ""))


def _missing(
    item: Item,
    ingredient: Ingredient | None,
    key: str,
    asking: Asking,
    why: Notice | None = None,
) -> Asked:
    """The question how much; other columns of a table are its candidates."""
    whole = f"{key}:amount"
    read = item.origin.text.strip()
    notice = why or Notice.of("gather-no-amount", name=item.name, read=read)
    choices = (*_columns(item, ingredient, asking), Choice(NOT_WEIGHED, NOT_WEIGHED))
    blocks = ingredient is None or ingredient.kind not in UNMEASURED
    doubt = replace(doubt_of(whole, notice, choices, asking, blocks=blocks), takes="amount")
    written = asking.answers.get(whole, "")
    if not doubt.answer and amount_of(written):
        doubt = replace(doubt, answer=written)
    return Asked(doubt)


def _columns(item: Item, ingredient: Ingredient | None, asking: Asking) -> Iterator[Choice]:
    for _, amount in item.columns:
        mass = mass_of(amount, ingredient, asking.settled).mass
        if mass is not None:
            yield Choice(_slug(amount.words, 0), amount.words, mass)

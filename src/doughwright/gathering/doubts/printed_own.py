"""Percentages that are of each part's own flour, and how much of all the flour that part has.

What a culture brings is flour too: a levain of 100 % flour with 20 % of an even starter has 110 %.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.doubts.printed import (
    Column,
    Finding,
    answer_of,
    flour_of,
    named_parts,
    plain_key,
    scaled,
    times,
)
from doughwright.gathering.gathered import Choice, Doubt, Gathered, Item
from doughwright.gathering.lines.amounts import amount_of
from doughwright.gathering.lines.cultures import flour_share
from doughwright.gathering.pages.titles import kind_of

WHOLE = 1.0
"""Percent by which flour may miss a hundred that is of its own part (assumption)."""

SHARES = (0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5)
"""Of all the flour, in a preferment (common practice, no source)."""

OWN = "own shares"
"""What the keys of these questions begin with."""


@dataclass(frozen=True, slots=True)
class _Group:
    """A part with all that it takes: how many of each number there is for one of its own.

    ``flour`` is what they hold in that measure, the flour of cultures with it as far as it is
    known; ``unsaid`` whether some of that is not.
    """

    at: int
    scales: Mapping[int, float]
    flour: float
    unsaid: bool


def own_shares_doubted(
    gathered: Gathered, columns: Sequence[Column], answers: Mapping[str, str]
) -> Iterator[Finding]:
    """Percentages of parts, each of its own flour: counted on all the flour, or weighed."""
    leads = {column.at: column for column in columns if column.leads and column.counts}
    shares = {at: column for at, column in leads.items() if column.is_share}
    takes = dict(_takes(gathered, leads))
    if len(shares) < len(leads):
        yield from _weighed(gathered, leads, takes, answers)
        return
    groups = _groups(shares, takes, answers)
    floured = [group for group in groups if group.flour > 0]
    own = [at for at, c in shares.items() if abs(flour_of(c.own) - 100) <= WHOLE]
    counted = [at for at, c in shares.items() if flour_of(c.own) > 0]
    if len(counted) < 2 or not own:
        return
    if len(own) < len(counted):
        yield from _rest(gathered, shares, own, counted, answers)
    elif len(floured) == 1:
        yield _on_all(gathered, shares, floured[0], answers)
    else:
        yield from _asked(gathered, shares, floured, answers)


# --- Percentages alone ----------------------------------------------------------------------------


def _takes(
    gathered: Gathered, leads: Mapping[int, Column]
) -> Iterator[tuple[int, tuple[int, float]]]:
    """By part: the one that takes it, and how much by that one's line."""
    for at, column in leads.items():
        for item, part in named_parts(gathered, at):
            for entry in column.parts:
                if entry.item is item and part != at:
                    yield part, (at, entry.value)


def _groups(
    shares: Mapping[int, Column],
    takes: Mapping[int, tuple[int, float]],
    answers: Mapping[str, str],
) -> list[_Group]:
    """Each part that no line takes, with those it takes."""
    roots = [at for at in shares if at not in takes]
    return [_group(root, shares, takes, answers) for root in roots]


def _group(
    root: int,
    shares: Mapping[int, Column],
    takes: Mapping[int, tuple[int, float]],
    answers: Mapping[str, str],
) -> _Group:
    scales = {root: 1.0}
    for _ in takes:
        for part, (taker, value) in takes.items():
            made = _sum(shares[part]) if part in shares else 0.0
            if taker in scales and made > 0:
                scales[part] = scales[taker] * value / made
    held = {at: _flour(shares[at], answers) for at in scales if at in shares}
    flour = sum(scales[at] * flour for at, (flour, _) in held.items())
    return _Group(root, scales, flour, any(unsaid for _, unsaid in held.values()))


def _sum(column: Column) -> float:
    return sum(entry.value for entry in column.entries)


def _flour(column: Column, answers: Mapping[str, str]) -> tuple[float, bool]:
    """The flour of a part with that of its cultures, and whether one of them does not say."""
    held = [(e.value, flour_share(e.item, key_of(e.item), answers)) for e in column.own]
    known = sum(value * share for value, share in held if share)
    return flour_of(column.own) + known, any(share is None for _, share in held)


def _on_all(
    gathered: Gathered, shares: Mapping[int, Column], group: _Group, answers: Mapping[str, str]
) -> Finding:
    """All parts are taken by lines that say how much: one answer counts them on all the flour."""
    held = {at: group.scales[at] * _flour(shares[at], answers)[0] for at in group.scales}
    least = min((at for at, flour in held.items() if flour > 0), key=lambda at: group.scales[at])
    notice = _notice(gathered, least, held[least] / group.flour, unsaid=group.unsaid)
    doubt = _one_choice(OWN, notice, answers)
    factor = 100 / group.flour
    changes = tuple(_scaled(shares, {at: s * factor for at, s in group.scales.items()}))
    return Finding(Asked(doubt), changes if doubt.answer else ())


def _notice(gathered: Gathered, at: int, share: float, *, unsaid: bool) -> Notice:
    beside = ", without that of its culture" if unsaid else ""
    title = gathered.sections[at].title
    return Notice.of("gather-own-shares", part=title, share=share, beside=beside)


def _one_choice(
    key: str, notice: Notice, answers: Mapping[str, str], words: str = "counted on all the flour"
) -> Doubt:
    choice = Choice("own flour", f"each part of its own flour, {words}")
    return Doubt(key, notice, (choice,), answer_of(key, (choice.key,), answers))


def _scaled(
    shares: Mapping[int, Column], scales: Mapping[int, float]
) -> Iterator[tuple[Item, Item]]:
    for at, scale in scales.items():
        if at in shares:
            yield from ((entry.item, scaled(entry.item, scale)) for entry in shares[at].own)


def _asked(
    gathered: Gathered,
    shares: Mapping[int, Column],
    groups: Sequence[_Group],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """How much of all the flour each part has that nothing takes, but for the last dough."""
    last = _last(gathered, groups)
    asked = {group.at: _which(gathered, group, answers) for group in groups if group is not last}
    said = {at: _ratio(doubt.answer) for at, doubt in asked.items() if doubt.answer}
    left = 1 - sum(said.values())
    whole = {group.at: said.get(group.at, left) for group in groups}
    changes: tuple[tuple[Item, Item], ...] = ()
    if len(said) == len(asked) and left > 0:
        scales = {
            at: 100 * whole[group.at] / group.flour * scale
            for group in groups
            for at, scale in group.scales.items()
        }
        changes = tuple(_scaled(shares, scales))
    for place, doubt in enumerate(asked.values()):
        yield Finding(Asked(doubt), () if place else changes)


def _last(gathered: Gathered, groups: Sequence[_Group]) -> _Group:
    """The dough that is baked, as far as its heading says so."""
    titles = [(group, kind_of(gathered.sections[group.at].title)) for group in groups]
    doughs = [group for group, kind in titles if kind in (None, "dough")]
    return (doughs or list(groups))[-1]


def _which(gathered: Gathered, group: _Group, answers: Mapping[str, str]) -> Doubt:
    """The question how much of all the flour a part has; any percentage is an answer."""
    title = gathered.sections[group.at].title
    key = f"{OWN} {plain_key(title)}".strip()
    choices = tuple(Choice(f"{share:.0%}", f"{share:.0%} of all the flour") for share in SHARES)
    given = answers.get(key, "")
    answer = given if 0 < _ratio(given) < 1 else ""
    notice = Notice.of("gather-which-share", part=title)
    return Doubt(key, notice, choices, answer, takes="amount")


def _ratio(words: str) -> float:
    amount = amount_of(words)
    return amount.best / 100 if amount and amount.unit == "%" else 0.0


def _rest(
    gathered: Gathered,
    shares: Mapping[int, Column],
    own: Sequence[int],
    counted: Sequence[int],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """One part of its own flour beside others of all the flour: it has what they leave."""
    held = {at: _flour(shares[at], answers) for at in counted}
    others = sum(flour for at, (flour, _) in held.items() if at not in own)
    if len(own) > 1 or others >= 100 - WHOLE:
        return
    (at,) = own
    share = 1 - others / 100
    part = gathered.sections[at].title
    notice = Notice.of("gather-rest-share", part=part, others=others / 100, share=share)
    doubt = _one_choice(OWN, notice, answers)
    changes = tuple(_scaled(shares, {at: 100 * share / held[at][0]}))
    yield Finding(Asked(doubt), changes if doubt.answer else ())


# --- Percentages beside weights -------------------------------------------------------------------


def _weighed(
    gathered: Gathered,
    leads: Mapping[int, Column],
    takes: Mapping[int, tuple[int, float]],
    answers: Mapping[str, str],
) -> Iterator[Finding]:
    """A part in percent that a line in grams takes, or of which nobody says how much is made."""
    weights = {at: column for at, column in leads.items() if not column.is_share}
    flour = sum(_flour(column, answers)[0] for column in weights.values())
    for at, column in leads.items():
        taker, mass = takes.get(at, (at, 0.0))
        own, unsaid = _flour(column, answers)
        if not column.is_share or not flour or (taker not in weights and own < 100 - WHOLE):
            continue
        if taker in weights:
            scale = mass / _sum(column)
            share = scale * own / (flour + scale * own)
            key = f"{OWN} {plain_key(gathered.sections[at].title)}"
            notice = _notice(gathered, at, share, unsaid=unsaid)
            doubt = _one_choice(key, notice, answers, f"{1000 * mass:.4g} g of it in all")
        else:
            doubt = _which(gathered, _Group(at, {at: 1.0}, own, unsaid), answers)
            share = _ratio(doubt.answer)
            scale = share / (1 - share) * flour / own
        changes = tuple((e.item, _in_grams(e.item, e.value * scale)) for e in column.own)
        yield Finding(Asked(doubt), changes if doubt.answer else ())


def _in_grams(item: Item, mass: float) -> Item:
    """A line with a weight for its percentage."""
    if item.amount is None or not item.amount.best:
        return item
    grams = times(item.amount, 1000 * mass / item.amount.best)
    return replace(
        item, amount=replace(grams, unit="g", same=(), more=(), package=None), columns=()
    )

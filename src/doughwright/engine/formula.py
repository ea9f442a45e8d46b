"""Baker's percentage algebra: a graph of preparations solved for every weight.

A line's mass is ``fixed + ratio × total flour``; total flour is the flour of every
preparation as far as it ends in the final dough. That is one linear equation, closed
either by flour lines in weight or by the batch asked for (pieces, dough, flour).
Preparations beside the dough (fillings, glazes, toppings) are shares of a mass per piece.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from doughwright.engine.ingredients import Ingredient
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import Kilogram, Ratio

DOUGH_KINDS = frozenset({"preferment", "soaker", "dough"})
"""Preparations that end in the dough; the others go beside it, per piece."""

PERCENT_SLACK: Ratio = 0.005
"""Flour percentages may miss 100 % by this much through the author's rounding."""

_EXACT = 1e-9
_MOST_ROUNDS = 200


@dataclass(frozen=True, slots=True)
class Line:
    """One ingredient of a preparation.

    ``mass = fixed + ratio × total flour``, or ``parts`` of the preparation's mass;
    ``spread`` is the low and high end of a written range relative to its middle.
    """

    name: str
    ingredient: Ingredient
    fixed: Kilogram = 0.0
    ratio: Ratio = 0.0
    parts: float = 0.0
    spread: tuple[Ratio, Ratio] = (1.0, 1.0)


@dataclass(frozen=True, slots=True)
class Use:
    """How much of a preparation goes into another: a share of it or a weight."""

    preparation: str
    share: Ratio = 1.0
    mass: Kilogram | None = None


@dataclass(frozen=True, slots=True)
class Preparation:
    """A preferment, soaker, dough, filling, glaze or topping."""

    name: str
    kind: str
    lines: tuple[Line, ...]
    uses: tuple[Use, ...] = ()
    each: Kilogram | None = None

    @property
    def in_dough(self) -> bool:
        """Whether it ends in the dough, not beside it."""
        return self.kind in DOUGH_KINDS


@dataclass(frozen=True, slots=True)
class Batch:
    """How much to make; ``spare`` is the share of dough lost before the oven."""

    pieces: int | None = None
    piece: Kilogram | None = None
    dough: Kilogram | None = None
    flour: Kilogram | None = None
    spare: Ratio = 0.0

    @property
    def wanted_dough(self) -> Kilogram | None:
        """The dough this batch asks for, spare included; None if it does not say."""
        if self.dough is not None:
            return self.dough
        if self.pieces is None or self.piece is None:
            return None
        return self.pieces * self.piece / (1 - self.spare)


@dataclass(frozen=True, slots=True)
class SolvedPreparation:
    """A preparation with every mass known.

    ``masses`` are as made, one per line; ``taken`` the mass of each preparation it
    uses; ``used`` the share of it that ends in the final dough.
    """

    preparation: Preparation
    masses: tuple[Kilogram, ...]
    taken: Mapping[str, Kilogram]
    used: Ratio

    @property
    def name(self) -> str:
        """Its name."""
        return self.preparation.name

    @property
    def mass(self) -> Kilogram:
        """All that it weighs."""
        return sum(self.masses) + sum(self.taken.values())

    @property
    def own_flour(self) -> Kilogram:
        """Flour in its own lines, without that of the preparations it uses."""
        lines = self.preparation.lines
        return sum(m * line.ingredient.flour for m, line in zip(self.masses, lines, strict=True))


@dataclass(frozen=True, slots=True)
class SolvedFormula:
    """A formula with every mass known; ``remainder`` is dough beyond pieces and spare."""

    preparations: tuple[SolvedPreparation, ...]
    final: str
    total_flour: Kilogram
    pieces: int | None
    piece: Kilogram | None
    spare: Ratio
    remainder: Kilogram = 0.0
    notices: tuple[Notice, ...] = field(default=())

    def named(self, name: str) -> SolvedPreparation:
        """Return a preparation by its name."""
        return next(p for p in self.preparations if p.name == name)

    @property
    def dough(self) -> Kilogram:
        """The final dough's mass."""
        return self.named(self.final).mass


def working_order(preparations: Iterable[Preparation]) -> tuple[Preparation, ...]:
    """Order preparations so that each stands after those it uses.

    >>> sponge = Preparation("sponge", "preferment", ())
    >>> dough = Preparation("dough", "dough", (), uses=(Use("sponge"),))
    >>> [p.name for p in working_order([dough, sponge])]
    ['sponge', 'dough']

    Raises
    ------
    ImpossibleInput
        If one uses what is not there, or itself through others.
    """
    by_name = {p.name: p for p in preparations}
    done: dict[str, Preparation] = {}
    _check_references(by_name)
    while len(done) < len(by_name):
        left = [p for p in by_name.values() if p.name not in done]
        ready = [p for p in left if all(u.preparation in done for u in p.uses)]
        if not ready:
            names = ", ".join(p.name for p in left)
            raise refused("goes-in-circles", left[0].name, names=names)
        done |= {p.name: p for p in ready[:1]}
    return tuple(done.values())


def _check_references(by_name: Mapping[str, Preparation]) -> None:
    for p in by_name.values():
        for use in p.uses:
            if use.preparation not in by_name:
                values = {"read": use.preparation, "allowed": ", ".join(by_name)}
                raise refused("unknown-preparation", p.name, "from", **values)


def refused(code: str, name: str, *inside: str, **values: object) -> ImpossibleInput:
    """Return the error that refuses a preparation, at its place in the document.

    >>> refused("parts-in-dough", "dough").problems[0].where
    ('preparations', 'dough')
    """
    return ImpossibleInput([Notice.of(code, "preparations", name, *inside, **values)])


def final_dough(preparations: Iterable[Preparation]) -> str:
    """Return the one dough that goes into nothing else.

    >>> first = Preparation("first dough", "dough", ())
    >>> final_dough([first, Preparation("second dough", "dough", (), (Use("first dough"),))])
    'second dough'

    Raises
    ------
    ImpossibleInput
        If there is none or more than one.
    """
    listed = tuple(preparations)
    taken = {use.preparation for p in listed for use in p.uses}
    ends = [p.name for p in listed if p.in_dough and p.name not in taken]
    doughs = [p.name for p in listed if p.name in ends and p.kind == "dough"]
    if len(ends) != 1 or not doughs:
        code, final = ("several-final-doughs", doughs[-1:]) if len(ends) > 1 else ("no-dough", [])
        said = {"names": ", ".join(ends) or "none", "left": [n for n in ends if n not in final]}
        raise ImpossibleInput([Notice.of(code, "preparations", *final, **said)])
    return ends[0]


def solved(preparations: Iterable[Preparation], batch: Batch) -> SolvedFormula:
    """Solve every mass of a formula.

    Percentages take their scale from flour lines in weight, else from ``batch``. What
    goes beside the dough is still as written; :func:`~.dividing.divided` fits it to the
    pieces.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> table = ingredient_table()
    >>> percents = {"strong white flour": 1.00, "water": 0.80, "salt": 0.02}
    >>> lines = tuple(Line(name, table[name], ratio=r) for name, r in percents.items())
    >>> batch = Batch(pieces=4, piece=0.335, spare=0.02)  # dawghousebakery.com, 4 baguettes
    >>> baguettes = solved([Preparation("dough", "dough", lines)], batch)
    >>> [round(mass * 1000) for mass in baguettes.named("dough").masses]
    [751, 601, 15]

    Raises
    ------
    ImpossibleInput
        If the amounts contradict each other or leave the scale open.
    """
    order = working_order(preparations)
    final = final_dough(order)
    uses = [(p.name, use) for p in order for use in p.uses]
    by_share = {(by, u.preparation): u.share if u.mass is None else 0.0 for by, u in uses}
    _check_flour_shares(order, _used_shares(order, final, by_share))
    flour = _total_flour(order, final, batch)
    made = {name: amount.mass(flour) for name, amount in _amounts(order, flour).items()}
    shares = by_share | _shares_by_weight(uses, made)
    used = _used_shares(order, final, shares)
    return _assembled(order, final, used, shares, made, flour)


def _used_shares(
    order: tuple[Preparation, ...], final: str, shares: Mapping[tuple[str, str], Ratio]
) -> dict[str, Ratio]:
    """Return the share of each preparation that ends in the final dough."""
    used = dict.fromkeys((p.name for p in order), 0.0)
    used[final] = 1.0
    taken = dict.fromkeys(used, 0.0)
    for p in reversed(order):
        for use in p.uses:
            share = shares[p.name, use.preparation]
            used[use.preparation] += share * used[p.name]
            taken[use.preparation] += share
    for name, share in taken.items():
        if share > 1 + _EXACT:
            raise refused("takes-more-than-made", name, share=share)
    return used


def _check_flour_shares(order: tuple[Preparation, ...], used: Mapping[str, Ratio]) -> None:
    """No preparation can hold more flour than the whole."""
    for p in order:
        share = sum(line.ratio * line.ingredient.flour for line in p.lines) * used[p.name]
        if p.in_dough and share > 1 + PERCENT_SLACK:
            raise refused("more-flour-than-whole", p.name, share=share)


class _Amount(NamedTuple):
    """A preparation as made, each figure a weight or a ratio to total flour.

    ``weighed`` is flour from lines in weight, ``carried`` flour from lines in percent that
    came by a use in weight: it does not grow with total flour either.
    """

    fixed: Kilogram = 0.0
    ratio: Ratio = 0.0
    weighed: Kilogram = 0.0
    carried: Kilogram = 0.0
    flour: Ratio = 0.0

    def mass(self, flour: Kilogram) -> Kilogram:
        return self.fixed + self.ratio * flour

    def taken(self, use: Use, flour: Kilogram) -> "_Amount":
        if use.mass is None:
            return _Amount(*(part * use.share for part in self))
        made = self.mass(flour)
        share = use.mass / made if made else 0.0
        carried = self.carried + self.flour * flour
        return _Amount(use.mass, 0.0, share * self.weighed, share * carried)


def _amounts(order: tuple[Preparation, ...], flour: Kilogram) -> dict[str, _Amount]:
    """Return every preparation as made; a use by weight brings what it does at this flour."""
    found: dict[str, _Amount] = {}
    for p in order:
        parts = [_Amount(), *(found[u.preparation].taken(u, flour) for u in p.uses)]
        for line in p.lines:
            count = line.ingredient.flour if p.in_dough else 0.0
            flours = (line.fixed * count, 0.0, line.ratio * count)
            parts.append(_Amount(line.fixed, line.ratio, *flours))
        found[p.name] = _Amount(*map(sum, zip(*parts, strict=True)))
    return found


def _total_flour(order: tuple[Preparation, ...], final: str, batch: Batch) -> Kilogram:
    """Solve total flour; it settles at once unless a use by weight takes of a mixed one."""
    flour = batch.flour or batch.wanted_dough or 1.0
    for _ in range(_MOST_ROUNDS):
        dough = _amounts(order, flour)[final]
        wanted = _flour_of(dough, batch)
        if abs(wanted - flour) <= _EXACT * 1e-3 * wanted:
            return _rounded_flour(dough, flour, batch)
        flour = wanted
    raise refused("no-solution", final)


def _flour_of(dough: _Amount, batch: Batch) -> Kilogram:
    """Total flour by flour in weight, else by the batch, else by what a use in weight brings."""
    given = dough.weighed + dough.carried
    if given == 0 and dough.flour == 0:
        raise ImpossibleInput([Notice.of("no-flour", "preparations")])
    if given == 0 and abs(dough.flour - 1) > PERCENT_SLACK:
        raise ImpossibleInput([_flour_does_not_add(dough.flour, given)])
    if dough.weighed == 0 and batch.flour is not None:
        return batch.flour
    if dough.weighed == 0 and batch.wanted_dough is not None and dough.ratio:
        return _flour_for(dough, batch.wanted_dough)
    if given == 0:
        raise ImpossibleInput([Notice.of("scale-open", "yield")])
    if dough.flour >= 1 - _EXACT:
        raise ImpossibleInput([_flour_does_not_add(dough.flour, given)])
    return given / (1 - dough.flour)


def _flour_for(dough: _Amount, wanted: Kilogram) -> Kilogram:
    if wanted <= dough.fixed:
        values = {"wanted": wanted, "fixed": dough.fixed}
        raise ImpossibleInput([Notice.of("yield-too-small", "yield", **values)])
    return (wanted - dough.fixed) / dough.ratio


def _rounded_flour(dough: _Amount, flour: Kilogram, batch: Batch) -> Kilogram:
    """Check the flours' sum; where all are percentages, rounding does not move the flour asked."""
    given = dough.weighed + dough.carried
    total = dough.flour + given / flour
    if abs(total - 1) > PERCENT_SLACK:
        raise ImpossibleInput([_flour_does_not_add(total, 0.0)])
    return flour if given or batch.flour is None else flour / total


def _flour_does_not_add(ratio: Ratio, fixed: Kilogram) -> Notice:
    code = "flour-percent-and-weight" if fixed else "flour-percent-sum"
    return Notice.of(code, "preparations", sum=ratio, weight=fixed)


def _shares_by_weight(
    uses: Iterable[tuple[str, Use]], made: Mapping[str, Kilogram]
) -> dict[tuple[str, str], Ratio]:
    """Turn uses given as weights into shares of what is made."""
    shares: dict[tuple[str, str], Ratio] = {}
    for by, use in uses:
        there = made[use.preparation]
        if use.mass is not None and use.mass > there * (1 + _EXACT):
            values = {"wanted": use.mass, "made": there, "taken": use.preparation}
            raise refused("takes-more-weight-than-made", by, "from", use.preparation, **values)
        if use.mass is not None:
            shares[by, use.preparation] = use.mass / there
    return shares


def _assembled(
    order: tuple[Preparation, ...],
    final: str,
    used: Mapping[str, Ratio],
    shares: Mapping[tuple[str, str], Ratio],
    made: Mapping[str, Kilogram],
    flour: Kilogram,
) -> SolvedFormula:
    preparations = tuple(
        SolvedPreparation(
            preparation=p,
            masses=tuple(line.fixed + line.ratio * flour for line in p.lines),
            taken={
                u.preparation: shares[p.name, u.preparation] * made[u.preparation] for u in p.uses
            },
            used=used[p.name] if p.in_dough else 0.0,
        )
        for p in order
    )
    true_flour = sum(p.own_flour * p.used for p in preparations if p.preparation.in_dough)
    off = abs(true_flour / flour - 1)
    notices = (Notice.of("flour-percent-rounded", "preparations", sum=true_flour / flour),)
    return SolvedFormula(
        preparations=preparations,
        final=final,
        total_flour=true_flour,
        pieces=None,
        piece=None,
        spare=0.0,
        notices=notices if off > 1e-6 else (),
    )

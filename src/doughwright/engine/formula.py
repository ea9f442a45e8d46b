"""Baker's percentage algebra: a graph of preparations solved for every weight.

A line's mass is ``fixed + ratio × total flour``; total flour is the flour of every
preparation as far as it ends in the final dough. That is one linear equation, closed
either by flour lines in weight or by the batch asked for (pieces, dough, flour).
Preparations beside the dough (fillings, glazes, toppings) are shares of a mass per piece.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from doughwright.engine.ingredients import Ingredient
from doughwright.errors import ImpossibleInput, Notice
from doughwright.units import Kilogram, Ratio

DOUGH_KINDS = frozenset({"preferment", "soaker", "dough"})
"""Preparations that end in the dough; the others go beside it, per piece."""

PERCENT_SLACK: Ratio = 0.005
"""Flour percentages may miss 100 % by this much through the author's rounding."""

_EXACT = 1e-9
_MOST_ROUNDS = 60


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
        ready = [
            p
            for p in by_name.values()
            if p.name not in done and all(u.preparation in done for u in p.uses)
        ]
        if not ready:
            circle = [name for name in by_name if name not in done]
            raise refused("goes-in-circles", circle[0], names=", ".join(circle))
        done |= {p.name: p for p in ready[:1]}
    return tuple(done.values())


def _check_references(by_name: Mapping[str, Preparation]) -> None:
    for p in by_name.values():
        for use in p.uses:
            if use.preparation not in by_name:
                allowed = ", ".join(by_name)
                raise refused(
                    "unknown-preparation", p.name, "from", read=use.preparation, allowed=allowed
                )


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
        code = "several-final-doughs" if len(ends) > 1 else "no-dough"
        raise ImpossibleInput([Notice.of(code, "preparations", names=", ".join(ends) or "none")])
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
    shares = _first_shares(order)
    for _ in range(_MOST_ROUNDS):
        used = _used_shares(order, final, shares)
        flour = _total_flour(order, used, batch)
        made = _made_masses(order, shares, flour)
        wanted = _shares_by_weight(order, shares, made)
        if _close(shares, wanted):
            return _assembled(order, final, used, shares, made, flour)
        shares = wanted
    raise refused("no-solution", final)


def _first_shares(order: tuple[Preparation, ...]) -> dict[tuple[str, str], Ratio]:
    """Return shares as written; a use by weight as the taken preparation's weights allow.

    Where those are percentages, all that use it by weight start with equal shares.
    """
    by_weight = [u.preparation for p in order for u in p.uses if u.mass is not None]
    shares: dict[tuple[str, str], Ratio] = {}
    made: dict[str, Kilogram] = {}
    for p in order:
        made[p.name] = sum(line.fixed for line in p.lines)
        for use in p.uses:
            taken = made[use.preparation]
            share = use.share if use.mass is None else 1 / by_weight.count(use.preparation)
            if use.mass is not None and taken:
                share = min(1.0, use.mass / taken)
            shares[p.name, use.preparation] = share
            made[p.name] += share * taken
    return shares


def _close(one: Mapping[tuple[str, str], Ratio], other: Mapping[tuple[str, str], Ratio]) -> bool:
    return all(abs(one[key] - other[key]) <= _EXACT * 1e-3 for key in one)


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


def _total_flour(
    order: tuple[Preparation, ...], used: Mapping[str, Ratio], batch: Batch
) -> Kilogram:
    dough = [(p, used[p.name]) for p in order if p.in_dough]
    fixed = sum(u * line.fixed * line.ingredient.flour for p, u in dough for line in p.lines)
    ratio = sum(u * line.ratio * line.ingredient.flour for p, u in dough for line in p.lines)
    _check_flour_shares(dough)
    if fixed == 0 and ratio == 0:
        raise ImpossibleInput([Notice.of("no-flour", "preparations")])
    if fixed == 0 and abs(ratio - 1) <= PERCENT_SLACK:
        return _flour_for(batch, dough) / ratio
    if fixed == 0 or ratio >= 1 - _EXACT:
        raise ImpossibleInput([_flour_does_not_add(ratio, fixed)])
    return fixed / (1 - ratio)


def _flour_does_not_add(ratio: Ratio, fixed: Kilogram) -> Notice:
    code = "flour-percent-and-weight" if fixed else "flour-percent-sum"
    return Notice.of(code, "preparations", sum=ratio, weight=fixed)


def _check_flour_shares(dough: list[tuple[Preparation, Ratio]]) -> None:
    """No preparation can hold more flour than the whole."""
    for p, used in dough:
        share = sum(line.ratio * line.ingredient.flour for line in p.lines) * used
        if share > 1 + PERCENT_SLACK:
            raise refused("more-flour-than-whole", p.name, share=share)


def _flour_for(batch: Batch, dough: list[tuple[Preparation, Ratio]]) -> Kilogram:
    """Total flour when only percentages are given, from the batch."""
    if batch.flour is not None:
        return batch.flour
    wanted = batch.wanted_dough
    if wanted is None:
        raise ImpossibleInput([Notice.of("scale-open", "yield")])
    fixed = sum(u * line.fixed for p, u in dough for line in p.lines)
    ratio = sum(u * line.ratio for p, u in dough for line in p.lines)
    flour = sum(u * line.ratio * line.ingredient.flour for p, u in dough for line in p.lines)
    if wanted <= fixed:
        raise ImpossibleInput([Notice.of("yield-too-small", "yield", wanted=wanted, fixed=fixed)])
    return (wanted - fixed) / ratio * flour


def _made_masses(
    order: tuple[Preparation, ...],
    shares: Mapping[tuple[str, str], Ratio],
    flour: Kilogram,
) -> dict[str, Kilogram]:
    """Return the mass of each preparation of the dough as made."""
    made: dict[str, Kilogram] = {}
    for p in order:
        own = sum(line.fixed + line.ratio * flour for line in p.lines)
        made[p.name] = own + sum(
            shares[p.name, u.preparation] * made[u.preparation] for u in p.uses
        )
    return made


def _shares_by_weight(
    order: tuple[Preparation, ...],
    shares: Mapping[tuple[str, str], Ratio],
    made: Mapping[str, Kilogram],
) -> dict[tuple[str, str], Ratio]:
    """Turn uses given as weights into shares of what is made."""
    wanted = dict(shares)
    for p in order:
        for use in p.uses:
            if use.mass is not None:
                wanted[p.name, use.preparation] = _share_of(use, made[use.preparation], p.name)
    return wanted


def _share_of(use: Use, made: Kilogram, by: str) -> Ratio:
    assert use.mass is not None
    if use.mass > made * (1 + _EXACT):
        values = {"wanted": use.mass, "made": made, "taken": use.preparation}
        raise refused("takes-more-weight-than-made", by, "from", use.preparation, **values)
    return use.mass / made


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

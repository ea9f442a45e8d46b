"""The heat balance at mixing: how warm a dough comes out, and what it takes to aim.

Every portion brings its heat, wetting flour gives some, dissolving and melting take
some, bowl and room pull towards themselves, kneading adds work. Symbols::

    T0 = (H + Qw − Qd − Qb + Cb·Tb) / (C + Cb)            before the work
    a  = UA·t / (C + Cb)
    Tf = Tr + (T0 − Tr)·e^(−a) + W/(C + Cb)·(1 − e^(−a))/a

Butter melts by as much as the final temperature allows, so Qb depends on Tf; between
the points of the solid-fat curve that is a straight line and is solved exactly.
"""

from bisect import bisect_left
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from math import exp, expm1, fsum

from doughwright.engine.kneading import Bench, MixingWay
from doughwright.engine.portions import (
    Portion,
    fats_in,
    heat_capacity,
    melting_heat,
    mixing_constant,
    portion_named,
    solid_fat_curve,
    stored_heat,
    wetting_heat,
    with_ice,
)
from doughwright.errors import ImpossibleInput, Notice
from doughwright.sources import ModelCard, Range, notices_for
from doughwright.units import ICE_POINT, Joule, JoulePerKelvin, Kelvin, Kilogram, Ratio

MIXING = ModelCard(
    key="mixing",
    name="Heat balance at mixing",
    predicts="mean dough temperature at the end of mixing",
    sources=(
        "choi-okos-1986",
        "flour-heat-of-hydration",
        "thermodynamics-textbook-dough",
    ),
    inputs={
        "portion_temperature": Range(253.15, 373.15, "K"),
        "dough_temperature": Range(ICE_POINT, 323.15, "K"),
        "flour_moisture": Range(0.08, 0.16, "1"),
        "batch": Range(0.1, 20.0, "kg"),
    },
    expected_error="±1 K by hand and in a home mixer once its warming is known, else ±2 K",
    known_from=(
        "spread of the inputs (room and liquid ±1 K, warming ±0.4 K) gives ±0.8 K; no set of "
        "measured dough temperatures with all inputs was found"
    ),
    assumptions=(
        "specific heats taken at 20 °C; flour 1.8 kJ/(kg K) instead of 2.0 by composition",
        "all dry flour is wetted, all salt and sugar dissolved at the end of mixing",
        "molten butter that cools down does not set again while mixing",
        "bowl, table and room take what the table of defaults says, by mass to the power 2/3",
    ),
)


@dataclass(frozen=True, slots=True)
class MixedDough:
    """The dough at the end of mixing and where its heat came from.

    ``portion_heats`` is the heat each portion gave up to reach the final temperature,
    ``terms`` what came from wetting, solution, butter, bowl, room and work; negative
    takes heat away. Together they are zero: ``residual`` is their sum over the sum of
    their sizes. ``heat_capacity`` is without the bowl.
    """

    temperature: Kelvin
    temperature_before_work: Kelvin
    mass: Kilogram
    heat_capacity: JoulePerKelvin
    portion_heats: tuple[tuple[str, Joule], ...]
    terms: tuple[tuple[str, Joule], ...]
    residual: Ratio
    notices: tuple[Notice, ...] = ()


@dataclass(frozen=True, slots=True)
class Ice:
    """Ice in place of some of the water; ``mass`` and ``water`` add up to the old water.

    ``wanted`` is what the target asks for, ``mass`` what the cap allows.
    """

    mass: Kilogram
    water: Kilogram
    wanted: Kilogram
    reached: Kelvin
    feasible: bool


@dataclass(frozen=True, slots=True)
class _Heats:
    """Sums over the portions; ``stored`` is relative to liquid at 0 °C."""

    mass: Kilogram
    capacity: JoulePerKelvin
    stored: Joule
    wetting: Joule
    solution: Joule
    fats: tuple[tuple[Kilogram, Kelvin], ...]


@dataclass(frozen=True, slots=True)
class _Kneading:
    """Work, and the pull of bowl and room while it lasts (a as in the module's text)."""

    work: Joule
    capacity: JoulePerKelvin
    exchange: Ratio

    @property
    def fading(self) -> Ratio:
        """e^(−a): what is left of a difference to the room."""
        return exp(-self.exchange)

    @property
    def mean_fading(self) -> Ratio:
        """(1 − e^(−a))/a."""
        return -expm1(-self.exchange) / self.exchange if self.exchange else 1.0


def mixed_dough(portions: Sequence[Portion], way: MixingWay, bench: Bench) -> MixedDough:
    """Temperature of the dough at the end of mixing, with its heat account.

    >>> still = Bench(293.15, 0.0, 293.15, 0.0)
    >>> flour = Portion("flour", 1.0, 277.15, specific_heat=1800.0)
    >>> water = Portion("water", 0.65, 308.75, specific_heat=4186.0)
    >>> hand = MixingWay("hand", warming=2.0)
    >>> mixed_dough([flour, water], hand, still).temperature  # flour at 4, water at 35.6 °C
    298.2
    """
    heats = _heats(portions)
    kneading = _kneading(heats, way, bench)
    final = _final_temperature(heats, kneading, bench)
    before = _temperature_before_work(heats, kneading, bench, final)
    given = tuple(
        (p.name, stored_heat(p) - heat_capacity(p) * (final - ICE_POINT)) for p in portions
    )
    terms = _terms(heats, kneading, bench, before, final)
    all_heats = [heat for _, heat in (*given, *terms)]
    return MixedDough(
        temperature=final,
        temperature_before_work=before,
        mass=heats.mass,
        heat_capacity=heats.capacity,
        portion_heats=given,
        terms=terms,
        residual=fsum(all_heats) / (fsum(map(abs, all_heats)) or 1.0),
        notices=_notices(portions, heats.mass, final),
    )


def as_portion(name: str, dough: MixedDough, temperature: Kelvin) -> Portion:
    """A mixed preferment as one portion of the next dough; its flour is wet already.

    >>> water = Portion("water", 1.0, 300.0, specific_heat=4180.0)
    >>> poolish = mixed_dough([water], MixingWay("hand"), Bench(300.0, 0.0, 300.0, 0.0))
    >>> as_portion("poolish", poolish, 295.0).specific_heat
    4180.0
    """
    return Portion(name, dough.mass, temperature, specific_heat=dough.heat_capacity / dough.mass)


def portion_temperature_for(
    target: Kelvin,
    portions: Sequence[Portion],
    adjustable: Collection[str],
    way: MixingWay,
    bench: Bench,
) -> Kelvin:
    """Common temperature of the named portions that brings the dough to the target.

    It is not bounded: what a tap or a yeast allows is for :mod:`.levers` to judge.

    >>> still = Bench(293.15, 0.0, 293.15, 0.0)
    >>> flour = Portion("flour", 1.0, 277.15, specific_heat=1800.0)
    >>> water = Portion("water", 0.65, 290.15, specific_heat=4186.0)
    >>> hand = MixingWay("hand", warming=2.0)
    >>> portion_temperature_for(298.15, [flour, water], ["water"], hand, still) - 273.15  # 35.6
    35.57

    Raises
    ------
    ImpossibleInput
        If no portion bears a name, or a named one is frozen.
    """
    free = [p for p in portions if p.name in adjustable and p.mass > 0.0]
    if not free or any(p.frozen for p in free):
        raise ImpossibleInput([Notice.of("nothing-adjustable", names=", ".join(adjustable))])
    now = fsum(stored_heat(p) for p in free) - melting_heat(fats_in(free), target)
    wanted = now - _surplus(target, portions, way, bench)
    capacity = fsum(map(heat_capacity, free))

    def excess(common: Kelvin) -> Joule:
        fats = tuple((p.butterfat, common) for p in free if p.butterfat)
        return capacity * (common - ICE_POINT) - melting_heat(fats, target) - wanted

    return _zero_of_rising_polyline(excess, (*solid_fat_curve()[0], target))


def ice_mass_for(
    target: Kelvin,
    portions: Sequence[Portion],
    water: str,
    way: MixingWay,
    bench: Bench,
    ice_temperature: Kelvin = ICE_POINT,
) -> Ice:
    """How much of a portion of water to replace by ice, total weight kept.

    Capped at half of the water: more does not melt while the dough is mixed. None is
    wanted when the dough comes out at the target or below it.

    >>> still = Bench(293.15, 0.0, 293.15, 0.0)
    >>> tap = Portion("water", 40.0, 293.15, specific_heat=4186.0)
    >>> ice_mass_for(283.15, [tap], "water", MixingWay("none"), still).mass  # 40·10/(80+20)
    4.0
    """
    tap = portion_named(portions, water)
    ice = replace(tap, temperature=ice_temperature, frozen=True)
    per_ice = (stored_heat(tap) - stored_heat(ice)) / tap.mass
    wanted = max(0.0, _surplus(target, portions, way, bench) / per_ice)
    mass = min(wanted, mixing_constant("largest_ice_share") * tap.mass)
    reached = mixed_dough(with_ice(portions, water, mass, ice_temperature), way, bench).temperature
    feasible = abs(reached - target) < 1e-6
    return Ice(mass, tap.mass - mass, wanted, reached, feasible)


def _heats(portions: Iterable[Portion]) -> _Heats:
    listed = [p for p in portions if p.mass > 0.0]
    if not listed:
        raise ImpossibleInput([Notice.of("nothing-to-mix")])
    return _Heats(
        mass=fsum(p.mass for p in listed),
        capacity=fsum(map(heat_capacity, listed)),
        stored=fsum(map(stored_heat, listed)),
        wetting=fsum(p.dry_flour * wetting_heat(p.flour_moisture) for p in listed if p.dry_flour),
        solution=mixing_constant("salt_solution_heat") * fsum(p.salt for p in listed)
        + mixing_constant("sugar_solution_heat") * fsum(p.sugar for p in listed),
        fats=fats_in(listed),
    )


def _kneading(heats: _Heats, way: MixingWay, bench: Bench) -> _Kneading:
    capacity = heats.capacity + bench.bowl_heat_capacity
    if way.warming is not None:
        work = way.warming * heats.capacity
    else:
        work = (way.specific_power or 0.0) * heats.mass * way.duration
    return _Kneading(work, capacity, bench.transfer * way.duration / capacity)


def _bowl_stored(bench: Bench) -> Joule:
    return bench.bowl_heat_capacity * (bench.bowl_temperature - ICE_POINT)


def _temperature_before_work(
    heats: _Heats, kneading: _Kneading, bench: Bench, final: Kelvin
) -> Kelvin:
    melting = melting_heat(heats.fats, final)
    total = heats.stored + heats.wetting - heats.solution - melting + _bowl_stored(bench)
    return ICE_POINT + total / kneading.capacity


def _final_temperature(heats: _Heats, kneading: _Kneading, bench: Bench) -> Kelvin:
    rise = kneading.work / kneading.capacity * kneading.mean_fading

    def after_work(final: Kelvin) -> Kelvin:
        before = _temperature_before_work(heats, kneading, bench, final)
        return bench.room + (before - bench.room) * kneading.fading + rise

    if not heats.fats:
        return after_work(ICE_POINT)
    knots = (*solid_fat_curve()[0], *(start for _, start in heats.fats))
    return _zero_of_rising_polyline(lambda final: final - after_work(final), knots)


def _surplus(target: Kelvin, portions: Sequence[Portion], way: MixingWay, bench: Bench) -> Joule:
    """Heat the portions bring too much for the target."""
    heats = _heats(portions)
    kneading = _kneading(heats, way, bench)
    rise = kneading.work / kneading.capacity * kneading.mean_fading
    needed = bench.room + (target - bench.room - rise) / kneading.fading
    there = _temperature_before_work(heats, kneading, bench, target)
    return kneading.capacity * (there - needed)


def _zero_of_rising_polyline(line: Callable[[float], float], knots: Iterable[float]) -> float:
    """Zero of a rising function that is straight between its knots and beyond them."""
    inner = sorted({round(knot, 9) for knot in knots})
    ordered = [inner[0] - 100.0, *inner, inner[-1] + 100.0]  # the slope beyond is another
    right = bisect_left(ordered, 0.0, lo=1, hi=len(ordered) - 1, key=line)
    a, b = ordered[right - 1], ordered[right]
    low, high = line(a), line(b)
    return a - low * (b - a) / (high - low)


def _terms(
    heats: _Heats, kneading: _Kneading, bench: Bench, before: Kelvin, final: Kelvin
) -> tuple[tuple[str, Joule], ...]:
    a, mean = kneading.exchange, kneading.mean_fading
    # (1 − mean)/a, by its series where the difference would drown in rounding
    lag = (1.0 - mean) / a if a > 1e-4 else 0.5 - a / 6.0 + a * a / 24.0
    pull = (bench.room - before) * mean - kneading.work / kneading.capacity * lag
    return (
        ("wetting", heats.wetting),
        ("solution", -heats.solution),
        ("butter", -melting_heat(heats.fats, final)),
        ("bowl", bench.bowl_heat_capacity * (bench.bowl_temperature - final)),
        ("room", kneading.capacity * a * pull),
        ("work", kneading.work),
    )


def _notices(portions: Iterable[Portion], batch: Kilogram, final: Kelvin) -> tuple[Notice, ...]:
    found = list(notices_for(MIXING, batch=batch, dough_temperature=final))
    for portion in portions:
        inputs = {"portion_temperature": portion.temperature}
        if portion.dry_flour:
            inputs["flour_moisture"] = portion.flour_moisture
        about = notices_for(MIXING, **inputs)
        found += [replace(notice, where=(portion.name,)) for notice in about]
    return tuple(found)

"""How a preparation is worked: by which means, how long, and how much that warms it."""

from collections.abc import Sequence
from dataclasses import replace

from doughwright.documents.formula import Step
from doughwright.documents.scalars import nearest
from doughwright.engine.kneading import MixingWay, usual_way
from doughwright.errors import Notice
from doughwright.resolving.kitchens import Kitchen
from doughwright.units import Second

MIXERS = ("hand", "stand mixer", "spiral", "processor", "high-energy")
"""Ways of mixing whose usual heat is known (``properties/mixing.tsv``)."""

STIRRING: Second = 180.0
"""A preferment or soaker that says nothing is stirred by hand this long (assumption)."""


def mixing_time(step: Step | None, kind: str) -> Second:
    """How long a mix step takes: as stated, as noted, or as usual for its means."""
    if step is not None and step.lasts is not None:
        return step.lasts.best
    if step is not None and step.took is not None:
        return step.took.best
    if kind != "dough":
        return STIRRING
    return usual_way(_known(_means(step))).duration


def _means(step: Step | None) -> str:
    return step.by.casefold() if step is not None and step.by else "hand"


def _known(means: str) -> str:
    return means if means in MIXERS else "hand"


def mixing_way(steps: Sequence[Step], kitchen: Kitchen, kind: str = "dough") -> MixingWay:
    """One way for all mix steps of a preparation, warmed as this kitchen's mixer does.

    Work adds up over the steps; the means are those of the step that takes longest. A
    kitchen's ``hand: 1.0 °C`` is the warming of a usual kneading, and a shorter one warms
    less.
    """
    lasts = [mixing_time(step, kind) for step in steps] or [mixing_time(None, kind)]
    main = steps[lasts.index(max(lasts))] if steps else None
    means, duration = _means(main), sum(lasts)
    usual = usual_way(_known(means), duration)
    heat = kitchen.mixers.get(means)
    if heat is None:
        return replace(usual, name=means)
    if heat.warming is None:
        return MixingWay(means, None, heat.power, duration)
    share = min(1.0, duration / usual_way(_known(means)).duration)
    return MixingWay(means, heat.warming * share, None, duration)


def way_notices(way: MixingWay, kitchen: Kitchen) -> tuple[Notice, ...]:
    """A mixer nobody knows the heat of is taken for a pair of hands, and that is said."""
    if way.name in MIXERS or way.name in kitchen.mixers:
        return ()
    known = (*MIXERS, *kitchen.mixers)
    like = nearest(way.name, known)
    notice = Notice.of("unknown-mixer", read=way.name, allowed=", ".join(known), like=like)
    return (notice,)

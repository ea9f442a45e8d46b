"""Many ovens and doughs at once: how far they lie around the one of the best guess."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType

from doughwright.engine.kitchens import standard_scores
from doughwright.engine.oven_piece import Member
from doughwright.engine.properties import constants
from doughwright.units import Array, KelvinDifference

MEMBERS = 100
SEED = 21


def spread_members(
    centre: Member,
    *,
    air: KelvinDifference,
    noted: bool = False,
    members: int = MEMBERS,
    seed: int = SEED,
) -> Array:
    """Ovens and doughs around a centre; the first row is the centre itself.

    ``air`` is the standard deviation of what the oven reads wrong. Where a bake was ``noted``
    in it, its time has told how fast the oven heats, and its crust how fast it browns: those
    do not differ then.

    Examples
    --------
    >>> rows = spread_members(Member(heating=1.2), air=10.0)
    >>> len(rows), float(rows["heating"][0]), round(float(rows["air"].std()))
    (101, 1.2, 10)
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    from doughwright.engine.bake_records import MEMBER  # noqa: PLC0415

    names = MEMBER.names or ()
    score = standard_scores(members, len(names), seed).T
    rows = np.zeros(members + 1, MEMBER)
    told = ("heating", "browning") if noted else ()
    sizes = {**logarithmic_spreads(), **dict.fromkeys((*ADDED, *told), 0.0)}
    for i, name in enumerate(names):
        rows[name] = getattr(centre, name)
        rows[name][1:] *= np.exp(sizes[name] * score[i])
    rows["air"][1:] += air * score[names.index("air")]
    rows["walls"][1:] += (
        constants("oven")["wall_over_air_fan"].uncertainty * (score[names.index("walls")])
    )
    return rows


ADDED = ("walls", "air")
"""What differs by kelvins, not by a factor."""


@cache
def logarithmic_spreads() -> Mapping[str, float]:
    """Standard deviations in logarithm between ovens and doughs, from the tables.

    >>> round(logarithmic_spreads()["contact"], 2)  # 90 ± 36 W/(m2 K)
    0.4
    """
    baking, oven = constants("baking"), constants("oven")
    rows = {
        "raw": baking["conductivity_raw"],
        "vapour": baking["conductivity_vapour"],
        "crust": baking["conductivity_crust"],
        "contact": baking["contact"],
        "door": oven["door_drop_one"],
    }
    found = {name: row.uncertainty / row.value for name, row in rows.items()}
    for name in ("heating", "humidity", "browning"):
        found[name] = baking[f"{name}_spread"].value
    spring = baking["spring"]
    return MappingProxyType({**found, "spring": spring.uncertainty / (spring.value - 1.0)})

"""What the temperatures at mixing mean for the yeast."""

from doughwright.engine.portions import mixing_constant
from doughwright.errors import Notice
from doughwright.units import Kelvin


def yeast_notices(
    *,
    liquid: Kelvin | None,
    mixed: Kelvin,
    dry_yeast_in_liquid: bool = False,
    where: str = "",
) -> tuple[Notice, ...]:
    """What the temperatures mean for the yeast; ``liquid`` is None when yeast meets none.

    The yeast meets the liquid first and the mixed dough afterwards: both are judged.

    >>> [n.code for n in yeast_notices(liquid=363.15, mixed=318.15)]  # milk poured at 90 °C
    ['liquid-kills-yeast', 'dough-warm-for-yeast']
    """
    codes = [_mixed_code(mixed)]
    values = {"mixed": mixed}
    if liquid is not None:
        values["liquid"] = liquid
        codes = [_liquid_code(liquid, dry=dry_yeast_in_liquid), *codes]
    path = (where,) if where else ()
    return tuple(Notice.of(code, *path, **values, **_yeast_limits()) for code in codes if code)


def _yeast_limits() -> dict[str, Kelvin]:
    names = ("yeast_liquid_aim", "yeast_liquid_stop", "mixed_care", "mixed_kills", "dry_yeast_cold")
    return {name.removeprefix("yeast_"): mixing_constant(name) for name in names}


def _liquid_code(liquid: Kelvin, *, dry: bool) -> str | None:
    if liquid > mixing_constant("yeast_liquid_stop"):
        return "liquid-kills-yeast"
    if liquid > mixing_constant("yeast_liquid_aim"):
        return "liquid-warm-for-yeast"
    if dry and liquid < mixing_constant("dry_yeast_cold"):
        return "dry-yeast-in-cold-liquid"
    return None


def _mixed_code(mixed: Kelvin) -> str | None:
    if mixed > mixing_constant("mixed_kills"):
        return "dough-kills-yeast"
    if mixed > mixing_constant("mixed_care"):
        return "dough-warm-for-yeast"
    return None

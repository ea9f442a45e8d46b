"""What the temperatures at mixing mean for the yeast."""

from doughwright.engine.portions import mixing_constant
from doughwright.errors import Notice
from doughwright.units import Kelvin, KelvinDifference

TOLERANCE: KelvinDifference = 0.5
"""Within half a degree of a limit nothing is said: the limits are no sharper than that, and
both would be shown as the same whole degree (assumption)."""


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
    found = [_about_liquid(liquid, dry=dry_yeast_in_liquid), _about_dough(mixed)]
    path = (where,) if where else ()
    return tuple(Notice.of(code, *path, **values) for code, values in filter(None, found))


Saying = tuple[str, dict[str, Kelvin]]
"""A code and the values its words need."""


def _about_liquid(liquid: Kelvin | None, *, dry: bool) -> Saying | None:
    if liquid is None:
        return None
    aim, stop = mixing_constant("yeast_liquid_aim"), mixing_constant("yeast_liquid_stop")
    cold = mixing_constant("dry_yeast_cold")
    if liquid > stop + TOLERANCE:
        return "liquid-kills-yeast", {"liquid": liquid, "stop": stop}
    if liquid > aim + TOLERANCE:
        return "liquid-warm-for-yeast", {"liquid": liquid, "aim": aim}
    if dry and liquid < cold - TOLERANCE:
        return "dry-yeast-in-cold-liquid", {"liquid": liquid, "cold": cold}
    return None


def _about_dough(mixed: Kelvin) -> Saying | None:
    care, kills = mixing_constant("mixed_care"), mixing_constant("mixed_kills")
    if mixed > kills + TOLERANCE:
        return "dough-kills-yeast", {"mixed": mixed, "kills": kills}
    if mixed > care + TOLERANCE:
        return "dough-warm-for-yeast", {"mixed": mixed, "care": care}
    return None

"""How hot the oven is: every setting a method tells, and which of them are one."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from types import MappingProxyType

from doughwright.documents.quantities import written
from doughwright.engine.oven import gas_marks
from doughwright.gathering.gathered import Origin, OvenRead
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.process import elsewhere
from doughwright.gathering.process.places import COOLEST_OVEN
from doughwright.units import ICE_POINT

Settings = tuple[OvenRead, ...]
"""What one state of an oven is called: ``220 °C/200 °C fan/gas 7``."""

SAME_SETTING = 12.0
"""Settings of one kind of oven so near, in K, are one: ``400 °F/200 °C`` (assumption)."""

HOTTEST = ICE_POINT + 316.0
"""What is hotter than 600 °F is no oven of a kitchen, in K (assumption)."""

SAME_MARK = 16.0
"""A gas mark is the temperature beside it within this, in K: tables of marks differ by 10 °C
and more (assumption)."""

CELSIUS, FAHRENHEIT = range(140, 291), range(325, 551)
"""What a number without a unit can only be where bread is baked (assumption)."""

_ANY_CASE = re.IGNORECASE
_KINDS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("fan", "convection", "fan oven", "fan-assisted", "fan forced"), "fan"),
        **dict.fromkeys(("convect", "convection oven", "fan-forced", "fan assisted"), "fan"),
        **dict.fromkeys(("conventional", "without a fan", "no fan", "static"), "conventional"),
        **dict.fromkeys(("conventional oven", "without fan", "non-fan"), "conventional"),
        **elsewhere.OVEN_KINDS,
    }
)
_KIND = "|".join(sorted(_KINDS, key=len, reverse=True))
_BEFORE = (
    rf"(?:\b(?P<before>{_KIND})[:\s(]+(?:(?:pre-?heated |set )?(?:at|to|{elsewhere.AT})\s+)?)?"
)
_BEHIND = (
    r"(?:[\s(,]*(?:(?:on|with|in|for|using|if using|mit|bei)\s+(?:an?\s+|the\s+)?)?"
    rf"(?P<behind>{_KIND})\b(?!\s+off\b)"
    r"(?![\s:]*(?:at\s+)?\d{3}(?!\d|\s*(?:min|sec|sek))))?"
)
"""The kind of an oven behind its setting, and not ahead of another one."""

_HEAT = re.compile(
    rf"{_BEFORE}\b(?P<low>\d{{2,4}})"
    rf"(?:\s*(?:°\s*)?(?:-|–|to)\s*(?P<high>\d{{2,3}}))?\s*"
    rf"(?:°|º|deg(?:rees)?\.?)?\s*(?P<unit>[CF]|celsius|fahrenheit)\b{_BEHIND}",
    _ANY_CASE,
)
_BARE = re.compile(
    r"(?:\b(?:at|to|from|then|an?|pre-?heated|bei|auf|à|a|i|vid|ved|på|op|till?)\s+"
    r"(?:about\s+|around\s+|ca\.?\s+)?|\boven:?\s+)"
    rf"{_BEFORE}(?P<low>\d{{3}})"
    r"(?:\s*(?:-|–|to)\s*(?P<high>\d{3}))?"
    r"(?:[\s-]*(?:°|º|deg(?:rees?)?\b\.?|(?P<grad>grad(?:er|i|os)?|degrés)\b))?"
    rf"{_BEHIND}"
    r"(?(grad)|(?=\s*(?:$|[.,;:)/]|(?:for|and|then|in|with|after|until|or|on|once|when|the|"
    rf"bak\w+|oven|gas|to brown|as|{elsewhere.AND}|"
    rf"\d{{1,3}}\s*(?:-|–|to|{elsewhere.TO}|min\w*|h|std))\b)))",
    _ANY_CASE,
)
_GAS = re.compile(r"\bgas(?:\s+mark)?\s*(10|[1-9]|[¼½]|1/[24])(?![\d°])", _ANY_CASE)
"""A mark that there is: what is none stays in its sentence."""
_OVEN_WORDS = re.compile(
    r"\b(?:oven|bak(?:e|es|ed|ing)|pre-?heat\w*|heat|degrees|temperature|start\w*|turn\w*|"
    rf"lower\w*|reduc\w*|drop\w*|{elsewhere.OVEN})\b|°",
    _ANY_CASE,
)
_NO_BREAD = re.compile(
    r"\b(?:oil|fry\w*|fried|syrup|caramel|sugar|milk|water|roast\w*|toast\w*|core|internal\w*)\b"
    r"[^.;]{0,60}$",
    _ANY_CASE,
)
_BREAD = re.compile(rf"\b(?:oven|bak(?:e|es|ing)|pre-?heat\w*|{elsewhere.OVEN})\b", _ANY_CASE)
_FIRE = re.compile(r"\b(?:pizzas?|wood\w*|tandoor\w*|fire\w*|holz\w*|legna)\b", _ANY_CASE)
"""Of an oven that may be hotter than that of a kitchen."""

_GLUE = frozenset(
    (
        *("or", "oven", "fan", "in", "a", "an", "for", "if", "using", "use", "with", "without"),
        *("conventional", "convection", "assisted", "forced", "static", "electric", "gas", "mark"),
        *("top", "bottom", "heat", "degrees", "setting", "about", "circulating", "is", "ovens"),
        *elsewhere.OVEN_GLUE,
    )
)
"""Words that stand between settings of one and the same bake."""


def ovens_of(lines: Iterable[Origin]) -> tuple[OvenRead, ...]:
    """Every oven setting of some lines in their order: temperatures above boiling, gas marks.

    A number without a unit has the unit of the others, or the one that it can only be.

    >>> line = Origin("a card", 9, "Preheat to 475 °F. Bake 15 minutes at 475, then lower to 425.")
    >>> [oven_words(oven) for oven in ovens_of([line])]
    ['475 °F', '475 °F', '425 °F']
    """
    told = [(line, list(ovens_in(line))) for line in lines]
    units = {oven.unit for _, ovens in told for oven in ovens if oven.temperature}
    unit = units.pop() if len(units) == 1 else ""
    found = [
        sorted([*ovens, *_bare(line, ovens, unit)], key=lambda oven: oven.start)
        for line, ovens in told
    ]
    return tuple(oven for ovens in found for oven in ovens)


def ovens_in(origin: Origin) -> Iterator[OvenRead]:
    """Every oven setting of a line that says its unit.

    >>> [(o.kind, o.mark) for o in ovens_in(Origin("a card", 9, "180°C fan/gas 6"))]
    [('fan', ''), ('gas', '6')]
    """
    text = plain(origin.text)
    found = []
    for heat in _HEAT.finditer(text):
        celsius = heat["unit"][0] in "cC"
        low = _kelvin(heat["low"], celsius=celsius)
        high = _kelvin(heat["high"] or heat["low"], celsius=celsius)
        if min(low, high) <= COOLEST_OVEN or _is_something_else(text[: heat.start()]):
            continue
        kind = _KINDS.get((heat["behind"] or heat["before"] or "").casefold(), "")
        read = OvenRead(origin, low, kind, "", "°C" if celsius else "°F", high)
        if low <= high:
            found.append(replace(read, start=heat.start(), end=heat.end()))
        else:  # from 230 to 200 °C
            found.append(replace(read, high=low, start=heat.start("low"), end=heat.end("low")))
            found.append(replace(read, temperature=high, start=heat.start("high"), end=heat.end()))
    found += [
        OvenRead(origin, None, "gas", gas[1], start=gas.start(), end=gas.end())
        for gas in _GAS.finditer(text)
    ]
    yield from sorted(found, key=lambda oven: oven.start)


def _is_something_else(before: str) -> bool:
    """Whether hot oil, a syrup or a pan of nuts is meant, by what its sentence says before."""
    sentence = re.split(r"[.;]\s", before)[-1]
    return bool(_NO_BREAD.search(sentence)) and not _BREAD.search(sentence)


def _bare(line: Origin, told: Sequence[OvenRead], unit: str) -> Iterator[OvenRead]:
    """Settings without a unit: ``at 475``, ``200 degrees``."""
    text = plain(line.text)
    for found in _BARE.finditer(text):
        sentence = re.split(r"[.;]\s", text[: found.end()])[-1]
        is_read = any(oven.start < found.end() and found.start() < oven.end for oven in told)
        low, high = int(found["low"]), int(found["high"] or found["low"])
        own = unit if unit and low in _range_of(unit, wide=True) else _only_unit(low, high)
        own = "°C" if found["grad"] else own  # no language of that word has the other
        if is_read or not own or low % 5 or high < low or not _OVEN_WORDS.search(sentence):
            continue
        celsius = own == "°C"
        ends = _kelvin(str(low), celsius=celsius), _kelvin(str(high), celsius=celsius)
        kind = _KINDS.get((found["behind"] or found["before"] or "").casefold(), "")
        yield OvenRead(line, ends[0], kind, "", own, ends[1], found.start("low"), found.end())


def _range_of(unit: str, *, wide: bool) -> range:
    if not wide:
        return CELSIUS if unit == "°C" else FAHRENHEIT
    return range(110, 325) if unit == "°C" else range(225, 601)


def _only_unit(low: int, high: int) -> str:
    units = [u for u in ("°C", "°F") if {low, high} <= set(_range_of(u, wide=False))]
    return units[0] if len(units) == 1 else ""


def _kelvin(number: str, *, celsius: bool) -> float:
    return ICE_POINT + (float(number) if celsius else (float(number) - 32) / 1.8)


# --- Which are one --------------------------------------------------------------------------------


def grouped(ovens: Iterable[OvenRead]) -> list[Settings]:
    """Settings by the bake they are of: ``220 °C/200 °C fan/gas 7`` is one in three kinds."""
    groups: list[Settings] = []
    for oven in ovens:
        last = groups[-1][-1] if groups else None
        if last is not None and last.origin == oven.origin and _are_glued(last, oven):
            groups[-1] = (*groups[-1], oven)
        else:
            groups.append((oven,))
    return [_in_both_units(group) for group in groups]


def _is_too_hot(group: Sequence[OvenRead]) -> bool:
    """Whether no oven of a kitchen is set so, and no other unit beside it says the same."""
    hot = [o for o in group if (o.temperature or 0.0) > HOTTEST and not _FIRE.search(o.origin.text)]
    return bool(hot) and len({oven.unit for oven in group if oven.temperature}) == 1


def _in_both_units(group: Settings) -> Settings:
    """A setting with the one that it may be a slip for: 350 °C beside 350 °F."""
    if not _is_too_hot(group) or len(group) > 1 or group[0].unit != "°C":
        return group
    low, high = (
        (end - ICE_POINT - 32) / 1.8 + ICE_POINT
        for end in (group[0].temperature or 0.0, group[0].high or 0.0)
    )
    other = replace(group[0], temperature=low, high=high, unit="°F")
    return (*group, other) if high <= HOTTEST else group


def _are_glued(first: OvenRead, second: OvenRead) -> bool:
    between = plain(first.origin.text[first.end : second.start]).casefold()
    words = set(re.findall(r"[^\W\d_]+", between))
    parted = re.search(r"\d|[.;]\s", between)
    if "to" in words or parted or not words <= _GLUE:
        return False
    return bool(
        words & {"or", "fan", *elsewhere.OR}
        or re.search(r"[/()|,–-]", between)
        or not between.strip()
    )


def contradicts(group: Sequence[OvenRead]) -> bool:
    """Whether settings of one kind of oven in a group are not one, or no gas mark is like them.

    A setting that no oven of a kitchen has contradicts itself.

    >>> contradicts(list(ovens_in(Origin("a card", 9, "gas mark 6 (180C)"))))
    True
    """
    by_kind: dict[str, list[float]] = {}
    for oven in group:
        if oven.temperature:
            by_kind.setdefault(oven.kind, []).append(oven.temperature)
    known = {**gas_marks(), "1/4": gas_marks()["¼"], "1/2": gas_marks()["½"]}
    marks = [known[oven.mark] for oven in group if oven.mark in known]
    without_fan = by_kind.get("conventional") or by_kind.get("") or []
    apart = [abs(mark - told) for mark in marks for told in without_fan]
    return (
        _is_too_hot(group)
        or any(max(told) - min(told) > SAME_SETTING for told in by_kind.values())
        or min(apart, default=0.0) > SAME_MARK
    )


def are_same(
    first: Sequence[OvenRead], second: Sequence[OvenRead], within: float = SAME_SETTING
) -> bool:
    """Whether two groups set the oven alike, by the kinds of oven that both have."""
    pairs = [(a, b) for a in first for b in second if a.temperature and b.temperature]
    alike = [(a, b) for a, b in pairs if a.kind == b.kind] or pairs
    if not alike:
        marks = {oven.mark for oven in first if oven.mark}
        return bool(marks & {oven.mark for oven in second})
    apart = [abs((a.temperature or 0.0) - (b.temperature or 0.0)) for a, b in alike]
    return min(apart) <= within


def setting_of(group: Sequence[OvenRead]) -> OvenRead:
    """The setting a formula takes of a group: the first temperature, before a mark."""
    return next((oven for oven in group if oven.temperature), group[0])


def oven_words(oven: OvenRead) -> str:
    """An oven's setting as a formula says it.

    >>> oven_words(OvenRead(Origin("a card", 1, "180°C fan"), 453.15, "fan"))
    '180 °C fan'
    """
    if oven.temperature is None:
        return f"gas mark {oven.mark}"
    high = oven.high or oven.temperature
    low = (
        f"{written(oven.temperature, oven.unit).partition(' ')[0]}–"
        if high > oven.temperature
        else ""
    )
    return f"{low}{written(high, oven.unit)} {oven.kind}".strip()


def settings_words(settings: Settings) -> str:
    """What a formula takes of some settings, as it says it; empty where there is none."""
    return oven_words(setting_of(settings)) if settings else ""

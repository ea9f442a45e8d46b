"""What a baker asks of a formula, in the trade's words, as the rework it means.

``poolish 30 %``, ``straight``, ``12 pieces``, ``hydration 68 %``, ``oil for butter``: a short
closed grammar. What is not understood is refused with what is allowed.
"""

import re
from collections.abc import Callable, Mapping
from types import MappingProxyType

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.quantities import EXAMPLES as QUANTITY_EXAMPLES
from doughwright.documents.quantities import NotAQuantity, Quantity, quantity
from doughwright.documents.scalars import FRIDGE_WORDS, nearest
from doughwright.engine.pieces import baking_constant
from doughwright.errors import DoughwrightError
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import Kitchen
from doughwright.resolving.yeast import Question
from doughwright.reworking.eggs import with_whole_eggs
from doughwright.reworking.flours import with_flour, with_starter
from doughwright.reworking.preferments import STYLES, PrefermentAsked, straight, with_preferment
from doughwright.reworking.rework import (
    AT_ODDS,
    Rework,
    by_its_lines,
    refusal,
    solved_document,
    unchanged,
)
from doughwright.reworking.scalds import with_scald, without_scald
from doughwright.reworking.schedules import in_time, with_preferment_in_time
from doughwright.reworking.sizes import (
    Size,
    resized,
    size_of,
    tin_volume,
    to_area,
    to_baked,
    to_tin,
)
from doughwright.reworking.swaps import (
    YEASTS,
    found_lines,
    ingredient_for,
    is_milk,
    is_powder,
    with_fat,
    with_liquid_milk,
    with_milk_powder,
    with_other_milk,
    with_yeast_kind,
)
from doughwright.reworking.targets import to_fat, to_hydration, to_salt, to_sugar
from doughwright.units import Ratio

EXAMPLES = (
    "straight",
    "poolish 30 %",
    "poolish 30 % in 12 h at 20 °C",
    "biga 40 % hydration 55 %",
    "sponge",
    "flying sponge",
    "overnight sponge 40 %",
    "old dough 20 %",
    "scald 8 %",
    "no scald",
    "12 pieces",
    "12 pieces of 90 g",
    "tin 1.9 l",
    "2 tins 13 x 5 x 5 in",
    "round 14 in",
    "tray 38 x 32 cm",
    "800 g baked",
    "800 g baked, loss 10 %",
    "whole eggs",
    "whole large eggs up",
    "hydration 68 %",
    "salt 1.8 %",
    "sugar 8 %",
    "fat 12 %",
    "fresh yeast",
    "oil for butter",
    "salted butter",
    "milk powder",
    "liquid milk",
    "wholemeal flour for 20 % of strong white flour",
    "starter 100 %",
    "ferment dough in 12 h at fridge",
)
"""Every wish there is, as they are written."""

KINDS = (
    "poolish 30 %",
    "straight",
    "scald 8 %",
    "12 pieces of 90 g",
    "2 tins 1.9 l",
    "800 g baked",
    "whole eggs",
    "hydration 68 %",
    "fresh yeast",
    "oil for butter",
    "ferment dough in 12 h at fridge",
)
"""One of each kind: what is answered where nothing of a wish is known."""

Made = Callable[[ResolvedFormula, Kitchen, re.Match[str]], Rework]

MOST_PIECES = 999_999
"""As many as a formula's yield takes."""

_PIECES = r"(?P<count>-?[0-9]{1,20}) pieces?(?: of (?P<piece>.+))?"
_PERCENT = r"(?P<{0}>[\d.,]+ ?%?)"
_AT = r"(?: (?:at|in the) (?P<at>.+?))?"


def start_for(document: FormulaDocument, words: str) -> Rework:
    """Return what a first wish starts from: the formula solved, nothing changed.

    Where its yield is at odds with its lines, and the wish says how many pieces of what weight
    are meant, it is solved by its lines.

    Raises
    ------
    DoughwrightError
        If the formula cannot be solved.
    """
    try:
        return unchanged(solved_document(document))
    except DoughwrightError as error:
        sized = re.fullmatch(_PIECES, " ".join(words.split()), re.IGNORECASE)
        settled = sized is not None and sized["piece"]
        if not settled or any(problem.code not in AT_ODDS for problem in error.problems):
            raise
    return by_its_lines(document)


def rework_asked(formula: ResolvedFormula, kitchen: Kitchen, words: str) -> Rework:
    """Return a formula reworked as asked for in words.

    Raises
    ------
    DocumentError
        If the words are not understood, or what they ask for cannot be; the limit is stated.
    """
    plain = " ".join(words.split())
    for pattern, made in WISHES.items():
        found = re.fullmatch(pattern, plain, re.IGNORECASE)
        if found is not None:
            try:
                return made(formula, kitchen, found)
            except NotAQuantity as error:
                raise refusal(error.code, read=error.read, allowed=_meant(error)) from None
    like, first = nearest(plain, EXAMPLES), plain.partition(" ")[0].casefold()
    allowed = "; ".join([each for each in EXAMPLES if first in each.split()] or KINDS)
    raise refusal("wish-not-understood", read=words, allowed=allowed, like=like)


def _meant(error: NotAQuantity) -> str:
    """What may be written instead: the same with a decimal point and its sign, if that is all."""
    slip = re.fullmatch(r"(\d+)(?:[.,](\d{1,2}))?( ?\D*)", error.read.strip())
    if slip is None or error.code not in {"decimal-comma", "bare-number"}:
        return error.allowed
    sign = slip[3] or (" %" if "%" in error.allowed else "")
    if error.code == "bare-number" and not sign:
        return error.allowed
    return f"{slip[1]}.{slip[2]}{sign}" if slip[2] else f"{slip[1]}{sign}"


def _ratio(found: re.Match[str], group: str) -> Ratio | None:
    read = found[group]
    return quantity(read, "percent").best if read else None


def _needed(found: re.Match[str], group: str) -> Ratio:
    return quantity(found[group], "percent").best


def _above_zero(read: str, dimension: str) -> float:
    found = quantity(read, dimension)
    if found.best <= 0:
        raise refusal("not-above-zero", read=read, allowed=QUANTITY_EXAMPLES[dimension])
    return found.best


def _place(found: re.Match[str]) -> str | Quantity | None:
    """A place of the kitchen or a temperature."""
    read = found["at"]
    if not read:
        return None
    word = read.casefold()
    return word if word in FRIDGE_WORDS else quantity(read, "temperature")


def _preferment(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    asked = PrefermentAsked(
        style=found["style"].casefold(),
        share=_ratio(found, "share"),
        liquid=_ratio(found, "liquid"),
        yeast=_ratio(found, "yeast"),
        at=_place(found),
    )
    if not found["time"]:
        return with_preferment(formula, asked)
    within = _above_zero(found["time"], "duration")
    return with_preferment_in_time(formula, kitchen, asked, within).rework


def _scald(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    liquid = float(found["liquid"]) if found["liquid"] else None
    return with_scald(formula, _needed(found, "share"), liquid)


def _schedule(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    within = _above_zero(found["time"], "duration")
    return in_time(formula, kitchen, Question(found["step"], within, _place(found))).rework


def _count(read: str) -> int:
    if not 1 <= int(read) <= MOST_PIECES:
        allowed = f"a whole number from 1 to {MOST_PIECES}, such as 8"
        raise refusal("not-a-count", read=read, allowed=allowed)
    return int(read)


def _pieces(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    count = _count(found["count"])
    if not found["piece"]:
        return resized(formula, Size(count))
    return resized(formula, size_of(formula, _above_zero(found["piece"], "mass"), count))


def _tin(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    count = _count(found["count"]) if found["count"] else None
    if "x" not in found["size"]:
        _above_zero(found["size"], "volume")
        return to_tin(formula, quantity(found["size"], "volume"), count)
    sides = lengths(found["size"])
    if len(sides) != 3:
        raise refusal("not-a-size", read=found["size"], allowed="1.9 l; 13 x 4 x 4 in")
    litres = f"{1000 * tin_volume(sides):.4g} l"
    return to_tin(formula, quantity(litres, "volume"), count)


def _area(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    word = found["outline"].casefold()
    outline = "tin" if word in {"tray", "dish"} else word
    count = _count(found["count"]) if found["count"] else None
    sides = lengths(found["size"])
    wanted = 2 if outline in {"tin", "oval", "baton"} else 1
    if len(sides) != wanted:
        allowed = "tray 38 x 32 cm" if wanted == 2 else "round 30 cm"
        raise refusal("not-a-size", read=found["size"], allowed=allowed)
    return to_area(formula, outline, sides, count)


def lengths(words: str) -> tuple[Quantity, ...]:
    """Return the sides of a size; the unit behind the last stands for all.

    >>> [side.text for side in lengths("13 x 4 x 4 in")]
    ['13 in', '4 in', '4 in']
    """
    parts = [part.strip() for part in re.split(r"[x×]", words)]
    unit = re.sub(r"^[\d., ]+", "", parts[-1])
    sides = [p if re.search(r"[^\d., ]", p) else f"{p} {unit}" for p in parts]
    if any(quantity(side, "length").best <= 0 for side in sides):
        raise refusal("not-above-zero", read=words, allowed=QUANTITY_EXAMPLES["length"])
    return tuple(quantity(side, "length") for side in sides)


def _baked(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    loss = _ratio(found, "loss")
    loss = baking_constant("loss_usual") if loss is None else loss
    if loss >= 1:
        raise refusal("not-below-whole", read=found["loss"], allowed="12 %")
    return to_baked(formula, _above_zero(found["mass"], "mass"), loss)


def _eggs(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    return with_whole_eggs(formula, (found["size"] or "").casefold(), found["way"] or "nearest")


def _swap(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    """One for another, by what the new one is."""
    del kitchen
    new, old, share = found["new"], found["old"], _ratio(found, "share")
    wanted = ingredient_for(formula, new)
    was = found_lines(formula, old)[0].ingredient  # refused where it is not in the dough
    if share is not None and wanted.flour < 1:
        raise refusal("swap-in-part", name=old)
    if wanted.yeast_equivalent and was.yeast_equivalent:
        return with_yeast_kind(formula, new)
    if is_powder(wanted) and is_milk(was):
        return with_milk_powder(formula, new)
    if is_milk(wanted) and is_powder(was):
        return with_liquid_milk(formula, new)
    if is_milk(wanted) and is_milk(was):
        return with_other_milk(formula, old, new)
    if wanted.flour >= 1:
        return with_flour(formula, old, new, 1.0 if share is None else share)
    return with_fat(formula, old, new)


def _butter(formula: ResolvedFormula, kitchen: Kitchen, found: re.Match[str]) -> Rework:
    del kitchen
    new = found["butter"].casefold()
    return with_fat(formula, {"salted butter": "unsalted butter"}.get(new, "salted butter"), new)


def _of(made: Callable[[ResolvedFormula, Ratio], Rework]) -> Made:
    return lambda formula, _, found: made(formula, _needed(found, "share"))


_SHARE = _PERCENT.format("share")
WISHES: Mapping[str, Made] = MappingProxyType(
    {
        "straight(?: dough)?": lambda formula, _, __: straight(formula),
        rf"(?P<style>{'|'.join(STYLES)})(?: {_SHARE})?"
        rf"(?:,? hydration {_PERCENT.format('liquid')})?"
        rf"(?:,? yeast {_PERCENT.format('yeast')})?(?: in (?P<time>\d.*?))?{_AT}": _preferment,
        "no scald": lambda formula, _, __: without_scald(formula),
        rf"scald {_SHARE}(?: with (?P<liquid>\d+(?:\.\d+)?) times the water)?": _scald,
        _PIECES: _pieces,
        r"(?:(?P<count>[0-9]{1,6}) )?tins? (?P<size>[\d.].*)": _tin,
        r"(?:(?P<count>[0-9]{1,6}) )?(?P<outline>tray|dish|round|flat|ring|oval|baton)(?:s|es)? "
        r"(?P<size>[\d.].*)": _area,
        rf"(?P<mass>[\d.,]+ ?\w+) baked(?:,? (?:at |loss ){_PERCENT.format('loss')})?": _baked,
        r"whole(?: (?P<size>small|medium|large|extra large))? eggs?(?:,? (?P<way>up|down))?": _eggs,
        f"hydration {_SHARE}": _of(to_hydration),
        f"salt {_SHARE}": _of(to_salt),
        f"sugar {_SHARE}": _of(to_sugar),
        f"fat {_SHARE}": _of(to_fat),
        f"(?P<yeast>{'|'.join(YEASTS)})": lambda formula, _, found: with_yeast_kind(
            formula, found["yeast"].casefold()
        ),
        "(?P<butter>(?:un)?salted butter)": _butter,
        "(?:skimmed )?milk powder": lambda formula, _, __: with_milk_powder(formula),
        "whole milk powder": lambda formula, _, __: with_milk_powder(formula, "whole milk powder"),
        "(?:liquid )?milk": lambda formula, _, __: with_liquid_milk(formula),
        f"starter {_SHARE}": _of(with_starter),
        rf"(?P<step>(?:ferment|proof|retard) .+?) in (?P<time>\d.*?){_AT}": _schedule,
        rf"(?P<new>.+?) for (?:{_SHARE} of )?(?:the )?(?P<old>.+)": _swap,
    }
)
"""How wishes are written, and the rework each means; the first that fits is taken."""

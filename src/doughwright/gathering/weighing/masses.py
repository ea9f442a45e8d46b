"""What an amount weighs, and what has to be asked first: whose cups, how large an egg.

What is not said is never guessed. Where it matters, the mass spans all that may be meant, and a
doubt lists what each candidate would give.
"""

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import lru_cache
from types import MappingProxyType

from doughwright.engine.ingredients import Ingredient
from doughwright.errors import Notice
from doughwright.gathering.gathered import Amount, Choice, Doubt, Massed, Settings
from doughwright.gathering.lines.unit_words import WEIGHTS
from doughwright.gathering.telling import as_key, grams, listed, said
from doughwright.gathering.weighing.measures import LITRES, measure_constant
from doughwright.gathering.weighing.repeated import agree, differing, each_apart
from doughwright.gathering.weighing.unsettled import CODES, OPEN_WORDS, Reading, Told, reading_of
from doughwright.gathering.weighing.weights import Weighed
from doughwright.units import Kilogram

SHARES = frozenset({"%", "part"})
"""Units that weigh nothing by themselves."""

GRAMS = ("g", "kg", "mg")

THOUSANDS: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "comma": frozenset({"US", "GB", "UK", "IE", "AU", "NZ", "JP"}),
        "point": frozenset({"DE", "AT", "BE", "DK", "ES", "GR", "IT", "NL", "PT", "TR", "BR"}),
    }
)
"""Where a sign before three digits parts thousands (from memory)."""

SAME = 1e-9
"""Ends no further apart are one."""

_AGAIN = re.compile(r"[\(\[=]|(?<!\d)/")
_SIGN = re.compile(r"\d([.,])\d{3}(?!\d)")


@lru_cache(4096)
def mass_of(
    amount: Amount,
    ingredient: Ingredient | None,
    settings: Settings,
    words: str = "",
    told: Told = (),
) -> Massed:
    """What an amount of an ingredient weighs; ``words`` is what its line calls it.

    A weight in grams goes before all else that the line says of the same amount, and a volume in
    litres before whose cup it is. ``told`` are answers: what they settle is not asked again.

    >>> from doughwright.engine.ingredients import ingredient_table
    >>> from doughwright.gathering.lines.amounts import amount_of
    >>> egg = ingredient_table()["egg"]
    >>> massed = mass_of(amount_of("2 large"), egg, Settings(country="SE"))
    >>> massed.mass[1]  # Regulation (EC) 589/2008: large is 63 to 73 g in shell
    0.12
    """
    if amount.unit in SHARES:
        return Massed(None, "a share")
    digits = tuple(_digits(amount, ingredient, settings, words, told))
    amount = _with_digits(amount, settings, told)
    first = replace(amount, same=(), words=_AGAIN.split(amount.words)[0].strip())
    alone = [first if amount.same else amount, *amount.same]
    readings = [reading_of(one, ingredient, settings, words, told) for one in alone]
    readings = each_apart(readings)
    found = [_massed(reading) for reading in readings]
    taken = _taken(readings, dict(told).get("same", ""))
    massed = found[taken]
    doubts = [*massed.doubts, *digits, *_backwards(amount)]
    doubts += differing(amount, readings, found, taken)
    how = _told(massed.how, readings, taken) if not digits else _open_digits(digits)
    return replace(massed, how=how, doubts=tuple(doubts))


def _told(how: str, readings: list[Reading], taken: int) -> str:
    """How a weight was worked out, from which of several amounts."""
    inside = readings[taken].amount.package or readings[taken].amount
    is_plain = not how or len(readings) == 1 or inside.unit in GRAMS
    return how if is_plain else f"{said(readings[taken].amount)}: {how}"


def _open_digits(digits: Iterable[Doubt]) -> str:
    return f"open: {' or '.join(choice.words for doubt in digits for choice in doubt.choices)}"


def _taken(readings: list[Reading], answer: str) -> int:
    """Which of several readings goes: the one that was chosen, grams, litres, else the first.

    Ounces go before litres where nothing is poured.
    """
    keys = [as_key(said(reading.amount)) for reading in readings]
    if answer in keys:
        return keys.index(answer)
    ingredient = readings[0].ingredient
    litres, ounces = tuple(LITRES), WEIGHTS
    pours = ingredient is not None and ingredient.poured
    for units in (GRAMS, *((litres, ounces) if pours else (ounces, litres))):
        for at, reading in enumerate(readings):
            inside = reading.amount.package or reading.amount
            if inside.unit in units:
                return at
    return 0


# --- One reading, with what is not settled about it ---------------------------------------------


def _massed(reading: Reading) -> Massed:
    return _asked(reading) if reading.questions else _settled(reading, reading.under({}))


def _settled(reading: Reading, found: Weighed | None) -> Massed:
    if found is not None:
        return Massed(found.mass, found.how, ends=_range(found.ends))
    name = reading.ingredient.name if reading.ingredient else "this ingredient"
    notice = Notice.of("gather-no-weight", read=said(reading.amount), name=name)
    return Massed(None, "", (Doubt("weight", notice),))


def _asked(reading: Reading) -> Massed:
    """The whole span of what may be meant, and each question with what its answers give."""
    spans = reading.spans()
    if not spans:
        return _settled(reading, None)
    bests = [span.mass[1] for span in spans]
    least, most = ([span.ends[at] for span in spans] for at in (0, 1))
    best = (min(bests) + max(bests)) / 2
    if max(bests) - min(bests) <= measure_constant("asks_from") * abs(best):
        firsts = (question.answers[0][2] for question in reading.questions)
        alike = any(question.about == "system" for question in reading.questions)
        return _settled(reading, reading.under(*firsts, {"alike": alike}))
    mass = (min(span.mass[0] for span in spans), best, max(span.mass[2] for span in spans))
    asked = [question.about for question in reading.questions if question.blocks]
    what = ", ".join(dict.fromkeys(OPEN_WORDS[about] for about in asked))
    band = f"{grams(min(least)).removesuffix(' g')}–{grams(max(most))}"
    middle = ((min(least) + max(least)) / 2, (min(most) + max(most)) / 2)
    taken = Weighed(mass, f"open: {what}, {band}", middle) if asked else spans[0]
    return Massed(taken.mass, taken.how, tuple(_doubts(reading)), _range(taken.ends))


def _range(ends: tuple[Kilogram, Kilogram]) -> tuple[Kilogram, Kilogram] | None:
    """Two ends that are not the same."""
    return ends if ends[1] > ends[0] * (1 + SAME) else None


def _doubts(reading: Reading) -> Iterator[Doubt]:
    for question in reading.questions:
        others = [q.answers[0][2] for q in reading.questions if q is not question]
        masses = [reading.under(changes, *others) for *_, changes in question.answers]
        named = zip(question.answers, masses, strict=True)
        choices = tuple(
            Choice(key, words, found.mass) for (key, words, _), found in named if found is not None
        )
        if _spread(choices) > measure_constant("asks_from"):
            name = reading.ingredient.name if reading.ingredient else ""
            values = {"read": said(reading.amount), "name": name, "candidates": listed(choices)}
            notice = Notice(CODES[question.about], (), values)
            yield Doubt(question.about, notice, choices, blocks=question.blocks)


def _spread(choices: Iterable[Choice]) -> float:
    bests = [choice.mass[1] for choice in choices if choice.mass is not None]
    return (max(bests) - min(bests)) / max(bests) if bests and max(bests) > 0 else 0.0


# --- What the writing itself leaves open --------------------------------------------------------


def _sign(amount: Amount) -> str:
    """Which sign parts the digits, as its question is called; blanks are asked line by line."""
    found = _SIGN.search(amount.words)
    return {".": "point", ",": "comma"}[found[1]] if found else "digits"


def _with_digits(amount: Amount, settings: Settings, told: Told) -> Amount:
    """The amount as its digits are meant; as it is while nobody has said."""
    sign = _sign(amount)
    other, thousand = amount.other, replace(amount, other=None)
    if other is None:
        return amount
    decimal = replace(thousand, low=other.low, best=other.best, high=other.high)
    meant = dict(told).get(sign) or str(getattr(settings, sign, ""))
    if not meant and amount.same:
        fits = {
            name
            for name, one in (("thousand", thousand), ("decimal", decimal))
            if _fits(one, amount.same[0])
        }
        meant = fits.pop() if len(fits) == 1 else ""
    return {"thousand": thousand, "decimal": decimal}.get(meant, amount)


def _fits(amount: Amount, other: Amount) -> bool:
    """Whether two weights are the same, whatever they are of."""
    one, same = (reading_of(replace(a, same=()), None, Settings(), "", ()) for a in (amount, other))
    return bool(one.spans() and same.spans()) and agree(one, same)


def _digits(
    amount: Amount, ingredient: Ingredient | None, settings: Settings, words: str, told: Told
) -> Iterator[Doubt]:
    """A point or a comma before three digits: a thousand, or a decimal sign."""
    sign = _sign(amount)
    is_usual = settings.country.upper() in THOUSANDS.get(sign, ())
    if amount.other is None or is_usual or _with_digits(amount, settings, told) is not amount:
        return
    read = replace(amount, same=(), other=None)
    meant = (("thousand", read), ("decimal", _with_digits(amount, settings, ((sign, "decimal"),))))
    choices = []
    for key, one in meant:
        plain = replace(one, same=(), words=f"{one.best:g} {one.unit}")
        mass = mass_of(plain, ingredient, settings, words, told).mass
        choices.append(Choice(key, plain.words, mass))
    first, second = choices
    if first.mass is not None and amount.best:
        values = {"read": said(amount), "first": first.words, "second": second.words}
        yield Doubt(sign, Notice("gather-digits", (), values), (first, second))


def _backwards(amount: Amount) -> Iterator[Doubt]:
    if "backwards" in amount.modifiers:
        notice = Notice.of("gather-backwards", read=said(amount))
        yield Doubt("backwards", notice, blocks=False)

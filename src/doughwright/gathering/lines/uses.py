"""What an ingredient is for, as its line says: dough, glaze, the bench; and what is a step."""

import re
from collections.abc import Mapping
from types import MappingProxyType

from doughwright.gathering.gathered import Use

_WORDS: Mapping[Use, str] = MappingProxyType(
    {
        "glaze": r"(?:\w+\s+)?(?:egg ?wash|glaz(?:e|ing)|brush(?:ing)?|wash(?:ing)?)",
        "dusting": (
            r"(?:dust(?:ing)?|flouring|greas(?:e|ing)|knead(?:ing)?|roll(?:ing)?(?: out)?"
            r"|oil(?:ing)?|work(?:ing)?|bench|work ?top|work ?surface|surface|peel|banneton|basket"
            r"|tins?|pans?|trays?|bowl|hands|shaping|coat(?:ing)?|(?:deep-)?fry(?:ing)?)"
        ),
        "topping": (
            r"(?:top(?:ping)?|sprinkl(?:e|ing)|scatter(?:ing)?|decorat(?:e|ing|ion)|finish(?:ing)?"
            r"|serv(?:e|ing)|garnish(?:ing)?|crust|drizzl(?:e|ing))"
        ),
        "filling": r"(?:fill(?:ing)?|stuff(?:ing)?|spread(?:ing)?)",
        "soak": r"(?:soak(?:ing)?|soaker)",
    }
)
_ELSEWHERE: Mapping[Use, str] = MappingProxyType(
    {
        "glaze": r"zum (?:bestreichen|bepinseln)|pour (?:dorer|la dorure)"
        r"|per (?:spennellare|lucidare)|para (?:pincelar|pintar)"
        r"|(?:till|til) pensling|üzerine sürmek için|do posmarowania",
        "dusting": r"zum (?:bestäuben|bearbeiten|einfetten)|für die (?:arbeitsfläche|form)"
        r"|pour (?:fariner|le moule)|per (?:spolverare|la spianatoia)|till utbakning",
        "topping": r"zum bestreuen|per decorare|para decorar|till garnering",
        "filling": r"für die füllung|pour la garniture|per il ripieno|para el relleno"
        r"|till fyllning",
    }
)
"""The same in other languages (from memory)."""
_SAID = MappingProxyType(
    {
        use: re.compile(
            rf"\b(?:(?:for|to)\s+(?:the\s+|a\s+|your\s+)?(?:{words})"
            rf"|{_ELSEWHERE.get(use, r'(?!)')})\b[^,;()]*",
            re.IGNORECASE,
        )
        for use, words in _WORDS.items()
    }
)
_HEADED: Mapping[Use, re.Pattern[str]] = MappingProxyType(
    {
        "glaze": re.compile(r"\bglaz|\bwash\b|eggwash|\bbrush", re.IGNORECASE),
        "topping": re.compile(r"topping|to finish|decorat|sprinkl|garnish", re.IGNORECASE),
        "filling": re.compile(r"filling|stuffing", re.IGNORECASE),
        "soak": re.compile(r"soak", re.IGNORECASE),
        "dusting": re.compile(r"dusting", re.IGNORECASE),
    }
)
_STEP_WORDS = """
add allow arrange bake beat blend boil bring brush chill combine cook cover cut dissolve divide dust
ferment fill fold form gently glaze grease heat if in incorporate keep knead leave let line make
meanwhile melt method mix mixing once place pour preheat prepare press proof prove punch put remove
repeat rest return roll rub scale score serve set shape sift slash spread sprinkle start stir store
stretch strain take tip toss transfer turn use wait wash weigh when whisk while work wrap after then
now next finally until step note oven this these you it makes serves yield yields prep time source
enjoy
"""
_ANY_STEP = "|".join(_STEP_WORDS.split())
_STEP = re.compile(
    rf"(?!(?:glaze|fill|dust|brush|wash)(?:ing)?\s*[:=])(?:{_ANY_STEP})\b", re.IGNORECASE
)
_NOTED = re.compile(
    r"\s*[,(\[]\s*(?P<said>(?:optional\s*,?\s+)?"
    r"(?:(?P<glaze>egg ?wash|glaze|glazing)|(?P<topping>topping|garnish|decoration)"
    r"|(?P<dusting>dusting)|(?P<filling>filling))(?:\s*,?\s+optional)?)\s*(?:[)\]]|$)",
    re.IGNORECASE,
)
TOTAL_WORDS = (
    r"(?:grand |sub-?)?totals?\b|sum\b|summe\b|gesamt(?:menge|gewicht|teig)?\b|teiggewicht\b"
    r"|poids (?:total|de la p[aâ]te)\b|totale\b|peso (?:totale?|dell['’]impasto|de la masa)\b"
    r"|suma\b|summa\b|totalt\b|i alt\b|in totaal\b|totaal\b"
)
"""How a total is called (other languages from memory)."""

_SUM = re.compile(rf"(?:{TOTAL_WORDS})|yields?\b|(?:dough|final) weight", re.IGNORECASE)
_FIGURE = re.compile(
    r"(?:(?:overall |total |dough )?hydration|dough yield|teigausbeute|TA|pre-?fermented flour"
    r"|baker['’]?s percent\w*)\s*[:=(]?\s*(?:about\s+|ca\.?\s+)?\d[\d.,]*\s*%?\)?\.?$",
    re.IGNORECASE,
)


def without_use(text: str) -> tuple[str, str, Use | None]:
    """A stretch without the words that say what it is for, those words, and the use.

    >>> without_use("1 egg yolk for glazing")
    ('1 egg yolk', 'for glazing', 'glaze')
    >>> without_use("1 egg, beaten (optional glaze)")
    ('1 egg, beaten', 'optional glaze', 'glaze')
    """
    for use, pattern in _SAID.items():
        match = pattern.search(text)
        if match is not None:
            before, after = text[: match.start()].rstrip(" ,("), text[match.end() :].lstrip(" )")
            return f"{before} {after}".rstrip(), match[0].strip(), use
    noted = _NOTED.search(text)
    found = next((use for use in _WORDS if noted and noted.groupdict().get(use)), None)
    if noted is None or found is None:
        return text, "", None
    return f"{text[: noted.start()]} {text[noted.end() :]}".rstrip(), noted["said"].strip(), found


def use_under(heading: str) -> Use:
    """What the ingredients under a heading are for, as far as it says so."""
    found = (use for use, pattern in _HEADED.items() if pattern.search(heading))
    return next(found, "dough")


def is_step(text: str) -> bool:
    """Whether a line begins as an instruction does: it may name amounts, but lists none."""
    return _STEP.match(text) is not None


def is_sum(text: str) -> bool:
    """Whether a line is a total or a yield, not an ingredient."""
    return _SUM.match(text) is not None


def is_figure(text: str) -> bool:
    """Whether a line tells a figure of the whole dough: a hydration, a dough yield.

    >>> is_figure("Hydration: 70%"), is_figure("TA 168"), is_figure("Starter (100% hydration)")
    (True, True, False)
    """
    return _FIGURE.match(text) is not None

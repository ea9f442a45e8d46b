"""Headings of a recipe: which part of a bread they name, and what kind of part that is."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from doughwright.documents.formula import PreparationKind
from doughwright.engine.ingredients import plain_words

Mode = Literal["before", "ingredients", "method", "notes"]
"""What kind of lines is expected."""

PREFERMENT, SOAKER, DOUGH = "preferment", "soaker", "dough"
FILLING, GLAZE, TOPPING = "filling", "glaze", "topping"

PHRASES: Mapping[str, PreparationKind] = MappingProxyType(
    {
        **dict.fromkeys(("old dough", "pate fermentee", "first dough", "pre dough"), "preferment"),
        **dict.fromkeys(("flying sponge", "rye sour", "pre ferment"), "preferment"),
        **dict.fromkeys(("water roux", "flour paste", "cooked paste"), "soaker"),
        **dict.fromkeys(("egg wash", "milk wash"), "glaze"),
        **dict.fromkeys(("masa madre", "lievito madre", "pre impasto", "on hamur"), "preferment"),
        **dict.fromkeys(("pate a",), "dough"),
    }
)
"""Two words that together say more than the last one alone."""

WORDS: Mapping[str, PreparationKind] = MappingProxyType(
    {
        **dict.fromkeys(("sponge", "poolish", "biga", "levain", "leaven"), "preferment"),
        **dict.fromkeys(("sourdough", "starter", "preferment", "predough", "sour"), "preferment"),
        **dict.fromkeys(("soaker", "scald", "tangzhong", "yudane", "paste", "porridge"), "soaker"),
        **dict.fromkeys(("filling", "stuffing", "custard"), "filling"),
        **dict.fromkeys(("glaze", "wash", "syrup", "icing", "frosting", "glazing"), "glaze"),
        **dict.fromkeys(("topping", "streusel", "crumble", "cross", "finish"), "topping"),
        **dict.fromkeys(("decoration", "garnish", "seed", "sprinkling", "dusting"), "topping"),
        **dict.fromkeys(("dough", "bread", "bun", "roll", "loaf", "mix"), "dough"),
    }
)
"""The last word of a heading, in the singular."""

_ELSEWHERE: Mapping[PreparationKind, str] = {
    "dough": """teig hauptteig hefeteig brotteig pate masa impasto deg degen dej dejen deig deigen
        hamur hamuru ciasto""",
    "preferment": """vorteig sauerteig hefeansatz esponja prefermento lievitino fordeg fordegen
        surdeg fordej surdej fordeig surdeig zaczyn zakwas rozczyn""",
    "soaker": "quellstuck bruhstuck kochstuck skallning",
    "filling": """fullung farce relleno ripieno farcitura fyllning fyllningen fyld fyldet fyll
        fyllet dolgu dolgusu harc harci harcı nadzienie farsz""",
    "glaze": """glasur glasuren guss eistreiche glacage dorure glaseado glassa glasyr glasyren
        pensling polewa lukier bestreichen dorer pincelar spennellare""",
    "topping": """belag cobertura copertura garnering pynt posypka kruszonka uzeri susleme
        bestreuen""",
}
"""The same in German, French, Spanish, Italian, Nordic, Turkish, Polish (from memory)."""

_WORDS_OF_ALL: Mapping[str, PreparationKind] = MappingProxyType(
    {**{word: kind for kind, words in _ELSEWHERE.items() for word in words.split()}, **WORDS}
)

STYLES = ("flying sponge", "old dough", "overnight sponge", "poolish", "biga", "sponge", "levain")
"""Kinds of preferment that have a name of their own."""

WHOLE = (
    r"the|all|whole|die|der|das|den|alle[sn]?|gesamte[rs]?|ganze[rsn]?|le|la|les|tou(?:te?s?|s)|il"
    r"|lo|tutt[oai]|el|tod[oa]s?|all[at]?|hela|hele"
)
"""What a text says before the name of a part that is taken whole."""

_ANY_CASE = re.IGNORECASE
_BRACKETS = re.compile(r"\s*\(([^()]*)\)\s*$")
_BEFORE = re.compile(
    r"^(?:ingredients\s+)?(?:for|to make|to|make)\s+(?:the\s+|a\s+|your\s+)?|^(?:the|a)\s+"
    r"|^(?:für|zum|zur|pour|para|per)\s+(?:(?:den|die|das|la|le|les|el|los|las|il|lo|i|gli)\s+|l['’])?"
    r"|^(?:till|til|för|na)\s+",
    _ANY_CASE,
)
_BEHIND = re.compile(r"\s+için$", _ANY_CASE)
_MARKS = re.compile(r"^(?:#{1,6}\s+|\*{2}|__)|(?:\*{2}|__)$")
_ENDS = re.compile(r"\s*[:：]\s*$")


BLOCKS: tuple[tuple[Mode, str], ...] = (
    ("ingredients", r"(?:the )?ingredients|you(?:'ll| will) need|what you need|what to weigh"),
    ("ingredients", r"formula|shopping list"),
    ("ingredients", r"zutaten|ingrédients|ingredientes|ingredienti|ingredienser|malzemeler"),
    ("ingredients", r"składniki"),
    ("method", r"(?:the )?method|instructions?|directions?|preparation|procedure|how it is done"),
    ("method", r"zubereitung|préparation|preparación|elaboración|preparazione|procedimento"),
    ("method", r"gör så här|fremgangsmåde|fremgangsmåte|hazırlanışı|yapılışı|przygotowanie"),
    ("method", r"how to make(?: it)?|steps?|process|what to do|to make"),
    ("notes", r"notes?|tips?|nutrition.*|storage|variations?|cautions?|equipment"),
    ("notes", r"about(?:\s+(?:the|this|me|us|our|my)\b.*)?"),
    ("notes", r"comments?|you may also like|related|other sizes|ovens?|what is in it|recipe notes"),
    ("notes", r"in a warmer or a colder kitchen|what was assumed|before you give it away"),
)
"""Headings that say what follows them."""


@dataclass(frozen=True, slots=True)
class Title:
    """A heading: the name of the part, what kind it is, and the style of a preferment."""

    name: str
    kind: PreparationKind
    style: str = ""


def bare_heading(words: str) -> str:
    """The words of a heading without what marks it as one.

    >>> bare_heading("## For the sponge:")
    'sponge'
    """
    plain = whole_title(words)
    return (_BEHIND.sub("", _BEFORE.sub("", plain)) or plain).strip()


def whole_title(words: str) -> str:
    """The name of a bread as it is written, without what marks it as a heading.

    >>> whole_title("# A simple loaf:")
    'A simple loaf'
    """
    return _ENDS.sub("", _MARKS.sub("", _MARKS.sub("", words.strip())).strip()).strip()


def title_of(words: str) -> Title | None:
    """The part that a heading names; None where no word of it names one.

    >>> title_of("Sponge (flying sponge)")
    Title(name='sponge', kind='preferment', style='flying sponge')
    >>> title_of("A word before you begin") is None
    True
    """
    plain = bare_heading(words)
    beside = _BRACKETS.search(plain)
    name = _name(_BRACKETS.sub("", plain) or plain)
    told = beside[1] if beside else ""
    kind = kind_of(told) or kind_of(name)
    return None if kind is None else Title(name, kind, _style(kind, told, name))


def kind_of(words: str) -> PreparationKind | None:
    """What kind of part some words name, by the last of them that says so.

    >>> kind_of("sour cream topping"), kind_of("first dough"), kind_of("strong flour")
    ('topping', 'preferment', None)
    """
    plain = plain_words(words)
    pairs = (" ".join(plain[i : i + 2]) for i in range(len(plain)))
    phrase = next((PHRASES[pair] for pair in pairs if pair in PHRASES), None)
    if phrase or not plain:
        return phrase
    first = _WORDS_OF_ALL.get(plain[0]) if len(plain) < 3 else None
    return _WORDS_OF_ALL.get(plain[-1]) or first


def is_heading(words: str) -> bool:
    """Whether a line is marked as a heading: a colon at its end, capitals, a hash, ``For the …``.

    >>> is_heading("For the dough"), is_heading("CAUTIONS"), is_heading("500 g flour")
    (True, True, False)
    """
    plain = words.strip()
    few = len(plain.split()) <= 8 and not plain.endswith((".", ",", ";"))
    if (
        not few
        or not any(map(str.isalpha, plain))
        or re.match(r"[\d¼½¾⅓⅔⅛]", bare_heading(plain) or "0")
    ):
        return False
    marked = bool(_MARKS.match(plain) or _ENDS.search(plain))
    return marked or is_shouted(plain) or bool(re.match(r"for the\b", plain, _ANY_CASE))


def is_shouted(words: str) -> bool:
    """Whether a line is written in capitals.

    >>> is_shouted("OTHER SIZES"), is_shouted("T45")
    (True, False)
    """
    return sum(c.isalpha() for c in words) > 3 and words == words.upper() != words.lower()


def _name(words: str) -> str:
    """A heading as the name of a preparation: without capitals that only a heading has."""
    plain = " ".join(words.split())
    return plain.lower() if is_shouted(plain) else f"{plain[:1].lower()}{plain[1:]}"


def _style(kind: PreparationKind, told: str, name: str) -> str:
    if kind != "preferment":
        return ""
    if told and kind_of(told) == kind and plain_words(told) != ("preferment",):
        return told
    return next((style for style in STYLES if style in name.casefold()), "")


def block_named(words: str) -> Mode | None:
    """What kind of lines a heading begins; None for every other line.

    >>> block_named("HOW IT IS DONE"), block_named("Ingredients:"), block_named("Dough")
    ('method', 'ingredients', None)
    """
    plain = bare_heading(words).casefold() if len(words) < 60 else ""
    whole = words.casefold().strip(" :#*")
    tried = (plain, whole)
    return next(
        (mode for mode, heads in BLOCKS if any(re.fullmatch(heads, words) for words in tried)), None
    )

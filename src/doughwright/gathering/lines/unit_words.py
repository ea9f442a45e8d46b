"""Words for units and measures, as they stand behind a number, and the one we know them by."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

WEIGHTS = ("mg", "g", "kg", "oz", "lb")
METRIC_VOLUMES = ("ml", "cl", "dl", "l")
MEASURES = ("cup", "dsp", "tbsp", "tsp", "krm", "fl oz", "gill", "pint", "quart", "gallon")
VAGUE = (
    *("pinch", "dash", "drop", "handful", "knob", "splash", "drizzle", "squeeze", "sprinkling"),
    *("sprig", "bunch"),
)
"""Measures that stand without a number: a pinch of salt."""

PACKS = (
    *("sachet", "packet", "cube", "stick", "can", "jar", "bag", "box", "bottle", "carton", "tub"),
    *("block", "ball", "pot", "tube", "piece"),
)
"""What something is bought in: one may say how much is in it."""

COUNTS = ("clove", "slice", "leaf", "stalk", "head", "cake")
"""Parts and pieces that are counted."""

_SPELLINGS: Mapping[str, str] = MappingProxyType(
    {
        "mg": "mg milligram milligrams milligramme milligrammes ㎎",
        "g": "g gr gm gms grm gram grams gramme grammes gramm grammi gramos gramas",
        "kg": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes kilogramm ㎏",
        "oz": "oz ozs ounce ounces unze unzen",
        "lb": "lb lbs pound pounds #",
        "ml": "ml mls cc millilitre millilitres milliliter milliliters mil mils millilitri"
        " mililitros ㎖",
        "cl": "cl centilitre centilitres centiliter centiliters",
        "dl": "dl decilitre decilitres deciliter deciliters ㎗",
        "l": "l lt ltr litre litres liter liters litro litri litros",
        "cup": "cup cups cupful cupfuls tasse tassen tasses tazza tazze taza tazas",
        "dsp": "dsp dstspn dessertspoon dessertspoons dessertspoonful dessertspoonfuls",
        "tbsp": "tbsp tbsps tbs tblsp tblsps tbl tablespoon tablespoons tablespoonful"
        " tablespoonfuls",
        "tsp": "tsp tsps teaspoon teaspoons teaspoonful teaspoonfuls",
        "krm": "krm kryddmått",
        "gill": "gill gills",
        "pint": "pint pints pt pts",
        "quart": "quart quarts qt qts",
        "gallon": "gallon gallons gal gals",
        "pinch": "pinch pinches prise prisen msp messerspitze nypa pincée pincées pizzico pizzichi"
        " pizca pizcas szczypta",
        "dash": "dash dashes",
        "drop": "drop drops tropfen goutte gouttes goccia gocce gotas",
        "handful": "handful handfuls handvoll poignée poignées manciata puñado",
        "knob": "knob knobs",
        "splash": "splash splashes",
        "drizzle": "drizzle",
        "squeeze": "squeeze",
        "sprinkling": "sprinkling sprinkle",
        "sprig": "sprig sprigs",
        "bunch": "bunch bunches",
        "sachet": "sachet sachets envelope envelopes päckchen pck pckg bustina bustine sobre sobres"
        " beutel tütchen",
        "packet": "packet packets pkt pkts pack packs package packages pkg pkgs packung paket"
        " paquet paquets pacchetto paquete",
        "cube": "cube cubes würfel",
        "stick": "stick sticks",
        "can": "can cans tin tins",
        "jar": "jar jars",
        "bag": "bag bags",
        "box": "box boxes",
        "bottle": "bottle bottles",
        "carton": "carton cartons",
        "tub": "tub tubs becher",
        "block": "block blocks cubetto cubetti panetto",
        "ball": "ball balls",
        "pot": "pot pots",
        "tube": "tube tubes",
        "piece": "piece pieces pc pcs stück pezzo pezzi",
        "clove": "clove cloves zehe zehen gousse gousses spicchio spicchi",
        "slice": "slice slices scheibe scheiben tranche tranches fetta fette",
        "leaf": "leaf leaves",
        "stalk": "stalk stalks",
        "head": "head heads",
        "cake": "cake cakes",
        "%": "% percent ％ ﹪",
        "part": "part parts",
    }
)
_PHRASES: Mapping[str, str] = MappingProxyType(
    {
        r"fl(?:uid|\.)?\s?-?\s?(?:oz|ounces?)": "fl oz",
        r"half[\s-]cubes?": "half cube",
        r"walnut(?:[\s-]+sized?(?:\s+(?:piece|knob|lump|bit))?)?(?=\s+of\b)": "knob",
        r"noix(?=\s+de\s+beurre\b)|noce(?=\s+di\s+burro\b)": "knob",
    }
)
_SPOONS_ELSEWHERE: Mapping[tuple[str, str], str] = MappingProxyType(
    {
        ("tbsp", "metric"): r"el|e[sß](?:s|ß)?löffel|essl|rkl|cucchiai[oa]?|eetlepels?"
        r"|c(?:uil(?:l|lères?|lerées?)?)?[\s.-]*à[\s.-]*(?:soupe|s)|c\.\s?a\.\s?s"
        r"|cucharadas?|cdas?|colher(?:es)?\s+(?:\(sopa\)|de\s+sopa)|ły(?:żka|żki|żek)"
        r"|ēdamkarotes?|ēd\.\s?k",
        ("tsp", "metric"): r"tl|teelöffel|teel|cucchiain[oi]|theelepels?"
        r"|c(?:uil(?:l|lères?|lerées?)?)?[\s.-]*à[\s.-]*(?:café|thé|c)|c\.\s?a\.\s?c"
        r"|cucharaditas?|cdtas?|colher(?:es)?\s+(?:\(chá\)|de\s+chá)|łyżecz(?:ka|ki|ek)"
        r"|tējkarotes?|tējk",
        ("tbsp", "nordic"): r"msk|matsked(?:ar)?|ss|spsk|spiseske(?:er)?|spiseskje(?:er)?",
        ("tsp", "nordic"): r"tsk|tesked(?:ar)?|teske(?:er)?|teskje(?:er)?",
    }
)
"""Spoons of other languages, and whose they are: of 15 and 5 ml (from memory)."""

_EXACT: Mapping[str, str] = MappingProxyType({"T": "tbsp", "t": "tsp", "c": "cup", "C": "cup"})
"""American letters, in which a capital is another measure."""

_SYSTEMS: Mapping[str, str] = MappingProxyType(
    {
        "us": r"U\.?\s?S\.?(?:\s?A\.?)?(?:\s+customary)?|American",
        "metric": r"metric|Canadian|New\s+Zealand|NZ|South\s+African",
        "imperial": r"imperial|imp|British|U\.?\s?K\.?|English",
        "nordic": r"Nordic|Scandinavian|Swedish|Norwegian|Danish|Finnish",
        "japanese": r"Japanese",
        "australian": r"Australian|Aussie|Aust?",
    }
)
"""Words that say whose measure it is, as far as the countries' books agree (common practice)."""

_KNOWN = {
    spelling: unit for unit, spellings in _SPELLINGS.items() for spelling in spellings.split()
}
_BY_LENGTH = sorted(_KNOWN, key=len, reverse=True)
_WORD = re.compile("|".join(map(re.escape, _BY_LENGTH)) + "|[TtcC]", re.IGNORECASE)
_PHRASE = tuple((re.compile(p, re.IGNORECASE), unit, "") for p, unit in _PHRASES.items()) + tuple(
    (re.compile(words, re.IGNORECASE), unit, system)
    for (unit, system), words in _SPOONS_ELSEWHERE.items()
)
_ENDS = re.compile(r"\.?(?![^\W_])(?!['’][a-z])", re.IGNORECASE)
_SYSTEM = "|".join(f"(?P<{system}>{words})" for system, words in _SYSTEMS.items())
_BEFORE = re.compile(rf"(?:{_SYSTEM})\.?(?:\s+standard)?[\s-]+", re.IGNORECASE)
_BEHIND = re.compile(
    rf"\s*[\(\[]\s*(?:{_SYSTEM})\.?(?:\s+(?:standard|measures?|cups?|spoons?|sized?))*\s*[\)\]]",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class UnitRead:
    """A unit, where its word ends, and whose measure it is where the word itself says so."""

    unit: str
    end: int
    system: str = ""


def unit_at(text: str, start: int = 0, among: Iterable[str] = ()) -> UnitRead | None:
    """The unit that begins at a place of a plain text, one of some where they are given.

    >>> [unit_at(words).unit for words in ("Tbsp.", "T", "t", "fl. oz", "packets")]
    ['tbsp', 'tbsp', 'tsp', 'fl oz', 'packet']
    """
    found = _phrase_at(text, start) or _word_at(text, start)
    wanted = tuple(among)
    return found if found and (not wanted or found.unit in wanted) else None


def system_before(text: str, at: int) -> tuple[int, str]:
    """Whose measure follows, and where it begins: the place itself where nobody is named.

    >>> system_before("Japanese cups", 0), system_before("Japanese pears", 0)
    ((9, 'japanese'), (0, ''))
    """
    match = _BEFORE.match(text, at)
    if match is None or unit_at(text, match.end(), MEASURES) is None:
        return at, ""
    return match.end(), match.lastgroup or ""


def system_behind(text: str, end: int) -> tuple[int, str]:
    """Whose the measure was that ends here, in brackets behind it: "1 cup (US)"."""
    match = _BEHIND.match(text, end)
    return (match.end(), match.lastgroup or "") if match else (end, "")


def _phrase_at(text: str, start: int) -> UnitRead | None:
    for pattern, unit, system in _PHRASE:
        match = pattern.match(text, start)
        end = _ENDS.match(text, match.end()) if match else None
        if end is not None:
            return UnitRead(unit, end.end(), system)
    return None


def _word_at(text: str, start: int) -> UnitRead | None:
    match = _WORD.match(text, start)
    if match is None:
        return None
    word = match[0]
    end = match.end() if word in "%#" else _word_end(text, match.end())
    unit = _EXACT.get(word) or _KNOWN.get(word) or _KNOWN.get(word.lower())
    return UnitRead(unit, end) if end is not None and unit is not None else None


def _word_end(text: str, at: int) -> int | None:
    """Where a word and its stop end; None inside a longer word. A stop that leads on is no part."""
    end = _ENDS.match(text, at)
    if end is None:
        return None
    return at if text.startswith("..", at) else end.end()

"""What an ingredient is called, and what is only said beside it: sifted, cold, of which brand."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations
from types import MappingProxyType

from doughwright.engine.ingredients import Ingredient, ingredient_named, nearest_names
from doughwright.gathering.lines.elsewhere import english, without_article

_BESIDE_WORDS = """
beaten lightly well whisked softened soft melted chilled cold cool cooled warm warmed hot
lukewarm tepid boiling scalded sifted unsifted sieved chopped finely roughly coarsely thinly
thickly fine coarse sliced diced cubed grated shredded crushed crumbled mashed ground freshly
fresh toasted roasted untoasted raw peeled unpeeled cored pitted stoned seeded deseeded drained
rinsed washed soaked ripe active bubbly refreshed mature organic unbleached bleached unbromated
stoneground stone-ground free-range free range local homemade home-made shop-bought good quality
best-quality good-quality room temperature fridge-cold fridge straight from at the of a an some
extra additional plus more heaped optional about or so halved quartered whole separated squeezed
zested juiced packed firmly loosely level filtered bottled spring mineral still non-chlorinated
dechlorinated natural pure real ordinary regular standard usual favourite favorite
plain-flavoured unsweetened sweetened unsalted-style pieces chunks cubes small large medium very
to taste strips thin thick frozen thawed defrosted leftover kept reserved little few
little-known all cut into torn picked tightly trimmed split quantity recipe batch portion above
quick cook quick-cook drops splash drizzle bit couple several handfuls tablespoons teaspoons
cups dash glug sprinkling spoonful spoonfuls
lauwarm lauwarme lauwarmer lauwarmes warme warmer warmes kalte kalter kaltes weich weiche flüssige
zimmerwarm zimmerwarme geschmolzene etwas tiède froide froid mou fondu tiepida tiepido fredda
morbido fuso tibia fría ljummet ljummen kallt smält
gemahlen gemahlene gemahlener gemahlenes gehackt gehackte gehackter gehacktes gerieben geriebene
geriebener geröstet geröstete gesiebt gesiebtes verquirlt verquirltes verschlagen frisch frische
frischer frisches flüssig flüssiger flüssiges zerlassene kochendes heißes heiße moulu moulue moulus
haché hachée hachées râpé râpée battu battus fondue tempérée tamisée ramolli froids bouillante
tritato tritate macinato macinata grattugiato sbattuto sbattute setacciata bollente tiepido freddo
batido batidos molido molida picado picada tamizada tibio caliente fundida derretida rumsvarmt
rumsvarm rumstempererat uppvispat uppvispade malen malet hackad hackade finhackad riven rivet
"""
BESIDE = frozenset(_BESIDE_WORDS.split())
"""Words that say how an ingredient is, not which; one the table knows with them keeps them."""

STAGES = frozenset(
    {
        *("poolish", "biga", "sponge", "levain", "leaven", "starter", "preferment", "pre-ferment"),
        *(
            "soaker",
            "scald",
            "tangzhong",
            "yudane",
            "sour",
            "old dough",
            "pâte fermentée",
            "autolyse",
        ),
        *("pâte fermentée", "flying sponge", "flour scald", "roux", "mother", "filling", "dough"),
    }
)
"""What a line takes from another part of the same recipe."""

MAY_MEAN: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "yeast": ("instant yeast", "active dry yeast", "fresh yeast"),
        "baker's yeast": ("fresh yeast", "active dry yeast", "instant yeast"),
        "dry yeast": ("active dry yeast", "instant yeast"),
        "dried yeast": ("active dry yeast", "instant yeast"),
        # Italian packets of it are of both (from memory)
        "lievito istantaneo": ("instant yeast", "baking powder"),
        "flour": ("plain flour", "strong white flour"),
        "white flour": ("strong white flour", "plain flour"),
        "wheat flour": ("plain flour", "strong white flour", "wholemeal flour"),
        "rye flour": ("medium rye flour", "light rye flour", "wholegrain rye flour"),
        "butter": ("unsalted butter", "salted butter"),
        "milk": ("whole milk", "semi-skimmed milk", "skimmed milk"),
        "milk powder": ("skimmed milk powder", "whole milk powder"),
        "cream": ("whipping cream", "single cream"),
        "potato": ("potato", "boiled potato"),
        "malt": ("diastatic malt powder", "malt syrup"),
        "glucose": ("dextrose", "glucose syrup"),
    }
)
"""Words that leave open which of several ingredients is meant, the table's own choice first."""

_BRACKET = re.compile(r"[\(\[\{]([^()\[\]{}]*)[\)\]\}]?")
_DEGREES = re.compile(
    r"(?<![\w.,])(?:(?:at|to|about)\s+|@\s*)*\d{1,3}(?:\s*(?:-|–|to)\s*\d{1,3})?"
    r"\s*(?:[°º]\s*[CF]?|℃|℉|deg(?:rees?)?\s*[CF]?|[CF])(?:\s*/\s*\d{1,3}\s*°?\s*[CF])?(?!\w)"
)
_KIND_OF = re.compile(r"\b(\w+)[\s-](?:type|style)\b(\s+\w+)?", re.IGNORECASE)
_FLOUR_ALONE = re.compile(
    r"(?:(?:strong|fine|coarse|stoneground|organic)\s+)*(?:white|whole ?meal|whole[\s-]?wheat"
    r"|all[\s-]purpose|strong white)",
    re.IGNORECASE,
)
_TOKEN = re.compile(r"[^\s,;]+")
_EDGES = ' \t,;:.·•*|–—-=_/"“”„<>()[]{}'
_SIDES = _EDGES.translate(str.maketrans("", "", "()[]{}"))
_QUOTES = str.maketrans(dict.fromkeys('"“”„«»', " "))
_MOST_WORDS = 12


@dataclass(frozen=True, slots=True)
class Named:
    """What it is called, the words beside it, and the row of the table where it has one."""

    name: str
    note: str
    ingredient: Ingredient | None


@lru_cache(4096)
def described(words: str) -> Named:
    """The name in some words, and the note that the others make.

    >>> described("butter, melted and cooled").name, described("lukewarm whole milk").note
    ('butter', 'lukewarm')
    """
    whole = without_article(words.translate(_QUOTES).strip(_SIDES))
    first, _, last = whole.partition(",")
    outside, inside = _without(_BRACKET, whole)
    for name, note in ((first, last), (outside, " ".join(inside))):
        if _is_known(name) and note and all(word in BESIDE for word in note.casefold().split()):
            apart = ingredient_named(whole) is not ingredient_named(name)
            return _named(whole) if apart and ingredient_named(whole) else _named(name, note)
    if _is_known(whole):
        return _named(*_without_state(whole))
    bare, degrees = _without(_DEGREES, outside)
    head, _, tail = bare.strip(_EDGES).partition(",")
    for text, note in ((bare, ""), (head, tail), (bare.replace(",", " "), "")):
        found = _known_in(text.strip(_EDGES))
        if found is not None:
            return _named(found[0], found[1], note, *degrees, *inside)
    name, beside = _own_name(head)
    return _named(name, beside, tail, *degrees, *inside)


def _without_state(name: str) -> tuple[str, str]:
    """A name the table knows, without words at its end that only say how it is: egg beaten."""
    row, words = ingredient_named(name), name.split()
    for at in range(1, len(words)):
        short, state = " ".join(words[:at]), words[at:]
        if row and ingredient_named(short) is row and all(w.casefold() in BESIDE for w in state):
            return short, " ".join(state)
    return name, ""


def may_mean(name: str) -> tuple[str, ...]:
    """The ingredients a word leaves open; empty where it says which one.

    >>> may_mean("yeast")
    ('instant yeast', 'active dry yeast', 'fresh yeast')
    """
    return MAY_MEAN.get(" ".join(name.casefold().replace("’", "'").split()), ())


def candidates(name: str, count: int = 3) -> tuple[str, ...]:
    """What the table has nearest to a name it does not know: ends of it first, then spellings.

    >>> candidates("Harbour strong white flour")[0]
    'strong white flour'
    """
    if meant := may_mean(name):
        return meant[:count]
    parts = name.split()[-_MOST_WORDS:]
    words = (f"{name} flour", *(" ".join(parts[at:]) for at in range(1, len(parts))))
    ends = (ingredient_named(word) for word in words)
    near = (ingredient_named(word) for word in nearest_names(name[:80], count))
    return tuple(dict.fromkeys(found.name for found in (*ends, *near) if found))[:count]


def is_stage(name: str) -> bool:
    """Whether a name is that of another part of a recipe, such as its poolish."""
    return name.casefold().strip() in STAGES


def _named(name: str, *notes: str) -> Named:
    """A name with its notes; one of another language goes by the table's, and stays as a note."""
    known = ingredient_named(name)
    table = "" if known else english(name)
    said = (note.strip(_EDGES) for note in (name if table else "", *notes))
    return Named(
        table or name,
        ", ".join(note for note in said if note),
        known or (ingredient_named(table) if table else None),
    )


def _is_known(text: str) -> bool:
    known = bool(text) and (ingredient_named(text) is not None or is_stage(text))
    return known or bool(text and english(text))


def _without(pattern: re.Pattern[str], text: str) -> tuple[str, tuple[str, ...]]:
    """A text without what a pattern finds in it, and that."""
    found = tuple(match[match.lastindex or 0] for match in pattern.finditer(text))
    return " ".join(pattern.sub(" ", text).split()), found


def _known_in(text: str) -> tuple[str, str] | None:
    """A name the table knows, and the words that had to go for it; None where there is none."""
    tokens = _TOKEN.findall(text)
    if not tokens or len(tokens) > _MOST_WORDS:
        return None
    for kept in _lists_without_beside(tokens):
        name = " ".join(tokens[at] for at in kept).strip(_EDGES)
        if _is_known(name):
            left = [token for at, token in enumerate(tokens) if at not in kept]
            return name, " ".join(left)
    return _flour_in(tokens) or _kind_in(text) or _branded(tokens)


def _lists_without_beside(tokens: list[str]) -> Iterator[tuple[int, ...]]:
    """Places of the words that are kept: all, then without one word beside, or two."""
    loose = [at for at, token in enumerate(tokens) if token.casefold().strip(_EDGES) in BESIDE]
    for count in range(min(len(loose), 3) + 1):
        for gone in combinations(loose, count):
            yield tuple(at for at in range(len(tokens)) if at not in gone)
    yield tuple(at for at in range(len(tokens)) if at not in loose)


def _flour_in(tokens: list[str]) -> tuple[str, str] | None:
    """A flour that goes by its kind alone: "200 g wholemeal", "whole wheat"."""
    name = " ".join(tokens).strip(_EDGES)
    is_kind = _FLOUR_ALONE.fullmatch(name) is not None and _is_known(f"{name} flour")
    return (f"{name} flour", "") if is_kind else None


def _kind_in(text: str) -> tuple[str, str] | None:
    """A cheese of the mozzarella type goes by mozzarella; its note says that it is one like it."""
    match = _KIND_OF.search(text)
    if match is None or not _is_known(match[1]):
        return None
    return match[1], " ".join(text.split())


def _branded(tokens: list[str]) -> tuple[str, str] | None:
    """A name in small letters behind words with capitals: they are its maker's."""
    first = next((at for at, word in enumerate(tokens) if word[:1].islower()), 0)
    if first == 0 or not all(word[:1].isupper() or word in "&®™" for word in tokens[:first]):
        return None
    found = _known_in(" ".join(tokens[first:]))
    return None if found is None else (found[0], " ".join([*tokens[:first], found[1]]).strip())


def _own_name(text: str) -> tuple[str, str]:
    """A name the table does not know, without the words beside it."""
    tokens = _TOKEN.findall(text)
    kept = [token for token in tokens if token.casefold().strip(_EDGES) not in BESIDE]
    left = [token for token in tokens if token.casefold().strip(_EDGES) in BESIDE]
    name = " ".join(kept).strip(_EDGES)
    return (name, " ".join(left)) if name else (text.strip(_EDGES), "")

"""Words for what a recipe makes: breads that are counted, portions that are not, and numbers."""

from collections.abc import Mapping
from types import MappingProxyType

from doughwright.engine.ingredients import plain_words

NUMBERS: Mapping[str, int] = MappingProxyType(
    {
        word: number
        for number, words in enumerate(
            (
                "a an one ein eine einen un une uno una en ett",
                "two zwei deux due dos två",
                "three drei trois tre tres",
                "four vier quatre quattro cuatro fyra fire",
                "five fünf cinq cinque cinco fem",
                "six sechs sei seis sex seks",
                "seven sieben sept sette siete sju syv",
                "eight acht huit otto ocho åtta otte åtte",
                "nine neun neuf nove nueve nio ni",
                "ten zehn dix dieci diez tio",
                "eleven elf onze undici once elva",
                "twelve zwölf douze dodici doce tolv",
            ),
            1,
        )
        for word in words.split()
    }
)
"""Numbers in words, as far as pieces are counted in them (other languages from memory)."""

ARTICLES = frozenset({"a", "an", "ein", "eine", "einen", "un", "une", "una", "uno", "en", "ett"})
"""Those that are articles: "for a glaze" counts nothing."""

_PIECE_WORDS = """
roll bun loaf loave bagel baguette pizza piece ball brioche pretzel croissant bread batard boule
flatbread naan pita muffin doughnut donut knot braid plait focaccia ciabatta breadstick bap
scone pastry danish swirl twist cookie biscuit cake crumpet tortilla pide bialy challah wreath
stick panettone stollen babka tin pc pcs cob barm bloomer ring crown finger
stück brot brote laib laibe zopf zöpfe semmel semmeln brezel brezeln breze brezen hörnchen
kipferl fladen pizzen krapfen stangen kranz kränze kugeln brötchen kastenform kastenformen
pain pains petit brioches miche miches galette galettes pièce pièces bretzel bretzels
panino panini pane pani pagnotta pagnotte pizze focacce filone filoni pezzo pezzi cornetti
ciabatte grissini pan panes panecillo panecillos bollo bollos barra barras pieza piezas hogaza
hogazas bulle bullar bröd limpa limpor st stk styck boller bolle brød rundstykker frallor
semlor snegle kanelbullar kanelsnegle lussekatter
"""
_PIECES = frozenset(_PIECE_WORDS.split())
_ENDS = ("brötchen", "brot", "brote", "zopf", "zöpfe", "brezeln", "schnecken", "bullar", "bröd")
"""Ends of longer words of that kind."""

_PORTION_WORDS = """
serving serve portion slice people person guest helping eater
personen portionen scheiben personne personnes part tranche tranches convives persone porzioni
porzione fette personas raciones porciones rebanadas personer portioner skivor skiver kişilik
"""
_PORTIONS = frozenset(_PORTION_WORDS.split())
_WHOLE_WORDS = """
tray sheet batch recipe blech bleche backblech plaque teglia plåt plåtar plade bandeja
"""
_WHOLES = frozenset(_WHOLE_WORDS.split())


def is_piece(word: str) -> bool:
    """Whether a word is that of a bread or a piece of dough.

    >>> is_piece("loaves"), is_piece("Kartoffelbrötchen"), is_piece("slices")
    (True, True, False)
    """
    plain = word.casefold()
    return plain in _PIECES or _singular(plain) in _PIECES or plain.endswith(_ENDS)


def is_no_piece(word: str) -> bool:
    """Whether a word counts something else: portions of a bread, trays or batches of it."""
    plain = word.casefold()
    return not {plain, _singular(plain)}.isdisjoint(_PORTIONS | _WHOLES)


def _singular(word: str) -> str:
    return " ".join(plain_words(word))

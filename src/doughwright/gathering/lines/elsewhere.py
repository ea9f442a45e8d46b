"""Ingredients in other languages, as far as breads of every day go (from memory)."""

import re
from collections.abc import Mapping
from types import MappingProxyType

from doughwright.engine.ingredients import plain_words

_WORDS: Mapping[str, str] = MappingProxyType(
    {
        "water": "wasser, eau, acqua, agua, água, vatten, vand, vann, su, woda, vesi, ūdens",
        "milk": "milch, lait, latte, leche, leite, mjölk, mælk, melk, süt, mleko, maito, piens",
        "whole milk": "vollmilch, lait entier, latte intero, leche entera, sødmælk, helmelk",
        "salt": "salz, sel, sale, sal, tuz, sól, suola, sāls, meersalz, sel fin, sel de mer",
        "sugar": "zucker, sucre, zucchero, azúcar, açúcar, socker, sukker, şeker, cukier, sokeri,"
        " cukurs, strösocker",
        "brown sugar": "brauner zucker, cassonade, zucchero di canna, azúcar moreno, farinsocker,"
        " brun farin, esmer şeker",
        "icing sugar": "puderzucker, sucre glace, zucchero a velo, azúcar glas, florsocker,"
        " flormelis, pudra şekeri, cukier puder",
        "honey": "honig, miel, miele, honung, honning, bal, miód, hunaja, medus",
        "butter": "beurre, burro, mantequilla, manteiga, smör, smør, tereyağı, tereyağ, masło, voi,"
        " sviests, beurre mou, weiche butter",
        "egg": "ei, eier, œuf, œufs, oeuf, oeufs, uovo, uova, huevo, huevos, ovo, ovos, ägg, æg,"
        " yumurta, jajko, jajka, muna, munat, ola, olas",
        "egg yolk": "eigelb, eidotter, jaune d'œuf, jaunes d'œufs, tuorlo, tuorli, yema, yemas,"
        " äggula, äggulor, æggeblomme, eggeplomme, yumurta sarısı, żółtko, żółtka",
        "egg white": "eiweiß, eiweiss, blanc d'œuf, blancs d'œufs, albume, albumi, clara, claras,"
        " äggvita, äggvitor, æggehvide, eggehvite, yumurta akı, białko",
        "yeast": "hefe, levure, lievito di birra, levadura, fermento biológico, jäst, gær, gjær,"
        " maya, drożdże, hiiva, raugs",
        "fresh yeast": "frischhefe, frische hefe, backhefe frisch, levure fraîche,"
        " levure fraîche de boulanger, lievito di birra fresco, lievito fresco, levadura fresca,"
        " färsk jäst, fersk gjær, yaş maya, świeże drożdże, drożdże świeże, tuorehiiva",
        "dry yeast": "trockenhefe, levure sèche, levure de boulanger sèche, lievito secco,"
        " lievito di birra secco, levadura seca, torrjäst, tørgær, tørrgjær, kuru maya,"
        " drożdże suszone, suche drożdże, suszone drożdże, kuivahiiva",
        "flour": "mehl, farine, farina 00, farina 0, farina tipo 00, farina tipo 0, harina,"
        " farinha, mjöl, mąka, jauhot, milti",
        "wheat flour": "weizenmehl, farine de blé, farina di frumento, farina di grano tenero,"
        " harina de trigo, farinha de trigo, vetemjöl, hvedemel, hvetemel, buğday unu, un,"
        " mąka pszenna, vehnäjauhot, kviešu milti",
        "strong white flour": "farina forte, farina manitoba, manitoba, harina de fuerza,"
        " vetemjöl special",
        "plain flour": "weizenmehl 405, weizenmehl type 405, weizenmehl typ 405, harina floja",
        "wholemeal flour": "vollkornmehl, weizenvollkornmehl, farine complète, farina integrale,"
        " harina integral, fullkornsvetemjöl, grahamsmjöl, grahamsmel, tam buğday unu,"
        " mąka pełnoziarnista",
        "rye flour": "roggenmehl, farine de seigle, farina di segale, harina de centeno, rågmjöl,"
        " rugmel, çavdar unu, mąka żytnia, ruisjauhot, rudzu milti",
        "wholegrain rye flour": "roggenvollkornmehl, vollkornroggenmehl, grovt rågmjöl, sammalet"
        " rugmel",
        "spelt flour": "dinkelmehl, farine d'épeautre, farina di farro, harina de espelta,"
        " dinkelmjöl, speltmel, mąka orkiszowa",
        "olive oil": "olivenöl, huile d'olive, olio d'oliva, olio extravergine di oliva,"
        " olio di oliva, aceite de oliva, azeite, olivolja, olivenolie, olivenolje, zeytinyağı,"
        " oliwa",
        "sunflower oil": "sonnenblumenöl, huile de tournesol, olio di semi di girasole,"
        " aceite de girasol, solrosolja, solsikkeolie, ayçiçek yağı, olej słonecznikowy",
        "lard": "schmalz, schweineschmalz, saindoux, strutto, manteca de cerdo, smalec",
        "cream": "sahne, panna, nata, grädde, fløde, fløte, śmietanka",
        "whipping cream": "schlagsahne, crème entière, panna fresca, vispgrädde, piskefløde",
        "cinnamon": "zimt, cannelle, cannella, canela, kanel, tarçın, cynamon",
        "cardamom": "kardamom, cardamome, cardamomo, kardemumma, kardemomme, kakule",
        "sesame seeds": "sesam, sésame, sesamo, sésamo, sesamfrö, susam, sezam",
        "poppy seeds": "mohn, pavot, semi di papavero, amapola, vallmofrö, birkes, haşhaş, mak",
        "sunflower seeds": "sonnenblumenkerne, graines de tournesol, semi di girasole,"
        " solroskärnor, solsikkekerner, ayçekirdeği",
        "raisins": "rosinen, raisins secs, uvetta, pasas, russin, rosiner, kuru üzüm, rodzynki",
        "walnuts": "walnüsse, noix, noci, nueces, valnötter, valnødder, ceviz, orzechy włoskie",
        "almonds": "mandeln, amandes, mandorle, almendras, mandel, mandler, badem, migdały",
        "rolled oats": "haferflocken, flocons d'avoine, fiocchi d'avena, copos de avena,"
        " havregryn, yulaf ezmesi, płatki owsiane",
        "starter": "anstellgut, masa madre activa, levain liquide, ekşi maya",
    }
)


_TYPE = re.compile(r"[\s,]+(?:(?:type|typ|typu|tipo|t|w)\.?\s*)?\d{1,4}\s*$", re.IGNORECASE)


def _spelled(words: str) -> str:
    return " ".join(plain_words(words))


_NAMES: Mapping[str, str] = MappingProxyType(
    {_spelled(word): name for name, words in _WORDS.items() for word in words.split(",")}
)


def english(words: str) -> str:
    """The table's word for an ingredient of another language; empty where there is none here.

    A flour's type number says how much ash is in it, and is not read.

    >>> english("Weizenmehl Type 550"), english("Salz"), english("strong white flour")
    ('wheat flour', 'salt', '')
    """
    found = _NAMES.get(_spelled(words), "")
    bare = _NAMES.get(_spelled(_TYPE.sub("", words)), "")
    return found or (bare if bare.endswith("flour") else "")

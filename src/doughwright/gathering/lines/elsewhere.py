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
        "salt": "salz, sel, sale, sal, tuz, sól, suola, sāls, meersalz, sel fin, sel de mer,"
        " feines salz, jodsalz, sel marin, gros sel, sale fino, sale marino, sale grosso,"
        " sal fina, salt fin",
        "sugar": "zucker, sucre, zucchero, azúcar, açúcar, socker, sukker, şeker, cukier,"
        " sokeri, cukurs, strösocker, sucre blanc, sucre en poudre, sucre semoule,"
        " zucchero semolato, azúcar blanca, kristallzucker, feiner zucker, florsukker fin",
        "brown sugar": "brauner zucker, cassonade, zucchero di canna, azúcar moreno,"
        " farinsocker, brun farin, esmer şeker, rohrzucker, rohrohrzucker, sucre roux,"
        " sucre brun, zucchero integrale, farin",
        "icing sugar": "puderzucker, sucre glace, zucchero a velo, azúcar glas, florsocker,"
        " flormelis, pudra şekeri, cukier puder",
        "honey": "honig, miel, miele, honung, honning, bal, miód, hunaja, medus, miel d'acacia,"
        " flüssiger honig, miele millefiori",
        "butter": "beurre, burro, mantequilla, manteiga, smör, smør, tereyağı, tereyağ, masło,"
        " voi, sviests, beurre mou, weiche butter, flüssige butter, beurre pommade,"
        " burro morbido, boter",
        "egg": "ei, eier, œuf, œufs, oeuf, oeufs, uovo, uova, huevo, huevos, ovo, ovos, ägg, æg,"
        " yumurta, jajko, jajka, muna, munat, ola, olas, œuf entier, œufs entiers, vollei,"
        " uova intere, uovo intero, huevo entero",
        "egg yolk": "eigelb, eidotter, jaune d'œuf, jaunes d'œufs, tuorlo, tuorli, yema, yemas,"
        " äggula, äggulor, æggeblomme, eggeplomme, yumurta sarısı, żółtko, żółtka,"
        " eigelbe, rosso d'uovo, rossi d'uovo, yema de huevo, yemas de huevo, gema, gemas",
        "egg white": "eiweiß, eiweiss, blanc d'œuf, blancs d'œufs, albume, albumi, clara, claras,"
        " äggvita, äggvitor, æggehvide, eggehvite, yumurta akı, białko",
        "yeast": "hefe, levure, lievito di birra, levadura, fermento biológico, jäst, gær, gjær,"
        " maya, drożdże, hiiva, raugs, levure de boulanger, levure boulangère, bäckerhefe,"
        " levadura de panadero, lievito, gist",
        "fresh yeast": "frischhefe, frische hefe, backhefe frisch, levure fraîche,"
        " levure fraîche de boulanger, lievito di birra fresco, lievito fresco,"
        " levadura fresca, färsk jäst, fersk gjær, yaş maya, świeże drożdże,"
        " drożdże świeże, tuorehiiva, würfelhefe, levure de boulanger fraîche,"
        " levure boulangère fraîche, levadura fresca de panadero, levadura prensada,"
        " lievito di birra in cubetto, verse gist, frisk gær, matjäst färsk, presshefe",
        "dry yeast": "trockenhefe, levure sèche, levure de boulanger sèche, lievito secco,"
        " lievito di birra secco, levadura seca, torrjäst, tørgær, tørrgjær, kuru maya,"
        " drożdże suszone, suche drożdże, suszone drożdże, kuivahiiva, trockenbackhefe,"
        " levure de boulanger déshydratée, levure déshydratée, levure sèche de boulanger,"
        " levadura seca de panadería, lievito di birra disidratato, lievito disidratato,"
        " lievito di birra liofilizzato, droge gist, sausais raugs",
        "instant yeast": "levure instantanée, levure sèche instantanée, instanthefe,"
        " levure de boulanger instantanée, levure de boulanger sèche instantanée,"
        " levadura instantánea, levadura seca instantánea, levadura instantánea de panadería,"
        " levadura de panadería instantánea, lievito secco istantaneo,"
        " lievito di birra istantaneo, lievito di birra secco istantaneo,"
        " easy-bake yeast, easy-bake dried yeast",
        "active dry yeast": "levure sèche active, levadura seca activa, lievito secco attivo,"
        " lievito di birra secco attivo",
        "flour": "mehl, farine, farina 00, farina 0, farina tipo 00, farina tipo 0, harina,"
        " farinha, mjöl, mąka, jauhot, milti, farina, farine blanche, weißmehl, weissmehl,"
        " bloem",
        "wheat flour": "weizenmehl, farine de blé, farina di frumento, farina di grano tenero,"
        " harina de trigo, farinha de trigo, vetemjöl, hvedemel, hvetemel, buğday unu, un,"
        " mąka pszenna, vehnäjauhot, kviešu milti, farine de froment,"
        " farine de blé tendre, farina bianca, tarwebloem, tarwemeel",
        "strong white flour": "farina forte, farina manitoba, manitoba, harina de fuerza,"
        " vetemjöl special, farine de gruau, farina 0 forte, harina panificable de fuerza,"
        " starkt vetemjöl, manitobamehl",
        "plain flour": "weizenmehl 405, weizenmehl type 405, weizenmehl typ 405, harina floja",
        "wholemeal flour": "vollkornmehl, weizenvollkornmehl, farine complète, farina integrale,"
        " harina integral, fullkornsvetemjöl, grahamsmjöl, grahamsmel, tam buğday unu,"
        " mąka pełnoziarnista, farine intégrale, farine de blé complète,"
        " farine de blé complet, farine de blé intégrale, harina integral de trigo,"
        " farina integrale di frumento, farina di grano tenero integrale, volkorenmeel,"
        " pilngraudu milti",
        "rye flour": "roggenmehl, farine de seigle, farina di segale, harina de centeno,"
        " rågmjöl, rugmel, çavdar unu, mąka żytnia, ruisjauhot, rudzu milti,"
        " farina di segala, roggemeel",
        "wholegrain rye flour": "roggenvollkornmehl, vollkornroggenmehl, grovt rågmjöl, sammalet"
        " rugmel",
        "spelt flour": "dinkelmehl, farine d'épeautre, farina di farro, harina de espelta,"
        " dinkelmjöl, speltmel, mąka orkiszowa, dinkelmehl hell, farine de grand épeautre,"
        " farina di spelta",
        "olive oil": "olivenöl, huile d'olive, olio d'oliva, olio extravergine di oliva,"
        " olio di oliva, aceite de oliva, azeite, olivolja, olivenolie, olivenolje,"
        " zeytinyağı, oliwa, olio evo, olio d'oliva extravergine, natives olivenöl,"
        " natives olivenöl extra, huile d'olive vierge extra, huile d'olive vierge,"
        " aceite de oliva virgen extra, aceite de oliva virgen",
        "sunflower oil": "sonnenblumenöl, huile de tournesol, olio di semi di girasole,"
        " aceite de girasol, solrosolja, solsikkeolie, ayçiçek yağı, olej słonecznikowy",
        "lard": "schmalz, schweineschmalz, saindoux, strutto, manteca de cerdo, smalec",
        "cream": "sahne, panna, nata, grädde, fløde, fløte, śmietanka, crème, crème liquide,"
        " crème fleurette, panna liquida, nata líquida, room, saldais krējums",
        "whipping cream": "schlagsahne, crème entière, panna fresca, vispgrädde, piskefløde",
        "cinnamon": "zimt, cannelle, cannella, canela, kanel, tarçın, cynamon",
        "cardamom": "kardamom, cardamome, cardamomo, kardemumma, kardemomme, kakule",
        "sesame seeds": "sesam, sésame, sesamo, sésamo, sesamfrö, susam, sezam, sesamsamen,"
        " graines de sésame, semi di sesamo, semillas de sésamo, ajonjolí, sesamfrön,"
        " sezama sēklas",
        "poppy seeds": "mohn, pavot, semi di papavero, amapola, vallmofrö, birkes, haşhaş, mak,"
        " graines de pavot, blaumohn, semillas de amapola, blå vallmofrön, magones",
        "sunflower seeds": "sonnenblumenkerne, graines de tournesol, semi di girasole,"
        " solroskärnor, solsikkekerner, ayçekirdeği, pipas de girasol,"
        " semillas de girasol, sonnenblumenkern, solrosfrön, saulespuķu sēklas",
        "raisins": "rosinen, raisins secs, uvetta, pasas, russin, rosiner, kuru üzüm, rodzynki,"
        " uva passa, uva sultanina, raisins blonds, uvas pasas, rozīnes",
        "walnuts": "walnüsse, noix, noci, nueces, valnötter, valnødder, ceviz, orzechy włoskie",
        "almonds": "mandeln, amandes, mandorle, almendras, mandel, mandler, badem, migdały",
        "rolled oats": "haferflocken, flocons d'avoine, fiocchi d'avena, copos de avena,"
        " havregryn, yulaf ezmesi, płatki owsiane",
        "starter": "anstellgut, masa madre activa, levain liquide, ekşi maya, levain,"
        " levain naturel, levain dur, levain chef, lievito madre, pasta madre,"
        " lievito naturale, masa madre, surdeg, surdej, surdeig, ieraugs",
        "skimmed milk": "magermilch, lait écrémé, latte scremato, leche desnatada, lättmjölk",
        "semi-skimmed milk": "fettarme milch, lait demi-écrémé, latte parzialmente scremato,"
        " leche semidesnatada, mellanmjölk",
        "vanilla sugar": "vanillezucker, vanillinzucker, bourbon vanillezucker, sucre vanillé,"
        " zucchero vanigliato, azúcar vainillado, azúcar avainillado, vaniljsocker,"
        " vaniljesukker, vanillinsocker, vaniļas cukurs, cukier waniliowy, vanilkový cukr",
        "pearl sugar": "hagelzucker, perlzucker, sucre perlé, granella di zucchero,"
        " azúcar perlado, pärlsocker, perlesukker",
        "semolina": "grieß, griess, weizengrieß, hartweizengrieß, hartweizengriess, semoule,"
        " semoule fine, semoule de blé dur, semola, semola rimacinata,"
        " semola di grano duro, semola rimacinata di grano duro, semolino, sémola,"
        " mannagryn, semule, manna, kasza manna, irmik, griesmeel",
        "unsalted butter": "beurre doux, süßrahmbutter, mantequilla sin sal, osaltat smör,"
        " usaltet smør, burro non salato, burro dolce",
        "salted butter": "beurre demi-sel, beurre salé, gesalzene butter, mantequilla con sal,"
        " burro salato",
        "buckwheat flour": "buchweizenmehl, farine de sarrasin, farina di grano saraceno,"
        " bovetemjöl",
        "rice flour": "reismehl, farine de riz, farina di riso, harina de arroz, rismjöl",
        "maize starch": "speisestärke, maisstärke, maizena, fécule de maïs, amido di mais,"
        " maicena, majsstärkelse",
        "potato starch": "kartoffelstärke, kartoffelmehl, fécule de pomme de terre,"
        " fecola di patate, potatismjöl, fécula de patata",
        "oil": "öl, pflanzenöl, speiseöl, neutrales öl, huile, huile végétale, huile neutre,"
        " olio, olio vegetale, aceite, aceite vegetal, óleo, olja, olie, olje, matolja",
        "canola oil": "rapsöl, huile de colza, olio di colza, rapsolja, rapsolie",
        "sour cream": "saure sahne, sauerrahm, schmand, panna acida, crema agria, gräddfil,"
        " rømme, skābais krējums, śmietana",
        "yogurt": "joghurt, naturjoghurt, yaourt, yaourt nature, yogurt bianco, yogur,"
        " yogur natural, yoghurt, naturell yoghurt, jogurtti, jogurts",
        "buttermilk": "buttermilch, lait ribot, babeurre, latticello,"
        " suero de leche de mantequilla, kärnmjölk, kærnemælk, karnemelk, paniņas",
        "quark": "magerquark, speisequark, topfen, fromage blanc, kvarg, kesella, biezpiens,"
        " twaróg",
        "ricotta": "requesón",
        "boiled potato": "patate lesse, patata lessa, patate bollite, gekochte kartoffeln,"
        " kartoffeln gekocht, pellkartoffeln, pommes de terre cuites, patata cocida,"
        " patatas cocidas, kokt potatis",
        "potato": "kartoffeln, kartoffel, pommes de terre, pomme de terre, patate, patata,"
        " patatas, potatis, kartofler, kartupeļi",
        "onion": "zwiebel, zwiebeln, oignon, oignons, cipolla, cipolle, cebolla, cebollas, lök,"
        " løg",
        "garlic": "knoblauch, ail, aglio, ajo, vitlök, hvidløg",
        "lemon zest": "zitronenschale, zitronenabrieb, abrieb einer zitrone, zeste de citron,"
        " scorza di limone, ralladura de limón, citronskal, citronzest",
        "orange zest": "orangenschale, orangenabrieb, zeste d'orange, scorza d'arancia,"
        " ralladura de naranja, apelsinskal",
        "lemon juice": "zitronensaft, jus de citron, succo di limone, zumo de limón,"
        " jugo de limón, citronsaft, citronjuice",
        "orange juice": "orangensaft, jus d'orange, succo d'arancia, zumo de naranja, apelsinjuice",
        "vanilla extract": "vanilleextrakt, extrait de vanille, estratto di vaniglia,"
        " extracto de vainilla, vaniljextrakt",
        "baking powder": "backpulver, levure chimique, poudre à lever, lievito per dolci,"
        " lievito chimico, polvo de hornear, levadura química, bakpulver, bagepulver",
        "baking soda": "natron, bicarbonate, bicarbonate de soude, bicarbonato,"
        " bicarbonato di sodio, bicarbonato de sodio, bikarbonat",
        "flax seeds": "leinsamen, leinsaat, graines de lin, semi di lino, semillas de lino,"
        " linaza, linfrö, linfrön, hørfrø, linsēklas",
        "pumpkin seeds": "kürbiskerne, graines de courge, semi di zucca, semillas de calabaza,"
        " pipas de calabaza, pumpakärnor, pumpafrön, græskarkerner, ķirbju sēklas",
        "caraway": "kümmel, carvi, cumino dei prati, alcaravea, kummin, kommen, ķimenes, kminek",
        "fennel seeds": "fenchel, fenchelsamen, graines de fenouil, semi di finocchio,"
        " semillas de hinojo, fänkålsfrö, fänkål",
        "anise": "anis, semi di anice, anice, anís, matalahúva",
        "nutmeg": "muskat, muskatnuss, noix de muscade, muscade, noce moscata, nuez moscada,"
        " muskot",
        "cloves": "nelken, gewürznelken, clous de girofle, chiodi di garofano, clavo, kryddnejlika",
        "saffron": "safran, zafferano, azafrán, saffran, safrāns",
        "rosemary": "rosmarin, romarin, rosmarino, romero",
        "hazelnuts": "haselnüsse, noisettes, nocciole, avellanas, hasselnötter",
        "candied peel": "orangeat und zitronat, écorces confites, canditi, frutas confitadas",
        "cocoa": "kakao, kakaopulver, cacao, cacao en poudre, cacao amaro",
        "diastatic malt powder": "backmalz, malto diastatico, malt diastasique",
        "malt": "malz, malt d'orge, malto, malto d'orzo, malta",
        "old bread": "altes brot, altbrot, pain rassis, pane raffermo",
    }
)


_COUNTRIES: Mapping[str, str] = MappingProxyType(
    {
        "DE": "ei eier vollei eigelb eigelbe eidotter eiweiß eiweiss hefe frischhefe trockenhefe"
        " backhefe vanillezucker vanillinzucker backpulver",
        "IT": "uovo uova tuorlo tuorli albume albumi lievito",
        "SE": "ägg äggula äggulor äggvita äggvitor jäst torrjäst bakpulver vaniljsocker",
        "DK": "æg æggeblomme æggehvide gær",
        "FI": "muna munat hiiva tuorehiiva kuivahiiva",
        "PL": "jajko jajka jaj żółtko żółtka białko drożdże drożdży",
        "LV": "ola olas raugs rauga",
    }
)
"""Where words are written that belong to one country, or to several with the same eggs and packs.

French, Spanish and Portuguese are spoken on several continents, and say nothing of it.
"""

_ELIDED = r"(?:de\s+)?\b(?:d|l|dell|nell|all)['’]"
_JOINING = "de|du|des|di|del|della|dello|dei|degli|delle|do|da|dos|das"
_ARTICLES = re.compile(rf"{_ELIDED}|\b(?:{_JOINING}|la|le|les|los|las|el)\b", re.IGNORECASE)
_LEADING = re.compile(rf"\s*(?:(?:{_ELIDED}|\b(?:{_JOINING}|of)\s+(?:l[ae]s?\s+)?)(?=\S))?")
_TYPE = re.compile(r"[\s,]+(?:(?:type|typ|typu|tipo|t|w)\.?\s*)?\d{1,4}\s*$", re.IGNORECASE)


def _spelled(words: str) -> str:
    """Words as they are compared: "olio extravergine d'oliva" is "... di oliva" too."""
    return " ".join(plain_words(_ARTICLES.sub(" ", words)))


_NAMES: Mapping[str, str] = MappingProxyType(
    {_spelled(word): name for name, words in _WORDS.items() for word in words.split(",")}
)
_COUNTRY_OF: Mapping[str, str] = MappingProxyType(
    {word: country for country, words in _COUNTRIES.items() for word in words.split()}
)


def without_article(words: str) -> str:
    """A name without the little word that joins it to its amount.

    >>> without_article("d'eau"), without_article("of butter"), without_article("de la farine")
    ('eau', 'butter', 'farine')
    """
    found = _LEADING.match(words)
    return words[found.end() :] if found else words


def country_of(words: str) -> str:
    """The country whose eggs and packs are meant by the language of some words; else empty.

    >>> country_of("egg Eier, Gr. M"), country_of("2 eggs")
    ('DE', '')
    """
    found = (_COUNTRY_OF.get(word) for word in re.findall(r"\w+", words.casefold()))
    return next(filter(None, found), "")


def english(words: str) -> str:
    """The table's word for an ingredient of another language; empty where there is none here.

    A flour's type number says how much ash is in it, and is not read.

    >>> english("Weizenmehl Type 550"), english("d'huile d'olive"), english("strong white flour")
    ('wheat flour', 'olive oil', '')
    """
    found = _NAMES.get(_spelled(words), "")
    bare = _NAMES.get(_spelled(_TYPE.sub("", words)), "")
    return found or (bare if bare.endswith("flour") else "")

"""The words of a method in other languages: steps, lengths of time, ovens (all from memory).

German, French, Italian, Spanish, Dutch, Swedish, Danish and Norwegian, as far as a recipe needs
them. What is no word of English stands here alone; it is read beside the English words.
"""

import re
from collections.abc import Mapping
from types import MappingProxyType

_STEPS: Mapping[str, str] = {
    "mix": """kneten geknetet verkneten auskneten knete knetet kneteten mischen vermischen
        verrühren pétrir pétrissez pétrissage mélanger mélangez impastare impastate impasta
        mescolare mescolate knåda knådas ælt ælte æltes elt eltes amasar amase amasado mezclar
        kneed kneden""",
    "ferment": """gehen aufgehen reifen reift fermentieren gare stockgare lever levée pointage
        fermenter pousser lievitare lievitazione lieviti puntata jäsa jäs jäsas jäser hæve hæver
        hæves hev heve heves hever fermentar fermentación levar leudar levado rijzen""",
    "proof": """stückgare endgare apprêt appretto efterjäsa efterjäsning efterhæve efterhæves
        etterheve etterheves""",
    "bake": """backen gebacken abbacken anbacken ausbacken backe cuire cuisson cuisez enfourner
        enfournez cuocere cuocete cottura infornare infornate grädda gräddas baka bakas bage bages
        stek steke stekes hornear hornee hornea cocer bakken""",
    "rest": """ruhen teigruhe entspannen reposer repos détente riposare riposo vila vilar hvile
        hviler reposar reposo rusten""",
    "cool": """abkühlen auskühlen refroidir raffreddare svalna svalne afkøle afkøles avkjøle
        avkjøles enfriar afkoelen""",
    "soak": "quellen einweichen tremper ammollo blötlägg remojar remojo",
}
_FRIDGES = """kühlschrank réfrigérateur frigo frigorifero kylskåp kylskåpet kylen køleskab
    køleskabet kjøleskap kjøleskapet nevera frigorífico koelkast"""
FRIDGES = frozenset(_FRIDGES.split())
COLD = r"au froid|au frais|kalt\b|kaltstellen|al freddo|i kyla|kallt\b|en frío"
"""Where a dough waits that is put into the fridge, besides the fridge's own name."""

STEPS: Mapping[str, str] = MappingProxyType(
    {
        **{word: verb for verb, words in _STEPS.items() for word in words.split()},
        **dict.fromkeys((*FRIDGES, "kalt", "kaltstellen", "froid", "freddo"), "retard"),
    }
)
"""Words by which a sentence tells of a step."""

ROOM = (
    r"(?:raum|zimmer)temperatur|température ambiante|temperatura ambiente|rumstemperatur|"
    r"stuetemperatur|romtemperatur|kamertemperatuur"
)
DIVIDED = (
    r"(?:auf)?teilen\b|abstechen|diviser\b|divisez|dividere|dividete|\bdela (?:upp )?degen|"
    r"\bdel (?:dejen|deigen|dej|deig)\b|dividir|divida\b|verdelen|verdeel\b"
)
SHAPED = (
    r"formen\b|geformt|flechten|(?:rund|lang)wirken|façonn\w+|bouler\b|formare\b|formate\b|"
    r"formatura|forma\b|formes\b|form til\b|trille?s? til\b|formar\b|dar forma|vormen\b"
)
AGAIN = r"nochmals?|erneut|noch einmal|encore|di nuovo|igen|de nuevo|otra vez|opnieuw"
DOUGH = (
    r"knet|teig\b|pétri|pâte\b|impast[aei]|knåd|degen\b|ælt|dejen\b|elte|deigen\b|amas[aeo]|"
    r"masa\b|(?:an|aus|ab|ge)?backen|cui[rst]|enfourn|cuoc|inforn|grädd|hornea|stek(?:e|es)?\b"
)
MIXED = r"mischen|vermischen|verrühren|mélang\w+|mescola\w+|blanda|mezclar"

PUTS = (
    r"étaler|badigeonner|dorer|napper|garnir|farcire|spalmare|spennellare|rellenar|pincelar|untar"
    r"|fyll|fylla|bred|pensla|pensl|strö|drys"
)
PUTS_BEHIND = r"füllen|bestreichen|bestreuen|verteilen"
"""Words of what is put into or onto a bread: ahead of its name, and behind it."""

UNITS: tuple[tuple[str, float], ...] = (
    (r"stunden?|std|heures?|or[ae]|timmar|timme|timer|horas?|uur|uren", 3600.0),
    (r"minuten|minut[io]|minuter|minutter|minutos?", 60.0),
    (r"tage?n?|jours?|giorn[io]|dagar|dager|dage?|días?|dagen", 86400.0),
    (r"sekunden?|secondes?|secondi|sekunder|segundos?", 1.0),
)
"""Units of time, in s."""

HOURS_OF_NORTH = re.compile(
    r"[æøå]|\b(?:hev|deig|dej|stek|hvil|ovn|bages?\b|bag ved|grader\b|minutter\b|og\b|lad\b)",
    re.IGNORECASE,
)
"""Beside one of these a ``time`` is an hour."""

ENGLISH = re.compile(r"\b(?:the|and|then|rise|until|knead|with)\b", re.IGNORECASE)
"""Beside one of these a ``time`` is none."""

PHRASES: tuple[tuple[str, float], ...] = (
    (r"zweieinhalb stunden|två och en halv timme|to og en halv time|tweeënhalf uur", 9000.0),
    (r"anderthalb stunden|ein(?:und)?einhalb stunden|anderhalf uur", 5400.0),
    (r"halvannen time|halvanden time|en och en halv timme|en og en halv time", 5400.0),
    (r"(?:eine |une |en |ett )?(?:halbe|demi|halv)[\s-](?:stunde|heure|timme|time)", 1800.0),
    (r"mezz['’]ora|media hora|een half uur", 1800.0),
    (r"(?:eine )?dreiviertelstunde|trois quarts d['’]heure|tre quarti d['’]ora", 2700.0),
    (r"(?:eine )?viertelstunde|un quart d['’]heure|un quarto d['’]ora|en kvart", 900.0),
    (r"eine stunde|une heure|un['’]ora|en timme|en time|una hora|een uur", 3600.0),
    (r"(?:zwei|deux|due|två|to|dos|twee) (?:stunden|heures|ore|timmar|timer|horas|uur)", 7200.0),
    (r"(?:drei|trois|tre|tres|drie) (?:stunden|heures|ore|timmar|timer|horas|uur)", 10800.0),
)
"""Lengths of time in words, in s; the longer words first."""

PLUS = r"und|et|e|y|och|og|en"
"""Between the hours and the minutes of one time."""

SHARES: tuple[tuple[str, float], ...] = (
    (r"et demie?|y media|e mezz[oa]", 0.5),
    (r"et (?:un )?quart|y cuarto|e un quarto", 0.25),
    (r"et trois quarts|y tres cuartos|e tre quarti", 0.75),
)
"""What is added to a number behind its unit: ``une heure et demie``."""

AND_A_HALF = r"(?:och|og|und|en) (?:en|ein|eine|een) (?:halv|halbe|half)"
"""What is added to a number ahead of its unit: ``2 och en halv timme``."""

MINUTES: tuple[tuple[str, float], ...] = (
    (r"fünf|cinq|cinque|cinco|fem|vijf", 5.0),
    (r"zehn|dix|dieci|diez|tio|ti|tien", 10.0),
    (r"fünfzehn|quinze|quindici|quince|femton|femten|vijftien", 15.0),
    (r"zwanzig|vingt|venti|veinte|tjugo|tyve|twintig", 20.0),
    (r"drei(?:ß|ss)ig|trente|trenta|treinta|trettio|tredive|tretti|dertig", 30.0),
    (r"vierzig|quarante|quaranta|cuarenta|fyrtio|fyrre|førti|veertig", 40.0),
)
"""Minutes in words, behind an hour and one of :data:`PLUS`."""

NIGHT = (
    r"über nacht|toute (?:la|une) nuit|(?:pour |pendant )?(?:la|une) nuit|tutta la notte|"
    r"(?:per )?(?:una|la) notte|över natten?|over natten|natten over|toda la noche|"
    r"durante la noche|een nacht"
)
TO = r"bis(?: zu)?|à|till|til|eller|oder|ou|tot"
"""Between the two ends of a range."""

AND = r"und|dann|im|in|et|puis|pendant|e|poi|per|y|luego|durante|och|sedan|og|derefter|i|en|dan"
"""What stands between a setting of the oven and a time, or between two of them."""

AT = r"bei|auf|mit|à|au|aux|a|i|vid|ved|på|op"
"""Ahead of a setting of the oven, or of a place."""

BEHIND_MINUTES = rf"{AND}|{AT}|avant|après|de|du|dans|sur|sous|sans|jusqu"
"""What stands behind minutes that have no unit: ``1 h 30 de repos``."""

THEN = (
    r"dann|danach|und|puis|ensuite|et|poi|quindi|e|luego|después|y|sedan|och|så|derefter|og|dan|en"
)
ROLES: tuple[tuple[str, str, str], ...] = (
    ("then", rf"(?:^|[\s,;])(?:{THEN})\s+(?:ca\.?\s+|etwa\s+|environ\s+)?$", r""),
    ("further", r"\b(?:weitere|noch|encore|altri|altre|ytterligare|yderligere|otros)\s+$", r""),
    (
        "first",
        r"\b(?:nach|après|au bout de|dopo|efter|etter|después de|na)\s+(?:ca\.?\s+|etwa\s+)?$",
        r"",
    ),
    (
        "total",
        r"\b(?:insgesamt|au total|in totale|totalt|en total|in totaal)\s+(?:ca\.?\s+)?$",
        r"",
    ),
)
"""What a time is beside others, by the words ahead of it."""

PREHEAT = (
    r"vorheizen|vorgeheizt\w*|vorwärmen|préchauff\w+|preriscald\w+|förvärm\w*|sätt ugnen|"
    r"forvarm\w*|precalent\w+|voorverwarm\w*"
)
TURN = (
    r"reduzieren|reduziert|herunterschalten|senken|zurückschalten|baiss\w+|abbass\w+|sänk\w*|"
    r"skru\w* ned|bajar|dann|puis|poi|sedan|derefter|luego|fallend"
)
FALLING = r"fallend|abfallend|en baissant|calando|fallande|faldende|synkende|bajando|dalend"
"""What an oven does that is turned while something bakes."""

TURN_BEHIND = r"(?:reduzier\w*|herunter\w*|runter\w*|zurück\w*|senken|gesenkt|fallend)(?!\s+auf)"
"""What stands behind the setting that an oven is turned to."""

OVEN = (
    r"(?:back)?ofen|au four|le four|forno|ugn(?:en)?|ovn(?:en)?|horno|grader|grad\b|degrés|gradi|"
    r"grados|(?:an|aus|ab|ge)?backen|cui\w+|cuoc\w+|grädda\w*|baka|bages?|stek\w*|hornea\w*"
)
OVEN_KINDS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("umluft", "heißluft", "heissluft", "chaleur tournante"), "fan"),
        "ventilato": "fan",
        **dict.fromkeys(("varmluft", "con ventilador", "hetelucht", "forno ventilato"), "fan"),
        **dict.fromkeys(("ober-/unterhitze", "ober- und unterhitze", "o/u-hitze"), "conventional"),
        **dict.fromkeys(("ober/unterhitze", "ober-, unterhitze", "o-/u-hitze"), "conventional"),
        **dict.fromkeys(("chaleur statique", "statico", "forno statico"), "conventional"),
        **dict.fromkeys(("över-/undervärme", "över- och undervärme"), "conventional"),
        **dict.fromkeys(("over-/undervarme", "over- og undervarme"), "conventional"),
        **dict.fromkeys(("over-/undervarme", "calor arriba y abajo"), "conventional"),
        "boven- en onderwarmte": "conventional",
    }
)
OR = frozenset(("oder", "ou", "o", "eller", "of"))
OVEN_GLUE = (*OR, "bei", "mit", "con", "à", "a", "i", "med")

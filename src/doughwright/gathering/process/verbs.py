"""Which step of a process a time in a sentence belongs to, by the words around it."""

import re
from collections.abc import Iterator, Mapping
from types import MappingProxyType

from doughwright.gathering.process import elsewhere

_ANY_CASE = re.IGNORECASE

VERBS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("mix", "knead", "beat", "combine", "stir", "mixing", "kneading"), "mix"),
        **dict.fromkeys(("ferment", "rise", "bulk", "rising", "double", "doubled"), "ferment"),
        **dict.fromkeys(("fermentation", "risen", "ripe", "bubbly"), "ferment"),
        **dict.fromkeys(("ferments", "fermented", "fermenting", "rises"), "ferment"),
        **dict.fromkeys(
            ("proof", "proofs", "prove", "proves", "proofing", "proving", "proved"), "proof"
        ),
        **dict.fromkeys(("bake", "baking", "baked", "oven"), "bake"),
        **dict.fromkeys(("rest", "rests", "relax", "resting", "stand", "stands", "leave"), "rest"),
        **dict.fromkeys(("cool", "cooling"), "cool"),
        **dict.fromkeys(("retard", "chill", "refrigerate", "fridge", "cold"), "retard"),
        **dict.fromkeys(("soak", "soaking"), "soak"),
        **dict.fromkeys(("steam", "steaming"), "steam"),
        **dict.fromkeys(("cook", "simmer", "boil"), "cook"),
        **dict.fromkeys(("fold", "folds"), "fold"),
        **elsewhere.STEPS,
    }
)
"""Words by which a sentence tells of a step of a process."""

STEPS: Mapping[str, str] = MappingProxyType(
    {
        **VERBS,
        **dict.fromkeys(("mixed", "kneaded"), "mix"),
        **dict.fromkeys(("proofed", "proven"), "proof"),
        **dict.fromkeys(("ripen", "ripens"), "ferment"),
        **dict.fromkeys(("autolyse", "autolysis"), "rest"),
        **dict.fromkeys(("retarded", "retarding", "chilled", "chilling"), "retard"),
        **dict.fromkeys(("refrigerated", "refrigerator"), "retard"),
        **dict.fromkeys(("roast", "toast", "fry", "infuse"), "roast"),
        "bakes": "bake",
        "cools": "cool",
        "soaked": "soak",
        "folding": "fold",
        "preheat": "preheat",
    }
)
"""The same with words that only a time beside them makes one; steam, a fold and a roast are none
of ours, and take their times with them."""

_PLACES = frozenset({"oven", "fridge", "refrigerator", "cold"}) | elsewhere.FRIDGES
_PLACES |= {"kalt", "froid", "freddo"}
_SIGNS = frozenset({"double", "doubled", "risen", "ripe", "bubbly"})
_WAITS = frozenset({"leave", "leaving", "left", "stand", "stands", "standing", "sit", "sits"})
_WAITS |= {"aside", "wait", "keep"}
"""Words that say where, until when, or only that something waits: a real verb goes before them."""

_RISES = frozenset({"ferment", "proof", "rest", "retard", "soak", "cool"})

_NOT_A_STEP = re.compile(
    r"\b(?:from|out of) (?:the |your )?(?:fridge|refrigerator|oven|cold)\b|"
    r"\b(?:the )?rest of\b|"
    r"\b(?:beurre|lait|four|burro|latte) (?:froid|freddo)\b|"
    r"\bcold (?:water|milk|butter|oven|liquid|flour|eggs?|cream|cubes?|tap)\b|"
    r"\boven(?:[ -]?(?:light|mitts?|gloves?|rack|door|shelf|shelves|spring|proof))\b|"
    r"\b(?:turned-?off|switched-?off|unheated|warm) oven\b|\boven (?:with|turned off|off)\b|"
    r"\bready (?:to|for) \w+|\b(?:before|after|while|when|whilst|prior to) \w+(?:ing|ed)\b|"
    r"\bbefore (?:you )?(?:bake|prove|proof|shape)\b|"
    r"\b(?:before|after|during|since) (?:the )?(?:first |second |final )?"
    r"(?:rise|proof|prove|bake|bulk|mix)\b|"
    r"\bmixing bowl\b|\bbak(?:ing|er['’]?s?) (?:sheet|tray|tin|paper|parchment|stone|steel|"
    r"powder|soda|dish|pan|day)s?\b(?! of)|"
    r"\b(?:proving|proofing) (?:basket|drawer|box|bag)s?\b|\bcooling rack\b|"
    r"\b(?:stand|table) mixer\b|\bthe mix(?:ture)?\b|\bdutch oven\b|\bmicrowave oven\b|"
    r"\bpre-?heated\b|\bpast the (?:proof|rise)\b|"
    r"\bas (?:it|they) (?:rises?|bakes?|proves?|cools?)\b",
    _ANY_CASE,
)
HEATS = re.compile(
    r"\bpre-?heat(?:ing)?\b(?: (?:the |your |an )?oven)?|\bpre-?heated (?:to|at)\b|"
    r"\bset (?:the |your )?oven\b|\bheat(?:ing)? (?:up )?(?:the |your |an? )oven\b|"
    r"\b(?:turn|switch) on (?:the |your )?oven\b|\b(?:turn|switch) (?:the |your )?oven on\b|"
    rf"\bheat oven\b|\boven (?:is|has) (?:heated|preheated)\b|\b(?:{elsewhere.PREHEAT})\b",
    _ANY_CASE,
)
"""Words that heat the oven, and bake nothing."""

_BAKED_HOT = re.compile(
    r"(\bbak(?:e|ing)\b[^.;]{0,60}?)\b(?:pre-?heated|heated) (?:to|at)\b", _ANY_CASE
)
"""Where the oven that something is baked in is said to be hot: no time is that of heating it."""
_CLAUSE = re.compile(r"[,;:.()]|\b(?:then|and|und|et|och|og|while|meanwhile|but)\b", _ANY_CASE)
_BEHIND_ENDS = re.compile(
    r"[;:.()]|,(?!\s*(?:or\s+)?(?:until|till?|to)\b)|"
    r"\b(?:then|and|before|while|meanwhile|once)\b|"
    r"\bor (?:else |instead )?(?:chill|refrigerate|retard|put|place|let|leave)\b",
    _ANY_CASE,
)
_WARMS_UP = re.compile(
    r"\b(?:bring|bringing|come|warm)\b[\w\s]{0,20}(?:room temperature|\bup\b)", _ANY_CASE
)
_OVEN_TOLD = re.compile(
    r"\d{3}\s*(?:°|º|deg\w*)?\s*[CF]\b|\bgas (?:mark )?[1-9]|"
    r"\d{3}\s*(?:°|º|degrees|grad|degrés|gradi)|"
    r"\b(?:at|to) \d{3}\b(?!\s*(?:g|ml|kg|rpm|m|%)\b)",
    _ANY_CASE,
)
_BREAD = re.compile(r"\b(?:oven|bread|loaf|loaves|rolls?|buns?|baking|crust)\b", _ANY_CASE)


def verb_of(sentence: str, ahead: str, behind: str, before: str) -> str:
    """The step a time is of; empty where nothing says.

    ``ahead`` is what the sentence says between the time before it and this one, ``behind`` what
    it says up to the next one, ``before`` the step of the time before it.

    >>> verb_of("", "Cover and leave in a warm place for ", ", or until doubled.", "")
    'ferment'
    >>> verb_of("", "Prove in an oven with the light on for ", ".", "mix")
    'proof'
    >>> verb_of("", "Knead, ", " rest, ", "mix")
    'rest'
    """
    verb = _right_behind(ahead, behind) or _ahead(ahead)
    if not verb or verb in _WAITS:
        verb = _behind(behind) or verb or before or _first(behind)
    if not verb and _OVEN_TOLD.search(sentence):
        verb = "bake"
    verb = "rest" if verb in _WAITS else verb
    if verb == "steam" and ("bake" in (_kinds(ahead), before) or "bake" in set(_all(ahead))):
        return "bake"
    is_bread = _OVEN_TOLD.search(sentence) or _BREAD.search(sentence)
    return "bake" if verb == "cook" and is_bread else verb


def _right_behind(ahead: str, behind: str) -> str:
    """The step that stands right behind a time whose own clause names none: ``30 min rest``."""
    if steps_named(_CLAUSE.split(_plain(ahead))[-1]):
        return ""
    word = re.match(r"[^\S\n]*(?:of )?([^\W\d_]+)", _plain(behind))
    is_real = word is not None and word[1] not in _PLACES | _SIGNS | _WAITS
    return STEPS.get(word[1], "") if word and is_real else ""


def steps_named(words: str) -> list[str]:
    """The words of steps in a text, in its order.

    >>> steps_named("Take it out of the fridge, add the rest of the flour and knead")
    ['knead']
    """
    return [w for w in re.findall(r"[^\W\d_]+", _plain(words)) if w in STEPS or w in _WAITS]


def _plain(words: str) -> str:
    """Words without those that only sound like a step."""
    told = _WARMS_UP.sub(" leave ", HEATS.sub(" preheat ", _BAKED_HOT.sub(r"\1", words)))
    return _NOT_A_STEP.sub(" ", told).casefold()


def _all(words: str) -> Iterator[str]:
    return (STEPS.get(word, "") for word in steps_named(words))


def _kinds(words: str) -> str:
    return next(iter(reversed(list(_all(words)))), "")


def _ahead(words: str) -> str:
    """The verb of the nearest clause ahead; a place, a sign or a wait if there is no more.

    "Prove until doubled," is a proof, "mix, and leave until doubled," is no mixing.
    """
    weak = ""
    for clause in reversed(_CLAUSE.split(_plain(words))):
        for word in reversed(steps_named(clause)):
            if word in _PLACES | _SIGNS:
                weak = weak if weak and weak not in _WAITS else word
            elif word in _WAITS:
                weak = weak or word
            else:
                return _of_both(STEPS[word], weak)
    return weak if weak in _WAITS else STEPS.get(weak, "")


def _of_both(verb: str, weak: str) -> str:
    """The step of a verb with a place, a sign or a wait behind it."""
    if not weak:
        return verb
    if weak in _WAITS:
        return verb if verb in _RISES - {"cool"} else weak
    meant = STEPS[weak]
    if weak in _SIGNS:
        return verb if verb in ("ferment", "proof", "rest", "retard") else meant
    if meant == "bake":
        return verb if verb in ("ferment", "proof", "preheat", "cool", "roast") else meant
    return "retard" if verb not in ("soak", "roast", "bake") else meant


def _behind(words: str) -> str:
    """The verb of the clause behind: ``1 hour to rise``, ``overnight in the fridge``."""
    named = steps_named(_BEHIND_ENDS.split(words)[0])
    real = [word for word in named if word not in _PLACES | _SIGNS | _WAITS]
    told = [word for word in named if word not in _WAITS]
    return STEPS[(real or told)[0]] if real or told else ""


def _first(words: str) -> str:
    return next((verb for verb in _all(words) if verb), "")

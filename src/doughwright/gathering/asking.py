"""What is asked of a recipe, with what it is drafted: the settings said and the answers so far."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from doughwright.errors import Notice
from doughwright.gathering.gathered import Choice, Doubt, Item, Settings
from doughwright.gathering.weighing.measures import SYSTEMS
from doughwright.gathering.weighing.unsettled import Told

SYSTEM = "system"
SHARED: Mapping[str, str] = {
    SYSTEM: "system",
    "country": "country",
    "egg size": "egg",
    "point": "point",
    "comma": "comma",
}
"""Questions with one answer for the whole recipe, and the setting each of them is."""

ALLOWED: Mapping[str, tuple[str, ...]] = {
    SYSTEM: tuple(SYSTEMS),
    "country": ("US", "EU", "UK"),
    "egg size": ("small", "medium", "large", "extra large", "jumbo"),
    **dict.fromkeys(("point", "comma"), ("thousand", "decimal")),
}
"""Answers that every question about these takes, whatever its own line offers."""

Moves = tuple[tuple[float, ...], ...]
"""Water, salt and flour that each choice of a doubt brings, in kg or as a share of the flour."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A doubt, and what its choices bring; None where it blocks or not whatever they bring."""

    doubt: Doubt
    moves: Moves | None = None


@dataclass(frozen=True, slots=True)
class Asking:
    """What a line is drafted with: the settings said, and the answers so far."""

    settings: Settings
    answers: Mapping[str, str]

    @property
    def settled(self) -> Settings:
        """The settings with what was answered for the whole recipe."""
        said = {name: self.answers[key] for key, name in SHARED.items() if key in self.answers}
        for name in (SYSTEM, "point", "comma"):
            if said.get(name) not in ALLOWED[name]:
                said.pop(name, None)
        return replace(self.settings, **said)

    def told(self, key: str) -> Told:
        """The answers to a line's own questions, by what each is about."""
        parts = ((given.rpartition(":"), answer) for given, answer in self.answers.items())
        return tuple((about, answer) for (line, _, about), answer in parts if line == key)


def words_of(item: Item) -> str:
    """All the words of a line but its amount: what it is called tells whose packs and eggs."""
    return f"{item.name} {item.note}".strip()


def key_of(item: Item, more: str = "") -> str:
    """What the keys of an ingredient's doubts begin with: its line and its name.

    >>> from doughwright.gathering.gathered import Origin
    >>> key_of(Item("milk", None, Origin("pasted text", 3, "milk")))
    '3:milk'
    """
    name = " ".join(item.name.casefold().replace(":", " ").replace("=", " ").split())
    return f"{item.origin.line}:{name or 'line'}{more}"


def doubt_of(
    key: str, notice: Notice, choices: tuple[Choice, ...], asking: Asking, *, blocks: bool
) -> Doubt:
    """A doubt with its answer, where one was given that it offers."""
    given = asking.answers.get(key, "")
    answer = given if any(choice.key == given for choice in choices) else ""
    return Doubt(key, notice, choices, answer, blocks)

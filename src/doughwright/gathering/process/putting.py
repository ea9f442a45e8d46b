"""Where a method puts a filling, a topping or a glaze into or onto the pieces."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.engine.ingredients import ingredient_table
from doughwright.gathering.drafted import DraftPreparation, DraftStep, StepVerb
from doughwright.gathering.gathered import Origin
from doughwright.gathering.lines.numerals import plain
from doughwright.gathering.process import elsewhere
from doughwright.gathering.process.lengths import sentences_of
from doughwright.gathering.process.naming import name_in
from doughwright.gathering.process.waiting import Place

_ANY_CASE = re.IGNORECASE
PUTS_ON: Mapping[str, StepVerb] = MappingProxyType(
    {"filling": "fill", "topping": "top", "glaze": "glaze"}
)
"""The step that puts on a part of each kind."""

_PUTS = re.compile(
    r"(?<!the )(?<!the egg )\b(?:fill(?:ed)?|spread|scatter|sprinkle|place|put|spoon|dot"
    r"|brush(?:ed)?|glaze|drizzle|ice|pour|top|dust|coat|divide|add|pipe"
    rf"|{elsewhere.PUTS})\b",
    _ANY_CASE,
)
"""Words ahead of what they put into or onto a bread."""

_PUT_ON = re.compile(rf"\b(?:{elsewhere.PUTS_BEHIND})\b", _ANY_CASE)
"""The same behind it."""

_MAKES = re.compile(
    r"\b(?:make|mix|stir|whisk|prepare|combine|for) (?:together )?(?:the )?$", _ANY_CASE
)
"""Before a name: it is made, and goes nowhere yet."""

_HEADS = ("filling", "topping", "glaze", "icing", "wash", "egg wash", "syrup", "streusel")


@dataclass(slots=True)
class Puts:
    """What a method puts on, in its order, as far as it is not given out yet."""

    waiting: list[tuple[Place, DraftStep]]

    def before(self, place: Place) -> Iterator[DraftStep]:
        """The steps that stand before a place of the method, each given once."""
        while self.waiting and self.waiting[0][0] < place:
            yield self.waiting.pop(0)[1]


def puts_in(parts: Sequence[DraftPreparation], method: Sequence[Origin]) -> Puts:
    """Where each filling, topping and glaze that a method names is put into or onto the bread."""
    kinds = [part.kind for part in parts]
    found = []
    for part in parts:
        if part.kind not in PUTS_ON or not part.lines:
            continue
        heads = tuple(word for word in _HEADS if part.name.casefold().endswith(word))
        alone = (part.kind,) if kinds.count(part.kind) == 1 else ()
        eggs = tuple(_egg_words(part)) if part.kind == "glaze" else ()
        called = (part.name, *heads[:1], *alone, *eggs)
        step = _first(PUTS_ON[part.kind], part.name, called, method)
        found += [step] if step else []
    return Puts(sorted(found, key=lambda one: one[0]))


def _egg_words(part: DraftPreparation) -> Iterator[str]:
    """What a wash may be called by: the egg or yolk it is made of."""
    for line in part.lines:
        row = ingredient_table().get(line.table)
        if row is not None and row.kind == "egg":
            yield from (line.table.split()[-1], f"{line.table.split()[-1]}s", line.name)


def _first(
    verb: StepVerb, name: str, called: Sequence[str], method: Sequence[Origin]
) -> tuple[Place, DraftStep] | None:
    names = re.compile("|".join(name_in(word) for word in dict.fromkeys(called)), _ANY_CASE)
    for at, line in enumerate(method):
        for start, sentence in sentences_of(plain(line.text)):
            for told in names.finditer(sentence):
                ahead = sentence[: told.start()]
                nearest = list(_PUTS.finditer(ahead))[-1:]
                puts = nearest[0] if nearest else _PUT_ON.search(sentence, told.end())
                if puts and not _MAKES.search(ahead):
                    place = at, start + min(puts.start(), told.start())
                    words = line.text[start : start + len(sentence)].strip(" ;")
                    return place, DraftStep(verb, name, origin=line, words=words)
    return None

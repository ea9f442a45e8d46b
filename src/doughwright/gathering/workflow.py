"""The steps of a process, as far as a method tells of them by its times and its oven."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import get_args

from doughwright.documents.quantities import written
from doughwright.documents.scalars import LONGEST_TIME
from doughwright.gathering.drafted import DraftPreparation, DraftStep, StepVerb
from doughwright.gathering.gathered import Gathered, OvenRead, TimeRead

COOKED = ("scald", "tangzhong", "yudane", "paste", "roux", "porridge", "custard")
"""What is put together over heat."""

RISING: tuple[StepVerb, ...] = ("ferment", "rest", "retard")
_DIVIDED = re.compile(r"\bdivid|\bscale (?:at|to|into)|\bcut into\b", re.IGNORECASE)
_OF_THE_DOUGH = re.compile(r"\b(?:knead|bulk|dough|divid|shap|pro[ov]+[ei]|bak)", re.IGNORECASE)
"""Words of what is done to the dough that is baked."""
_SHAPED = re.compile(r"\bshap(?:e|ed|ing)\b|\bform into\b|\broll into\b", re.IGNORECASE)


def steps_of(gathered: Gathered, parts: Sequence[DraftPreparation]) -> Iterator[DraftStep]:
    """The steps in the order of work; none where no time and no oven was found."""
    main = next((part.name for part in reversed(parts) if part.kind == "dough"), None)
    if main is None or not (gathered.times or gathered.ovens):
        return
    times = [time for time in gathered.times if time.high <= LONGEST_TIME]
    about = [(time, _part_of(time, parts) or main) for time in times]
    for part in sorted(parts, key=lambda part: part.name == main):
        own = [time for time, name in about if name == part.name]
        if part.kind in ("preferment", "soaker"):
            yield from _before(part, own)
    yield from _dough(main, gathered, [time for time, name in about if name == main])


def _part_of(time: TimeRead, parts: Sequence[DraftPreparation]) -> str:
    """The part a time is of: named in its sentence, else ahead of it unless work on the dough is.

    "Mix the sponge. Leave for 30 minutes. Knead for 10 minutes." names the sponge for two.
    """
    named = part_named(time.sentence, parts)
    if named or _OF_THE_DOUGH.search(f"{time.before} {time.sentence}"):
        return named
    return part_named(time.before, parts)


def part_named(words: str, parts: Iterable[DraftPreparation]) -> str:
    """The part a sentence is about, by the longest name in it; empty where it names none."""
    plain = words.casefold()
    named = (
        part.name
        for part in parts
        if re.search(rf"(?<!\w){re.escape(part.name.casefold())}(?!\w)", plain)
    )
    return max(named, key=len, default="")


def _before(part: DraftPreparation, times: Sequence[TimeRead]) -> Iterator[DraftStep]:
    """A preferment or a soaker is put together, and it waits."""
    is_cooked = any(word in part.name.casefold() for word in COOKED)
    soaked: StepVerb = "cook" if is_cooked else "soak"
    begin: StepVerb = soaked if part.kind == "soaker" else "mix"
    yield _first(begin, part.name, times)
    yield from (_timed(time, part.name) for time in times if begin == "mix" and time.verb in RISING)


def _dough(main: str, gathered: Gathered, times: Sequence[TimeRead]) -> Iterator[DraftStep]:
    """The dough is mixed, rises, is divided, shaped, proofed and baked."""
    told = {
        verb: next((line.line for line in gathered.method if words.search(line.text)), None)
        for verb, words in (("divide", _DIVIDED), ("shape", _SHAPED))
    }
    divided = told["divide"]
    times = _bulk_first([_proofed(time, told["shape"]) for time in times])
    yield _first("mix", main, times)
    late = [t for t in times if t.verb == "rest" and divided and t.origin.line > divided]
    yield from (_timed(t, main) for t in times if t.verb in RISING and t not in late)
    if divided is not None:
        yield DraftStep("divide", main)
    yield from (_timed(t, main) for t in late)
    if told["shape"] is not None:
        yield DraftStep("shape", main)
    yield from (_timed(t, main) for t in times if t.verb == "proof")
    yield from _baked(main, gathered, times)


def _proofed(time: TimeRead, shaped: int | None) -> TimeRead:
    """A rise that is told of after the shaping is the proof."""
    if time.verb != "ferment" or shaped is None or time.origin.line < shaped:
        return time
    behind = time.origin.line > shaped or _SHAPED.search(time.before)
    return replace(time, verb="proof") if behind or _SHAPED.match(time.sentence) else time


def _bulk_first(times: Sequence[TimeRead]) -> list[TimeRead]:
    """The same, where a dough that proves twice ferments first: many say prove for both."""
    proofs = [time for time in times if time.verb == "proof"]
    if len(proofs) < 2 or any(time.verb == "ferment" for time in times):
        return list(times)
    return [replace(time, verb="ferment") if time is proofs[0] else time for time in times]


def _baked(main: str, gathered: Gathered, times: Sequence[TimeRead]) -> Iterator[DraftStep]:
    """It goes into the oven that was found first, a temperature before a mark."""
    oven = next((oven for oven in gathered.ovens if oven.temperature), None)
    oven = oven or next(iter(gathered.ovens), None)
    oven = None if _is_turned(gathered.ovens) else oven  # which of them holds is the baker's to say
    step = _first("bake", main, times)
    bakes = [t for t in times if t.verb == "bake" and t.origin == step.origin]
    if len(bakes) > 1:  # ten minutes, then ten to twelve
        whole = sum(bake.low for bake in bakes), sum(bake.high for bake in bakes)
        step = replace(step, time=whole)
    if oven is not None:
        yield DraftStep("bake", main, step.time, oven_words(oven), oven.origin)
    elif step.time:
        yield step
    yield from (_timed(time, main) for time in times[-1:] if time.verb == "cool")


SAME_SETTING = 12.0
"""Settings of one kind of oven so near, in K, are one: ``400 °F/200 °C`` (assumption)."""


def _is_turned(ovens: Iterable[OvenRead]) -> bool:
    """Whether several settings are told of one kind of oven: one alone would burn the bread."""
    by_kind: dict[str, list[float]] = {}
    for oven in ovens:
        if oven.temperature:
            by_kind.setdefault(oven.kind, []).append(oven.temperature)
    return any(max(told) - min(told) > SAME_SETTING for told in by_kind.values())


def _first(verb: StepVerb, name: str, times: Sequence[TimeRead]) -> DraftStep:
    """A step with the first time that was found for it."""
    time = next((time for time in times if time.verb == verb), None)
    return DraftStep(verb, name) if time is None else _timed(time, name)


def _timed(time: TimeRead, name: str) -> DraftStep:
    verb = next(verb for verb in get_args(StepVerb) if verb == time.verb)
    return DraftStep(verb, name, (time.low, time.high), "", time.origin)


def oven_words(oven: OvenRead) -> str:
    """An oven's setting as a formula says it.

    >>> from doughwright.gathering.gathered import Origin
    >>> oven_words(OvenRead(Origin("a card", 1, "180°C fan"), 453.15, "fan"))
    '180 °C fan'
    """
    if oven.temperature is None:
        return f"gas mark {oven.mark}"
    high = oven.high or oven.temperature
    low = (
        f"{written(oven.temperature, oven.unit).partition(' ')[0]}–"
        if high > oven.temperature
        else ""
    )
    return f"{low}{written(high, oven.unit)} {oven.kind}".strip()

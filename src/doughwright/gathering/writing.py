"""A draft as the text of a formula: where each number comes from, and what is still asked."""

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from doughwright.documents.names import plain_name
from doughwright.documents.nodes import ODD_SIGN
from doughwright.documents.reading import DRAFT
from doughwright.gathering.drafted import Draft, DraftLine, DraftPreparation, DraftStep, line_of
from doughwright.gathering.gathered import Doubt, Origin
from doughwright.gathering.process.putting import PUTS_ON
from doughwright.gathering.process.workflow import without_step
from doughwright.gathering.telling import grams, number, time_words, weight_as_written

_PLAIN = re.compile(r"[^\W\d_](?:[\w '’%/-]*[\w%])?")
_BREAKS = re.compile("[\\s\x85\u2028\u2029\ufeff\ufffe\uffff]+")
NOTED = frozenset({"ferment", "proof", "bake"})
"""Steps whose time is what their author saw: the dough or the crust decides, and no clock."""

YAML_WORDS = frozenset({"yes", "no", "on", "off", "true", "false", "null", "y", "n"})


def formula_text(draft: Draft) -> str:
    """The draft as a formula document, which our reader takes once nothing blocks.

    Nothing of the source is left out: what is no number of the formula stands as a comment.
    """
    return "\n".join([*_head(draft), *_preparations(draft), *_process(draft), *_rest(draft)]) + "\n"


# --- The head -------------------------------------------------------------------------------------


def _head(draft: Draft) -> Iterator[str]:
    yield f"# Gathered from {_comment(draft.gathered.source)}"
    keys = {line.key for part in draft.preparations for line in part.lines}
    yield from (_asked(doubt) for doubt in draft.open_doubts if line_of(doubt) not in keys)
    count = sum(doubt.blocks for doubt in draft.open_doubts)
    asks = f"{count} {'question' if count == 1 else 'questions'} must be answered first"
    yield f"doughwright: {DRAFT}  # {asks}" if count else "doughwright: formula/1"
    yield f"name: {_scalar(_name(draft))}"
    if re.fullmatch("(?!EU|eu)[A-Za-z]{2}", draft.settings.country):
        yield f"place: {draft.settings.country.upper()}"
    yield from _yield(draft)
    lines = [line for part in draft.preparations for line in _own(draft, part)]
    own = {plain_name(line.name): line.name for line in reversed(lines)}
    if own:
        yield "ingredients:"
        yield from (
            f"  {_key(name)}: {{kind: other}}  # counts by weight only" for name in own.values()
        )


def _name(draft: Draft) -> str:
    title = _comment(draft.gathered.title)
    return title if any(c.isalnum() for c in title) else "Gathered bread"


def _own(draft: Draft, part: DraftPreparation) -> Iterator[DraftLine]:
    """Lines the ingredient table does not know."""
    return (line for line in part.lines if not line.table and _is_written(draft, line))


def _yield(draft: Draft) -> Iterator[str]:
    """How many pieces; what one weighs only where the lines do not say how much there is."""
    told = dict.fromkeys(made.origin.text for made in draft.gathered.made)
    yield from (f"# makes: {_comment(text)}" for text in told)
    lines = [line for part in draft.preparations for line in part.lines]
    is_weighed = any(line.mass for line in lines)
    dough = next((made.dough for made in draft.gathered.made if made.dough), None)
    counted = (m for m in draft.gathered.made if m.pieces and m.pieces[0] > 0)
    first = next(counted, None)
    if first is None or first.pieces is None or first.pieces[0] != first.pieces[1]:
        if dough and not is_weighed:
            yield f"yield: {{dough: {dough.best:g} {dough.unit}}}"
        return
    piece = next((m.piece for m in draft.gathered.made if m.piece), None)
    if is_weighed:
        yield f"yield: {{pieces: {first.pieces[0]}}}"
    elif piece:
        yield f"yield: {{pieces: {first.pieces[0]}, piece: {piece.best:g} {piece.unit}}}"
    elif dough:
        yield f"yield: {{dough: {dough.best:g} {dough.unit}}}"


# --- Preparations ---------------------------------------------------------------------------------


def _preparations(draft: Draft) -> Iterator[str]:
    yield "preparations:"
    written = [part for part in draft.preparations if _is_filled(draft, part)]
    names = {part.name for part in written}
    for part in draft.preparations:
        if part in written:
            yield from _preparation(draft, part, names)
        else:
            yield f"  # {_comment(part.name)}: {_from(part.origin).removeprefix('# ')}".rstrip()
            yield from (f"  # {_from(origin).removeprefix('# ')}" for origin in part.named)
            yield from (f"  # {line.lstrip(' #')}" for line in _lines(draft, part))


def _is_filled(draft: Draft, part: DraftPreparation) -> bool:
    return bool(part.takes) or any(_is_written(draft, line) for line in part.lines)


def _preparation(draft: Draft, part: DraftPreparation, names: set[str]) -> Iterator[str]:
    heading = f"  {_from(part.origin)}" if part.origin else ""
    yield f"  {_key(part.name)}:{heading}"
    yield f"    kind: {part.kind}"
    if part.style:
        yield f"    style: {_scalar(part.style)}"
    weighed = dict(part.weighed)
    takes = [
        f"{_key(n)}: {weight_as_written(weighed[n]) if n in weighed else '{}'}"
        for n in part.takes
        if n in names
    ]
    if takes:
        yield f"    from: {{{', '.join(takes)}}}"
    yield from (f"    {_from(origin)}" for origin in part.named)
    if any(_is_written(draft, line) for line in part.lines):
        yield "    ingredients:"
    yield from _lines(draft, part)


def _lines(draft: Draft, part: DraftPreparation) -> Iterator[str]:
    """The lines of a part; what is asked of each, and what weighs nothing, as comments."""
    for line in part.lines:
        asked = draft.open_by_line.get(line.key, ())
        if _is_written(draft, line):
            yield f"      {_key(line.name)}: {_amount(line)}  {_from(line.origin, line.how)}"
        else:
            yield f"      # {line.name}: {_from(line.origin).removeprefix('# ')}"
        yield from (f"      {_asked(doubt)}" for doubt in asked)
    yield from (f"      # not weighed: {_comment(origin.text)}" for origin in part.left)


def _is_written(draft: Draft, line: DraftLine) -> bool:
    """Whether a line has its amount, and nothing that blocks is open about it."""
    blocked = line.key in draft.blocked_lines
    return not blocked and (line.mass is not None or line.share is not None)


def _amount(line: DraftLine) -> str:
    body = _share(line) if line.share is not None else line_weight(line)
    more = [f"hydration: {number(100 * line.hydration)} %"] if line.hydration is not None else []
    more += ["flour: yes"] if line.flour else []
    return f"{{{', '.join([f'amount: {body}', *more])}}}" if more else body


def _share(line: DraftLine) -> str:
    if line.ends:
        return f"{number(100 * line.ends[0])}–{number(100 * line.ends[1])} %"
    return f"{number(100 * (line.share or 0.0))} %"


def line_weight(line: DraftLine) -> str:
    """A line's weight as its formula has it, with both ends where its author wrote a range."""
    assert line.mass is not None, "a line without a weight is not written"
    shown = grams if line.how else weight_as_written
    if line.ends:
        return f"{shown(line.ends[0]).removesuffix(' g')}–{shown(line.ends[1])}"
    return shown(line.mass[1])


# --- The process, and what is left ----------------------------------------------------------------


def _process(draft: Draft) -> Iterator[str]:
    if draft.steps:
        yield "process:"
        names = {part.name for part in draft.preparations if _is_filled(draft, part)}
        for step in draft.steps:
            yield from _step(step) if step.of in names else (f"# step: {step.verb} {step.of}",)
    for time in without_step(draft.gathered.times, draft.steps):
        found = _from(replace(time.origin, text=time.sentence.strip(" ;")), time.how)
        yield f"# no step: {time_words(time.low, time.high)}: {found.removeprefix('# ')}"
    put = {step.of for step in draft.steps}
    for part in draft.preparations if draft.steps else ():
        if part.kind in PUTS_ON and part.name not in put and _is_filled(draft, part):
            yield f"# no step: {_comment(part.name)}: where it goes in or on is not said"
    yield from (f"# method: {_comment(line.text)}" for line in draft.gathered.method)


def _step(step: DraftStep) -> Iterator[str]:
    origin = replace(step.origin, text=step.words or step.origin.text) if step.origin else None
    found = f"  {_from(origin, step.how)}" if origin else ""
    yield f"  - {step.verb}: {_key(step.of)}{found}"
    keys = (("at", step.at), ("until", step.until), ("oven", step.oven), ("then", step.then))
    yield from (f"    {key}: {words}" for key, words in keys if words)
    if step.time:
        is_noted = step.verb in NOTED or step.until
        yield f"    {'took' if is_noted else 'for'}: {time_words(*step.time)}"
    yield from (f"    # {_comment(words)}" for words in step.beside)


def _rest(draft: Draft) -> Iterator[str]:
    """Sums, headings without lines, notes, and what was not understood."""
    gathered = draft.gathered
    read = [one for s in gathered.sections for one in (s, s.whole) if one is not None]
    sums = dict.fromkeys(origin for section in read for *_, origin in section.sums)
    told = {part.origin for part in draft.preparations}
    heads = [s.origin for s in gathered.sections if s.origin and s.origin not in told]
    kinds: tuple[tuple[str, Iterable[Origin]], ...] = (
        ("sum", sums),
        ("heading", heads),
        ("beside", gathered.other),
        ("not read", gathered.unread),
    )
    yield from (f"# {kind}: {_comment(o.text)}" for kind, origins in kinds for o in origins)


# --- Words ----------------------------------------------------------------------------------------


def _from(origin: Origin | None, how: str = "") -> str:
    """Where a number was read, and how it was worked out."""
    if origin is None:
        return ""
    worked = f"; {_comment(how)}" if how else ""
    return f"# line {origin.line}: {_comment(origin.text)}{worked}"


def _asked(doubt: Doubt) -> str:
    choices = (
        f", one of: {' | '.join(choice.key for choice in doubt.choices)}" if doubt.choices else ""
    )
    return f"# asked: {_comment(doubt.key + choices)}"


def _comment(words: str) -> str:
    return _BREAKS.sub(" ", ODD_SIGN.sub(" ", words)).strip()


def _key(name: str) -> str:
    return _scalar(_comment(name))


def _scalar(words: str) -> str:
    """Words as YAML takes them, in quotes where it would read something else."""
    if _PLAIN.fullmatch(words) and words.casefold() not in YAML_WORDS:
        return words
    return json.dumps(words, ensure_ascii=False)

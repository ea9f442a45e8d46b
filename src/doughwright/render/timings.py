"""The sentences of a plan about time: what to do when, until what, how the dough rises."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from types import MappingProxyType

from doughwright.render.numbers import (
    clock,
    duration,
    duration_band,
    given_temperature,
    mass,
    rough_duration,
    temperature,
)
from doughwright.sheets.cells import Cell
from doughwright.sheets.ovens import OvenCell
from doughwright.sheets.rises import RiseRow, RiseSheet
from doughwright.sheets.timeline import PUT_ON, Timeline, TimelineRow
from doughwright.units import Second

DO: Mapping[str, str] = MappingProxyType(
    {
        "mix": "Mix the {of}",
        "ferment": "Let the {of} rise",
        "fold": "Fold the {of}",
        "punch": "Knock the {of} back",
        "divide": "Divide the {of}",
        "pre-shape": "Pre-shape the {of}",
        "rest": "Rest the {of}",
        "shape": "Shape the {of}",
        "proof": "Proof the {of}",
        "retard": "Keep the {of} cold",
        "fill": "Fill {each}with {of}",
        "glaze": "Brush {each}with {of}",
        "top": "Top {each}with {of}",
        "make": "Make the {of}",
        "cook": "Cook the {of}",
        "soak": "Soak the {of}",
        "preheat": "Heat the {of}",
        "bake": "Bake the {of}",
        "cool": "Cool the {of}",
    }
)
"""What each verb of a process asks for."""

PREFERMENT_CUES: Mapping[str, str] = MappingProxyType(
    {
        "ripe": "full of bubbles, domed, just about to sink in the middle",
        "double": "twice its size",
    }
)
DOUGH_CUES: Mapping[str, str] = MappingProxyType(
    {"ripe": "airy and well risen", "double": "twice its size"}
)
DEFAULT_CUES: Mapping[str, str] = MappingProxyType(
    {
        "proof": "a floured fingertip leaves a dent that fills slowly",
        "rest": "relaxed and no longer springing back",
        "soak": "all the water is taken up",
    }
)


def instruction(row: TimelineRow) -> str:
    """What to do in a step, as one sentence.

    Ends without its cue, which :func:`until` gives.
    """
    parts = [_doing(row)]
    if row.by:
        parts.append(f"by {row.by}" if row.by == "hand" else f"in the {row.by}")
    if row.oven is not None:
        parts.append(f"{'to' if row.verb == 'preheat' else 'at'} {oven(row.oven)}")
    if row.written is not None and row.verb == "bake":
        parts.append(f"({oven(row.written)} in the formula{_why_so_set(row)})")
    if row.steam:
        parts.append("with steam")
    if row.then is not None:
        parts[-1] += ","
        parts.append(f"then at {oven(row.then)}")
    if row.place is not None and row.place.value is not None:
        parts.append(f"at {given_temperature(row.place.value)}")
    return " ".join(parts) + "."


def _doing(row: TimelineRow) -> str:
    """The verb with what it is done to: the dough, or by then the pieces; what goes on each."""
    if row.each is not None and row.each.value:
        piece = "it" if row.pieces == 1 else "each"
        put = f"{mass(row.each.value)} of the {row.of}"
        return DO[row.verb].format(each=f"{piece} ", of=put)
    if row.verb in PUT_ON:
        return DO[row.verb].format(each="", of=f"the {row.of}")
    parted = "piece" if row.pieces == 1 else "pieces"
    return DO[row.verb].format(of=row.of if row.pieces is None else parted)


OVEN_HERE: Mapping[str, str] = MappingProxyType(
    {"fan": "has a fan", "conventional": "has no fan", "gas": "burns gas"}
)


def _why_so_set(row: TimelineRow) -> str:
    """Why this kitchen's oven is set to something else than the formula's."""
    reasons = []
    if row.oven is not None and row.written is not None and row.oven.kind != row.written.kind:
        reasons.append(OVEN_HERE[row.oven.kind])
    if row.oven_off is not None and row.oven_off.value:
        off = row.oven_off.value
        reasons.append(f"is {abs(off):.0f} °C {'hotter' if off > 0 else 'cooler'} than its dial")
    return f": this oven {' and '.join(reasons)}" if reasons else ""


def oven(cell: OvenCell) -> str:
    """An oven's dial in °C with its kind, or the gas mark."""
    if cell.temperature is None or cell.temperature.value is None:
        return f"gas mark {cell.mark}"
    return f"{temperature(cell.temperature.value)} {cell.kind}".strip()


def until(row: TimelineRow, *, preferment: bool = False) -> str:
    """What to look for: the author's cue first, else the trade's, with the size or core."""
    looks = row.cue or _size_cue(row.until, preferment=preferment) or DEFAULT_CUES.get(row.verb, "")
    if row.core is not None and row.core.value is not None:
        core = f"core {temperature(row.core.value)}"
        looks = f"{core}; {looks}" if looks else core
    if row.temperature is not None and row.temperature.value is not None:
        comes = f"comes out at about {temperature(row.temperature.value)}"
        looks = f"{comes}; {looks}" if looks else comes
    return looks


def _size_cue(word: str, *, preferment: bool) -> str:
    if word.endswith("x"):
        return f"{word[:-1]} times its size"
    return (PREFERMENT_CUES if preferment else DOUGH_CUES).get(word, "")


WHOSE_TIME: Mapping[str, str] = MappingProxyType(
    {
        "tested": "where it was tested",
        "anchored": "(tested time, moved here)",
        "moved": "(tested time, moved by temperature)",
        "model": "(by the model alone)",
    }
)
"""Where a time is from, when it is neither stated nor usual."""


def lasting(row: TimelineRow) -> str:
    """How long a step takes, and by whose word when it is not this kitchen's."""
    said = duration_band(row.lasts)
    whose = WHOSE_TIME.get(row.lasts.kind, "")
    return f"{said} {whose}" if whose and row.lasts.value is not None else said


def total(cell: Cell) -> str:
    """The whole time as a range."""
    return duration_band(cell) if cell.value is not None else duration(0)


def look_for(row: TimelineRow, *, preferment: bool = False) -> str:
    """What :func:`until` gives, as it follows the time a step takes."""
    looks = until(row, preferment=preferment)
    waits = bool(looks) and not row.hands_on and row.core is None
    return f"until {looks}" if waits else looks


def day(first: datetime | None, at: datetime | None) -> str:
    """The day of a clock time, counted from the first; nothing on the first day.

    >>> day(datetime(2026, 3, 1, 21, 0), datetime(2026, 3, 2, 7, 30))
    'the next day'
    """
    days = (at.date() - first.date()).days if first is not None and at is not None else 0
    return "" if days == 0 else "the next day" if days == 1 else f"{days} days later"


def elapsed(seconds: Second) -> str:
    """Hours and minutes since the first step.

    >>> elapsed(5400.0)
    '1:30'
    """
    hours, minutes = divmod(round(seconds / 60), 60)
    return f"{hours}:{minutes:02d}"


def time_of(seconds: Second, starts: datetime | None) -> str:
    """A moment on the plan's clock, or the time since the first step.

    >>> time_of(5400.0, datetime(2026, 3, 1, 9, 0)), time_of(5400.0, None)
    ('10:30', '1:30')
    """
    return elapsed(seconds) if starts is None else clock(starts + timedelta(seconds=seconds))


def begins(row: TimelineRow) -> str:
    """Clock time of a step's beginning, or the time since the first step."""
    return clock(row.clock_begins) if row.clock_begins is not None else elapsed(row.begins)


def when(row: TimelineRow) -> str:
    """What :func:`begins` gives, marked where a time before it is not known."""
    sign = {"not before": "≥ ", "not after": "≤ "}.get(row.unsure, "")
    return f"{sign}{begins(row)}"


def total_sentences(line: Timeline) -> tuple[str, ...]:
    """From when to when, and how much of it takes hands."""
    if not line.rows:
        return ("The formula names no steps: add a `process`, and the plan tells when.",)
    hands = f"{duration(line.hands_on.value or 0.0)} of it by hand."
    if not line.complete:
        return (
            *_begin_sentences(line),
            f"The times that are stated add up to {duration_band(line.total)}, {hands}",
            "Some times are not known: ≥ and ≤ mark steps not before, or not after, the time.",
        )
    return (*_ready_sentences(line), f"About {duration_band(line.total)} in all, {hands}")


def _begin_sentences(line: Timeline) -> tuple[str, ...]:
    if line.starts is None:
        return ()
    early = "well before" if line.start_to_be_sure is not None else "at"
    return (f"Start {early} {clock(line.starts, day=line.past_midnight)}.",)


def _ready_sentences(line: Timeline) -> tuple[str, ...]:
    if line.starts is None or line.ready is None:
        return ()
    named = line.past_midnight  # a clock time on another day needs its day

    def at(time: datetime | None) -> str:
        return clock(time, day=named)

    band = f"{at(line.ready_low)}–{at(line.ready_high)}"
    said = f"Start {at(line.starts)}, ready about {at(line.ready)} ({band})."
    if line.start_to_be_sure is None:
        return (said,)
    sure = at(line.start_to_be_sure)
    return (said, f"To be ready in time even if it is slow, start at {sure}.")


def rise_label(row: RiseRow) -> str:
    """A stage by its verb and dough: ``sponge, ferment``."""
    return f"{row.of}, {row.verb}"


def usable(row: RiseRow) -> str:
    """From when to when a stage may end."""
    if row.lasts.value is None:
        return "not reached"
    if row.lasts.kind == "stated" or row.usable_from.value is None:
        return "by the clock"
    first = rough_duration(row.usable_from.value)
    if row.usable_to is None or row.usable_to.value is None:
        return f"from {first}"
    return f"{first} to {rough_duration(row.usable_to.value)}"


def dough_course(row: RiseRow) -> str:
    """How warm the dough is at a stage's start and end."""
    assert row.start.value is not None
    assert row.end.value is not None
    return f"{temperature(row.start.value)[:-3]} → {temperature(row.end.value)}"


def size_band(cell: Cell) -> str:
    """How many times its size at the start of the stage, one digit behind the point."""
    assert cell.value is not None
    if not cell.banded or cell.low is None or cell.high is None:
        return f"×{cell.value:.1f}"
    low, high = f"{cell.low:.1f}", f"{cell.high:.1f}"
    return f"×{low}" if low == high else f"×{low}–{high}"


def rise_basis(sheet: RiseSheet) -> str:
    """On what the times stand: the baker's own moved here, or the model alone."""
    if sheet.anchor is None:
        return (
            "Times are the model's alone: one dough in five falls outside them. Note how long "
            "yours took (`took:`) and where (`tested in:`), and they narrow."
        )
    assert sheet.anchor.vigour.value is not None
    quick = sheet.anchor.vigour.value - 1
    word = "as lively as the book's" if abs(quick) < 0.05 else f"{abs(quick) * 100:.0f} % "
    if abs(quick) >= 0.05:
        word += "quicker than the book's" if quick > 0 else "slower than the book's"
    return (
        "Times are your own, moved from where they were noted to this kitchen; by them your "
        f"yeast is {word}. The dough decides, not the clock."
    )

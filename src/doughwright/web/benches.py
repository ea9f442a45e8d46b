"""Benches: plans being worked from, and what was marked done there.

A bench keeps the revision of the bread and of the kitchen it was begun with: what is saved
meanwhile changes nothing under a baker's hands.
"""

import secrets
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from types import MappingProxyType

from django.db import transaction
from django.db.models import Count, Max, QuerySet, Sum
from django.http import Http404

from doughwright.sheets.bench_plan import BenchPlan
from doughwright.store.errors import told
from doughwright.store.library import newest, revision
from doughwright.web.asked import Asked, asked
from doughwright.web.breads import ORDINARY, Bread, bread, kitchen_key, plan
from doughwright.web.models import Bench, Mark

KITCHEN_NUMBER = "kitchen revision"
"""Beside the words asked for: the kitchen's revision."""

SHOWN_FOR = timedelta(days=7)
"""How long a bench that nobody finished is offered."""


@dataclass(frozen=True, slots=True)
class AtBench:
    """A bench: of which revision, what was asked, when it began, what is done."""

    key: str
    bread: str
    number: int
    words: Mapping[str, str]
    begun: datetime
    ended: datetime | None
    done: Mapping[int, datetime]


def begin(here: Bread, wanted: Asked, begins: datetime) -> str:
    """Begin a bench and return its key."""
    words = {k: v for k, v in wanted.words.items() if k not in {"start", "ready"}}
    words["kitchen"] = kitchen_key(wanted)
    if words["kitchen"] != ORDINARY:
        words[KITCHEN_NUMBER] = str(newest("kitchen", words["kitchen"]).number)
    key = secrets.token_hex(8)
    with told():
        Bench.objects.create(
            key=key,
            bread=here.stored.key,
            number=here.stored.number,
            asked=words,
            begun=begins,
        )
    return key


def at_bench(key: str) -> AtBench:
    """A bench by its key.

    Raises
    ------
    Http404
        Where there is none.
    """
    with told():
        row = _existing(_rows(key))
        marks = dict(row.marks.values_list("position", "done"))
    return AtBench(
        key=row.key,
        bread=row.bread,
        number=row.number,
        words=MappingProxyType({str(k): str(v) for k, v in row.asked.items()}),
        begun=row.begun,
        ended=row.ended,
        done=MappingProxyType(marks),
    )


def _rows(key: str) -> QuerySet[Bench]:
    """A bench's row; what is no key is asked of no database: one of them refuses some signs."""
    rows = Bench.objects.filter(key=key)
    return rows if key.isalnum() else rows.none()


def _existing(rows: QuerySet[Bench]) -> Bench:
    found = rows.first()
    if found is None:
        raise Http404
    return found


def bread_at(here: AtBench) -> Bread:
    """The bread as it was when the bench was begun, also one that was put away since."""
    return bread(here.bread, here.number)


def plan_at(here: AtBench, now: datetime) -> BenchPlan:
    """The plan as it was when the bench was begun; its times count from the first step."""
    number = here.words.get(KITCHEN_NUMBER)
    key = here.words.get("kitchen", ORDINARY)
    kitchen = revision("kitchen", key, int(number)).text if number else ""
    return plan(bread_at(here), asked(here.words, now), kitchen)


def mark(key: str, position: int, now: datetime) -> None:
    """Mark a step done; of two devices that mark it, the first counts."""
    with told(), transaction.atomic():
        bench = _open(key)
        if bench is not None:
            Mark.objects.get_or_create(bench=bench, position=position, defaults={"done": now})


def unmark(key: str, position: int) -> None:
    """Take a mark back."""
    with told(), transaction.atomic():
        bench = _open(key)
        if bench is not None:
            Mark.objects.filter(bench=bench, position=position).delete()


def _open(key: str) -> Bench | None:
    """The bench, held until the transaction ends; none if it is finished: its marks stay."""
    row = _existing(_rows(key).select_for_update())
    return row if row.ended is None else None


def begin_now(key: str, now: datetime) -> None:
    """Begin at once what was planned for later; once a step is done, it has begun."""
    with told():
        _rows(key).filter(ended=None, marks=None, begun__gt=now).update(begun=now)


def finish(key: str, now: datetime) -> None:
    """Finish a bench; of two devices, the first counts."""
    with told():
        _rows(key).filter(ended=None).update(ended=now)


def go_on(key: str) -> None:
    """Take a finished bench up again."""
    with told():
        _rows(key).update(ended=None)


def running(now: datetime, *bread_keys: str) -> tuple[AtBench, ...]:
    """The benches that are not finished, the newest first; of some breads, or of all."""
    with told():
        rows = Bench.objects.filter(ended=None, begun__gt=now - SHOWN_FOR)
        rows = rows.filter(bread__in=bread_keys) if bread_keys else rows
        keys = list(rows.order_by("-begun").values_list("key", flat=True)[:5])
    return tuple(at_bench(key) for key in keys)


def bench_state(key: str) -> str:
    """A word that is another one whenever anything of a bench changes; empty without one."""
    rows = _rows(key).annotate(
        marked=Count("marks"), places=Sum("marks__position"), last=Max("marks__done")
    )
    with told():
        found = rows.values_list("begun", "ended", "marked", "places", "last").first()
    return "" if found is None else "/".join(_word(part) for part in found)


def _word(part: object) -> str:
    return f"{part.timestamp():.6f}" if isinstance(part, datetime) else str(part or 0)

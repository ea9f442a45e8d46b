"""The bench: a plan step by step, for a phone between flour and dough."""

from collections.abc import Callable
from datetime import timedelta

from django.http import (
    Http404,
    HttpRequest,
    HttpResponse,
    HttpResponseBase,
    StreamingHttpResponse,
)
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from doughwright.errors import DocumentError
from doughwright.render.calendar import MEDIA_TYPE, plan_calendar
from doughwright.web import benches, events
from doughwright.web.bench_page import bench_sheet
from doughwright.web.breads import bread
from doughwright.web.guards import token_of
from doughwright.web.kitchen_clock import plan_begins, wall_clock
from doughwright.web.pages import is_part, page
from doughwright.web.planning import attempt
from doughwright.web.saving import expected_number, led_to
from doughwright.web.views.plan import download


@require_POST
def start(request: HttpRequest, key: str) -> HttpResponse:
    """Begin a bench with the plan as the page showed it, and go there."""
    now = timezone.now()
    here = bread(key, expected_number(request) or None)  # the revision the page showed
    found = attempt(here, request.POST.dict(), wall_clock(now))
    if found.plan is None or found.asked is None:
        wrong = (problem for each in found.wrong.values() for problem in each)
        raise DocumentError((*wrong, *found.problems))
    line = found.plan.timeline
    planned = plan_begins(line, found.asked.ready, now)
    is_over = line.ready_high is not None and line.ready_high < wall_clock(now)
    is_timed = line.starts is not None and not is_over
    made = benches.begin(here, found.asked, planned if is_timed else now)
    return led_to(request, f"/bench/{made}")


@require_GET
def bench(request: HttpRequest, key: str) -> HttpResponse:
    """What is now, until what, what next; for script, that alone."""
    return _shown(request, key)


def _shown(request: HttpRequest, key: str) -> HttpResponse:
    here, now = benches.at_bench(key), timezone.now()
    plan = benches.plan_at(here, now)
    said = {
        "bench": here,
        "bread": benches.bread_at(here),
        "plan": plan,
        "sheet": bench_sheet(plan, here, now),
        "state": benches.bench_state(key),
    }
    return page(request, "bench_steps.html.j2" if is_part(request) else "bench.html.j2", said)


@require_POST
def step(request: HttpRequest, key: str, position: int) -> HttpResponse:
    """Mark a step done, or not done after all."""
    now = timezone.now()
    plan = benches.plan_at(benches.at_bench(key), now)
    if all(row.position != position for row in plan.timeline.rows):
        raise Http404
    if request.POST.get("done") == "no":
        benches.unmark(key, position)
    else:
        benches.mark(key, position, now - _ago(request))
    return _changed(request, key)


def _ago(request: HttpRequest) -> timedelta:
    """How long ago a button was tapped that had to wait for the network; at most a day."""
    said = request.POST.get("ago", "")
    is_number = said.isascii() and said.isdigit() and len(said) < 10
    return min(timedelta(milliseconds=int(said) if is_number else 0), timedelta(days=1))


def _changed(request: HttpRequest, key: str) -> HttpResponse:
    """Tell other pages, and show this one how the bench stands."""
    events.announce(f"bench:{key}")
    return _shown(request, key) if is_part(request) else led_to(request, f"/bench/{key}")


def _at_once(change: Callable[[str], None]) -> Callable[[HttpRequest, str], HttpResponse]:
    """A view of a button that needs no more than the bench."""

    @require_POST
    def view(request: HttpRequest, key: str) -> HttpResponse:
        benches.at_bench(key)
        change(key)
        return _changed(request, key)

    return view


begin_now = _at_once(lambda key: benches.begin_now(key, timezone.now()))
finish = _at_once(lambda key: benches.finish(key, timezone.now()))
go_on = _at_once(benches.go_on)


@require_GET
def as_calendar(request: HttpRequest, key: str) -> HttpResponse:
    """What is still to come, with alarms, at the times that hold now."""
    del request
    here, now = benches.at_bench(key), timezone.now()
    plan = benches.plan_at(here, now)
    sheet = bench_sheet(plan, here, now)
    to_come = [s.moment for s in sheet.steps if s.moment.state in {"now", "later"}]
    times = {m.position: (m.begins, m.due or m.begins) for m in to_come}
    made = plan_calendar(plan, times, uid=f"bench-{key}", stamp=now)
    return download(made, MEDIA_TYPE, f"{here.bread}-bench.ics")


async def stream(request: HttpRequest) -> HttpResponseBase:
    """What changes of a page's topics, as it changes."""
    topics = events.known_topics(request.GET.getlist("topic"))
    if request.method != "GET" or not topics:
        raise Http404
    response = StreamingHttpResponse(
        events.stream(topics, token_of(request)), content_type="text/event-stream"
    )
    response.headers["Cache-Control"] = "no-store"
    response.headers["Content-Encoding"] = "identity"  # packed, it would wait for more
    response.headers["X-Accel-Buffering"] = "no"
    return response

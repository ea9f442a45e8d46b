"""The bench plan's page: what is asked, answered live; and what is made of a plan."""

import json

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET
from markupsafe import Markup

from doughwright.errors import DocumentError
from doughwright.render.calendar import MEDIA_TYPE, plan_calendar
from doughwright.render.page import Pictures, bench_plan_page, plan_pictures, plan_said
from doughwright.render.pdf import plan_pdf
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.web import benches, plan_form
from doughwright.web.bench_page import since
from doughwright.web.breads import Bread, bread
from doughwright.web.kitchen_clock import instant, later, plan_begins, wall_clock
from doughwright.web.pages import is_part, page
from doughwright.web.planning import Attempt, address, attempt, clock_sentences


@require_GET
def plan(request: HttpRequest, key: str) -> HttpResponse:
    """The form and under it the plan; for script, the plan alone, its pictures to follow."""
    here = bread(key)
    found = attempt(here, request.GET.dict(), wall_clock(timezone.now()))
    if not is_part(request):
        pictures = plan_pictures(found.plan) if found.plan is not None else Pictures()
        status = 200 if found.plan is not None else 422
        return page(request, "plan.html.j2", _page(here, found, pictures), status=status)
    if found.plan is None:
        response = page(request, "plan_wrong.html.j2", _wrong(found))
        response.headers["HX-Reswap"] = "none"  # the last good plan stays
        return response
    said = {**_page(here, found, coming(found.plan)), "pictures_follow": True}
    response = page(request, "plan_part.html.j2", said)
    response.headers["HX-Replace-Url"] = address(here, found.words)
    return response


def _page(here: Bread, found: Attempt, pictures: Pictures) -> dict[str, object]:
    said = {**_form(here, found), **_wrong(found), **_answer(here, found, pictures)}
    return {**said, "pictures_follow": False}


def _form(here: Bread, found: Attempt) -> dict[str, object]:
    return {
        "bread": here,
        "fields": plan_form.ask_fields(found, plan_form.FIRST),
        "more": plan_form.ask_fields(found, plan_form.MORE),
        "is_more_asked": plan_form.is_more_asked(found),
        "kitchens": tuple(plan_form.kitchen_choices(found)),
        "codes": tuple(plan_form.code_choices(found)),
    }


def _wrong(found: Attempt) -> dict[str, object]:
    return {"wrong": plan_form.names_wrong(found), "problems": found.problems}


def _answer(here: Bread, found: Attempt, pictures: Pictures) -> dict[str, object]:
    now = timezone.now()
    if found.plan is None or found.asked is None:
        return {"plan": None, "here": "{}"}
    return {
        **plan_said(found.plan, pictures),
        "here": json.dumps(dict(plan_form.placeholders(found.plan))),
        "words": found.words,
        "clock_said": clock_sentences(found.plan, found.asked, wall_clock(now)),
        "running": [(b, since(b.begun, now)) for b in benches.running(now, here.stored.key)],
        "link": {end: address(here, found.words, f"plan{end}") for end in ENDS},
    }


ENDS = (".pdf", ".ics", ".html", "/pictures")
"""What is made of a plan, as its address ends."""


def coming(found: BenchPlan) -> Pictures:
    """Places for pictures that follow."""
    cut = found.bake is not None and found.bake.cut is not None
    return Pictures(_place("rise"), _place("warming"), _place("cut") if cut else Markup())


def _place(name: str) -> Markup:
    said = '<div id="picture-{}" class="coming" aria-hidden="true"></div>'
    return Markup(said).format(name)  # noqa: S704 - our own words


@require_GET
def pictures(request: HttpRequest, key: str) -> HttpResponse:
    """The pictures of a plan, each for its place."""
    drawn = plan_pictures(_planned(bread(key), request))
    places = (("rise", drawn.rise), ("warming", drawn.warming), ("cut", drawn.cut))
    return page(request, "plan_pictures.html.j2", {"pictures": [p for p in places if p[1]]})


@require_GET
def as_page(request: HttpRequest, key: str) -> HttpResponse:
    """The plan as one file that needs nothing beside it."""
    made = bench_plan_page(_planned(bread(key), request))
    return download(made.encode(), "text/html; charset=utf-8", f"{key}-plan.html")


@require_GET
def as_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The plan as a PDF."""
    made = plan_pdf(_planned(bread(key), request))
    return download(made, "application/pdf", f"{key}-plan.pdf")


@require_GET
def as_calendar(request: HttpRequest, key: str) -> HttpResponse:
    """The plan as a calendar; without a time asked for it begins now."""
    here, now = bread(key), timezone.now()
    found = _attempted(here, request)
    assert found.plan is not None
    assert found.asked is not None
    line = found.plan.timeline
    begins = plan_begins(line, found.asked.ready, now)
    anchor = instant(found.asked.ready) if found.asked.ready is not None else begins
    uid = f"{here.stored.key}-{anchor:%Y%m%dT%H%MZ}"
    made = plan_calendar(found.plan, later(begins, line), uid=uid, stamp=now)
    return download(made, MEDIA_TYPE, f"{key}-plan.ics")


def _planned(here: Bread, request: HttpRequest) -> BenchPlan:
    found = _attempted(here, request).plan
    assert found is not None
    return found


def _attempted(here: Bread, request: HttpRequest) -> Attempt:
    """A plan for a file.

    Raises
    ------
    DocumentError
        With all that stands in the way.
    """
    found = attempt(here, request.GET.dict(), wall_clock(timezone.now()))
    if found.plan is None:
        wrong = (problem for each in found.wrong.values() for problem in each)
        raise DocumentError((*wrong, *found.problems))
    return found


def download(content: bytes, media_type: str, name: str) -> HttpResponse:
    """A file to keep; ``name`` is made of a bread's key."""
    response = HttpResponse(content, content_type=media_type)
    response.headers["Content-Disposition"] = f'attachment; filename="{name}"'
    return response

"""A bread in several kitchens, side by side."""

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from doughwright.render.kitchen_words import (
    column_titles,
    comparison_rows,
    said_of_kitchens,
    unchanged_kitchen,
)
from doughwright.store.library import listed
from doughwright.web.breads import ORDINARY, Bread, bread
from doughwright.web.comparing import ROOMS, Compared, compared
from doughwright.web.kitchen_clock import wall_clock
from doughwright.web.pages import page

FIELDS = ("kitchen", "rooms", "pieces", "start", "ready")


@require_GET
def kitchens(request: HttpRequest, key: str) -> HttpResponse:
    """The form and under it the table."""
    here, now = bread(key), wall_clock(timezone.now())
    found = compared(here, request.GET.getlist("kitchen"), request.GET.dict(), now)
    status = 200 if found.sheet is not None else 422
    return page(request, "bread_kitchens.html.j2", _said(here, found), status=status)


def _said(here: Bread, found: Compared) -> dict[str, object]:
    choices = [(k.key, k.name) for k in listed("kitchen")] + [(ORDINARY, "An ordinary kitchen")]
    sheet = found.sheet
    return {
        "bread": here,
        "choices": [(key, name, key in found.kitchens) for key, name in choices],
        "rooms": found.rooms,
        "example": ROOMS,
        "words": {name: found.words.get(name, "") for name in ("pieces", "start", "ready")},
        "wrong": {
            n: found.wrong.get(n, ()) for n in ("kitchen", "rooms", "pieces", "start", "ready")
        },
        "problems": found.problems,
        "sheet": sheet,
        "titles": column_titles(sheet.kitchens) if sheet is not None else (),
        "unchanged": unchanged_kitchen(sheet.kitchens) if sheet is not None else "",
        "rows": tuple(comparison_rows(sheet)) if sheet is not None else (),
        "said": tuple(said_of_kitchens(sheet)) if sheet is not None else (),
    }

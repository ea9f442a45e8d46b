"""The card: a bread written up for others, as page, PDF, plain text and for machines."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET

from doughwright.render.card_page import card_page, card_said
from doughwright.render.card_text import card_text
from doughwright.render.json_ld import recipe_json
from doughwright.render.pdf import card_pdf
from doughwright.sheets.card import CardSheet
from doughwright.store.library import listed
from doughwright.web.asked import COUNTRIES
from doughwright.web.breads import ORDINARY, Bread, bread
from doughwright.web.carding import FIELDS, CardAttempt, all_problems, card_attempt
from doughwright.web.kitchen_clock import wall_clock
from doughwright.web.pages import page
from doughwright.web.views.plan import download

ENDS = (".pdf", ".txt", ".html", ".json")


@require_GET
def card(request: HttpRequest, key: str) -> HttpResponse:
    """What the card is asked for, and under it the card."""
    here = bread(key)
    found = card_attempt(here, request.GET.dict(), wall_clock(timezone.now()))
    said = {**_form(here, found), **(card_said(found.card) if found.card is not None else {})}
    status = 200 if found.card is not None else 422
    return page(request, "bread_card.html.j2", said, status=status)


def _form(here: Bread, found: CardAttempt) -> dict[str, object]:
    kitchens = [(k.key, k.name) for k in listed("kitchen")]
    query = urlencode(found.words)
    address = f"/breads/{here.stored.key}/card"
    return {
        "bread": here,
        "card": None,
        "for_author": found.card.for_author if found.card is not None else (),
        "words": {name: found.words.get(name, "") for name in FIELDS},
        "wrong": {name: (found.wrong or {}).get(name, ()) for name in FIELDS},
        "problems": found.problems,
        "kitchens": [*kitchens, (ORDINARY, "An ordinary kitchen")],
        "countries": COUNTRIES,
        "link": {end: f"{address}{end}{'?' if query else ''}{query}" for end in ENDS},
    }


@require_GET
def as_pdf(request: HttpRequest, key: str) -> HttpResponse:
    """The card as a PDF."""
    return download(card_pdf(_card(request, key)), "application/pdf", f"{key}-card.pdf")


@require_GET
def as_text(request: HttpRequest, key: str) -> HttpResponse:
    """The card as plain text, for a description box."""
    said = card_text(_card(request, key))
    return HttpResponse(said, content_type="text/plain; charset=utf-8")


@require_GET
def as_page(request: HttpRequest, key: str) -> HttpResponse:
    """The card as one file that needs nothing beside it, its recipe readable by machines."""
    made = card_page(_card(request, key)).encode()
    return download(made, "text/html; charset=utf-8", f"{key}-card.html")


@require_GET
def as_json_ld(request: HttpRequest, key: str) -> HttpResponse:
    """The card for machines, in the words of schema.org."""
    said = recipe_json(_card(request, key))
    return HttpResponse(said, content_type="application/ld+json")


def _card(request: HttpRequest, key: str) -> CardSheet:
    """The card of an address.

    Raises
    ------
    DocumentError
        With all that stands in the way.
    """
    found = card_attempt(bread(key), request.GET.dict(), wall_clock(timezone.now()))
    if found.card is None:
        raise all_problems(found)
    return found.card

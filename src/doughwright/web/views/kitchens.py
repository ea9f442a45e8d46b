"""The kitchens: listed, begun, copied, changed as a form or as text."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET, require_http_methods

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import DocumentError, Notice
from doughwright.store.library import Listed, listed, newest
from doughwright.web.fields import Field, edits, plain_of, shown, word_at
from doughwright.web.kitchen_form import GROUPS
from doughwright.web.pages import page
from doughwright.web.saving import text_of
from doughwright.web.texts import Form, Shown, changed, document_page, text_page
from doughwright.web.views.documents import put_away


@require_GET
def kitchens(request: HttpRequest) -> HttpResponse:
    """The kitchens of the library, or those that were put away."""
    away = request.GET.get("away") == "yes"
    said = {
        "rows": tuple((item, warmth(item)) for item in listed("kitchen", dropped=away)),
        "away": away,
        "put_away": len(listed("kitchen", dropped=True)),
        "gone": put_away("kitchen", request.GET.get("gone", "")),
    }
    return page(request, "kitchens.html.j2", said)


def warmth(item: Listed) -> tuple[tuple[str, str], ...]:
    """What a kitchen's line in the list says of it, in the baker's words."""
    try:
        tree = plain_of(newest("kitchen", item.key).text)
    except DocumentError:
        return ()
    fields = [field for group in GROUPS for field in group.fields if isinstance(field, Field)]
    known = {field.name: word_at(tree, field) for field in fields}
    wanted = {"flour": "flour", "fridge": "fridge", "tap.cold": "cold water", "oven.kind": "oven"}
    facts = tuple((word, known[name]) for name, word in wanted.items() if known[name])
    return (("room", known["room"]), *facts)


@require_http_methods(["GET", "POST"])
def kitchen(request: HttpRequest, key: str) -> HttpResponse:
    """One kitchen, every field of it, as a form or as text."""
    return document_page(request, "kitchen", key, _changed, form_page)


def _changed(key: str, number: int, form: Form) -> str:
    """A kitchen's text with what a form changes in it."""
    text = text_of("kitchen", key, number)
    return changed(text, "kitchen", *edits(GROUPS, plain_of(text), form))


def form_page(
    request: HttpRequest,
    here: Shown,
    number: int,
    form: Form | None,
    problems: tuple[Notice, ...],
) -> HttpResponse:
    """The form of a kitchen; its text where no form can be made of it."""
    try:
        tree = plain_of(text_of("kitchen", here.key or "", number))
    except DocumentError as error:
        return text_page(request, here, error.problems)
    groups, others = shown(GROUPS, tree, form, problems)
    said = {
        "shown": here,
        "number": number,
        "groups": groups,
        "problems": problems,
        "others": others,
        "message": (form or {}).get("message", ""),
        "known": tuple(ingredient_table()),
    }
    return page(request, "kitchen.html.j2", said, status=422 if problems else 200)

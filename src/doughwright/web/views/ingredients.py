"""Ingredients: what the table knows, and what stands on the baker's own shelf."""

from collections.abc import Iterator, Sequence
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from doughwright.documents.editing import Edit, Insert, Remove, Rename
from doughwright.documents.places import LONGEST_NAME
from doughwright.documents.reading import read_document
from doughwright.documents.shelf import ShelfDocument
from doughwright.engine.ingredients import ingredient_table, nearest_names
from doughwright.errors import DocumentError, Notice
from doughwright.sheets.ingredients import ingredient_rows
from doughwright.store.library import listed, newest
from doughwright.web.fields import END, at, edits, plain_of, shown
from doughwright.web.pages import page
from doughwright.web.saving import expected_number, saved, text_of
from doughwright.web.shelf_form import groups, kinds, own_line, table_says
from doughwright.web.starts import EMPTY
from doughwright.web.texts import Shown, changed, text_page


def shelf() -> Shown:
    """The library's shelf, the first of several; one that is still to be made if there is none."""
    shelves = listed("shelf")
    if not shelves:
        return Shown("shelf", None, "Our shelf", 0, EMPTY["shelf"])
    stored = newest("shelf", shelves[0].key)
    return Shown("shelf", stored.key, stored.name, stored.number, stored.text, stored.dropped)


@require_http_methods(["GET", "POST"])
def ingredients(request: HttpRequest) -> HttpResponse:
    """The shelf, and what of the table holds the words looked for."""
    here = shelf()
    if request.GET.get("view") == "text":
        return text_page(request, here)
    asked = request.GET.get("q", "").strip()
    own, problems = _own(here)
    rows = ingredient_rows(asked) if asked else ()
    said = {
        "shown": here,
        "own": own,
        "own_problems": problems,
        "q": asked,
        "rows": rows,
        "near": nearest_names(asked) if asked and not rows else (),
        "names": _by_kind() if not asked else {},
        "count": len(ingredient_table()),
    }
    return page(request, "ingredients.html.j2", said)


def _own(here: Shown) -> tuple[tuple[tuple[str, str, str, str], ...], tuple[Notice, ...]]:
    """Own ingredients by name, in a line, with their note and price; or why they cannot be read."""
    try:
        document = read_document(here.text, "the shelf").document
    except DocumentError as error:
        return (), error.problems
    assert isinstance(document, ShelfDocument)
    lines = (
        (name, own_line(document, name), own.note or "", str(own.price or ""))
        for name, own in document.ingredients.items()
    )
    return tuple(sorted(lines, key=lambda line: line[0].casefold())), ()


def _by_kind() -> dict[str, list[str]]:
    """The names of the table by their kind."""
    names: dict[str, list[str]] = {kind: [] for kind in kinds()}
    for known in ingredient_table().values():
        names[known.kind].append(known.name)
    return names


@require_http_methods(["GET", "POST"])
def own_ingredient(request: HttpRequest) -> HttpResponse:
    """One ingredient of the shelf: put there, changed, taken out."""
    here, form = shelf(), request.POST.dict()
    name = " ".join(request.GET.get("name", "").split())
    number = expected_number(request) if form else here.number
    problems: tuple[Notice, ...] = ()
    if request.method == "POST":
        try:
            return saved(request, "shelf", here.key, _changed(here, name, number, form))
        except DocumentError as error:
            problems = error.problems
    return _own_page(request, here, name, number, problems)


def _changed(here: Shown, name: str, number: int, form: dict[str, str]) -> str:
    """The shelf's text with what a form changes in it."""
    text = text_of("shelf", here.key, number) if here.key else here.text
    tree = plain_of(text)
    there = at(tree, ("ingredients", name)) is not None
    if form.get("do") == "out":
        return changed(text, "shelf", [Remove(("ingredients", name))] if there else [])
    called = " ".join(form.get("called", "").split())
    if not called:
        raise DocumentError([Notice.of("no-text", "called", read="", allowed="some words")])
    if len(called) > LONGEST_NAME:
        long = Notice.of("name-too-long", "called", read=f"{called[:47]}…", allowed=LONGEST_NAME)
        raise DocumentError([long])
    if (called != name or not there) and at(tree, ("ingredients", called)) is not None:
        raise DocumentError([Notice.of("key-twice", "called", read=called)])
    if there:
        renamed = [Rename(("ingredients", name), called)] if called != name else []
        made, problems = edits(groups(name), tree, form)
        return changed(text, "shelf", [*made, *renamed], problems)
    made, problems = edits(groups(called), tree, form)
    return changed(text, "shelf", list(_begun(tree, called, made)), problems)


def _begun(tree: object, name: str, said: Sequence[Edit]) -> Iterator[Edit]:
    """A new ingredient with what is said of it, be it nothing."""
    known = at(tree, ("ingredients",))
    if known is not None and not isinstance(known, dict):
        yield Remove(("ingredients",))  # an empty place, or a list: neither is kept
    yield from said
    if not said and isinstance(known, dict):
        yield Insert(("ingredients",), END, name, {})
    elif not said:
        yield Insert((), END, "ingredients", {name: {}})


def _own_page(
    request: HttpRequest,
    here: Shown,
    name: str,
    number: int,
    problems: tuple[Notice, ...],
) -> HttpResponse:
    form = request.POST.dict() if request.method == "POST" else None
    try:
        tree = plain_of(text_of("shelf", here.key, number) if here.key else here.text)
    except DocumentError as error:
        return text_page(request, here, error.problems)
    like = at(tree, ("ingredients", name, "like"))
    fields, others = shown(groups(name), tree, form, problems, table_says(name, str(like or "")))
    wrong_name = tuple(p for p in others if p.where[:1] == ("called",))
    said = {
        "shown": here,
        "number": number,
        "name": name,
        "called": form.get("called", "") if form else name,
        "there": bool(name) and at(tree, ("ingredients", name)) is not None,
        "known_by_table": bool(table_says(name, "")),
        "address": f"/ingredients/own?{urlencode({'name': name})}",
        "groups": fields,
        "problems": problems,
        "wrong_name": wrong_name,
        "others": tuple(p for p in others if p not in wrong_name),
        "known": tuple(ingredient_table()),
        "kinds": kinds(),
    }
    return page(request, "own_ingredient.html.j2", said, status=422 if problems else 200)

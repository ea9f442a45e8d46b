"""Series: breads that belong together, in their order, each as far as it has come."""

from collections import Counter
from collections.abc import Iterator

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET, require_http_methods

from doughwright.documents.editing import Edit, Insert, Move, Remove
from doughwright.documents.series import STATES
from doughwright.errors import DocumentError, Notice
from doughwright.store.library import listed
from doughwright.web.fields import END, Field, Group, at, edits, plain_of, shown
from doughwright.web.finding import all_series, told_apart
from doughwright.web.pages import page
from doughwright.web.saving import text_of
from doughwright.web.texts import Form, Shown, changed, document_page, text_page
from doughwright.web.views.documents import put_away

ABOUT = Group(
    "About it", (Field(("name",), "What it is called"), Field(("note",), "Note", long=True))
)


@require_GET
def series(request: HttpRequest) -> HttpResponse:
    """The series of the library, or those that were put away."""
    away = request.GET.get("away") == "yes"
    known = {one.key: one.breads for one in all_series()}
    said = {
        "rows": tuple(
            (item, Counter(bread.state for bread in known.get(item.key, ())))
            for item in listed("series", dropped=away)
        ),
        "states": STATES,
        "away": away,
        "put_away": len(listed("series", dropped=True)),
        "gone": put_away("series", request.GET.get("gone", "")),
    }
    return page(request, "series.html.j2", said)


@require_http_methods(["GET", "POST"])
def one_series(request: HttpRequest, key: str) -> HttpResponse:
    """One series: its breads in order, their states, as a form or as text."""
    return document_page(request, "series", key, _changed, _form_page)


def _changed(key: str, number: int, form: Form) -> str:
    """A series' text with what a form changes in it, the button that was pressed last."""
    text = text_of("series", key, number)
    tree = plain_of(text)
    made, problems = edits(_groups(tree), tree, form)
    return changed(text, "series", [*made, *_done(tree, form)], problems)


def _groups(tree: object) -> tuple[Group, ...]:
    """The fields about a series, and a group for each of its breads."""
    return ABOUT, *(
        Group(
            str(at(tree, ("breads", i, "bread")) or ""),
            (
                Field(("breads", i, "state"), "How far it has come", choices=STATES),
                Field(("breads", i, "note"), "Note", long=True),
            ),
        )
        for i in range(_count(tree))
    )


def _count(tree: object) -> int:
    breads = at(tree, ("breads",))
    return len(breads) if isinstance(breads, list) else 0


def _done(tree: object, form: Form) -> Iterator[Edit]:
    """What the button that was pressed does: a bread up, down, out, in."""
    what, _, said = form.get("do", "").partition(":")
    position = int(said) if said.isascii() and said.isdigit() and len(said) < 6 else -1
    there, wanted = 0 <= position < _count(tree), form.get("bread", "")
    if what == "up" and there and position > 0:
        yield Move(("breads", position), position - 1)
    elif what == "down" and there and position < _count(tree) - 1:
        yield Move(("breads", position), position + 1)
    elif what == "out" and there:
        yield Remove(("breads", position))
    elif what == "in" and wanted:
        entry = {"bread": wanted, "state": form.get("state", STATES[0])}
        if at(tree, ("breads",)):
            yield Insert(("breads",), END, None, entry)
        else:
            yield from _first(tree, entry)


def _first(tree: object, entry: dict[str, str]) -> Iterator[Edit]:
    """The first bread of a series; an empty list may stand there."""
    if at(tree, ("breads",)) is not None:
        yield Remove(("breads",))
    yield Insert((), END, "breads", [entry])


def _form_page(
    request: HttpRequest,
    here: Shown,
    number: int,
    form: Form | None,
    problems: tuple[Notice, ...],
) -> HttpResponse:
    try:
        tree = plain_of(text_of("series", here.key or "", number))
    except DocumentError as error:
        return text_page(request, here, error.problems)
    groups, others = shown(_groups(tree), tree, form, problems)
    names = told_apart(listed("formula"))
    there = [group.title for group in groups[1:]]
    said = {
        "shown": here,
        "number": number,
        "about": groups[0],
        "breads": groups[1:],
        "names": names,
        "others_known": {key: name for key, name in names.items() if key not in there},
        "states": STATES,
        "problems": problems,
        "others": others,
    }
    return page(request, "one_series.html.j2", said, status=422 if problems else 200)

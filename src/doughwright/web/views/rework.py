"""A bread reworked: what is wished, what it would become, and taking it up."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.views.decorators.http import require_http_methods

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import DocumentError, Notice
from doughwright.reworking.preferments import STYLES
from doughwright.store.errors import NotInLibrary
from doughwright.web import saving
from doughwright.web.breads import Bread, bread
from doughwright.web.events import announce
from doughwright.web.pages import page
from doughwright.web.rework_wishes import AIMS, MAIN, SIZES, group_of, wish_words
from doughwright.web.reworked import MOST_WISHES, Attempt, attempted, side_by_side
from doughwright.web.starts import LONGEST_NAME, named


@dataclass(frozen=True, slots=True)
class Asked:
    """What a page's fields say, and what is wrong with them: in which group, at which field."""

    fields: Mapping[str, str] = field(default_factory=dict)
    group: str = ""
    blamed: str = ""
    problems: tuple[Notice, ...] = ()


NOTHING = Asked()


@require_http_methods(["GET", "HEAD", "POST"])
def rework(request: HttpRequest, key: str) -> HttpResponse:
    """The wishes, and under them before and after; a wish done has an address of its own."""
    if request.method == "POST":
        return _taken_up(request, key)
    here, wishes = bread(key), _wishes(request.GET.getlist("wish"))
    if request.GET.get("do"):
        return _wished(request, here, wishes)
    found = attempted(here, wishes)
    return _page(request, here, found, _refused(found, "own", {}))


def _wishes(said: Sequence[str]) -> tuple[str, ...]:
    return tuple(wish for wish in (" ".join(words.split()) for words in said) if wish)


def _wished(request: HttpRequest, here: Bread, wishes: tuple[str, ...]) -> HttpResponse:
    """Do one wish more; where it cannot be, its fields are shown again with the reason."""
    do, fields = request.GET["do"], request.GET.dict()
    group = group_of(do)
    try:
        wish = wish_words(do, fields)
    except DocumentError as error:
        blamed = str(error.problems[0].where[0])
        asked = Asked(fields, group, blamed, error.problems)
        return _page(request, here, attempted(here, wishes), asked)
    found = attempted(here, (*wishes, wish))
    if not found.problems and not found.unsolved and not found.left:
        return HttpResponseRedirect(address(here, (*wishes, wish)))
    return _page(request, here, found, _refused(found, group, fields, wish))


def _refused(found: Attempt, group: str, fields: Mapping[str, str], wish: str = "") -> Asked:
    """What is wrong, beside the fields it was asked by; an earlier wish is put in words."""
    if not found.problems:
        return Asked(fields)
    if wish != found.refused:
        group, fields = "own", {"own": found.refused}
    return Asked(fields, group, MAIN[group], found.problems)


def address(here: Bread, wishes: Sequence[str]) -> str:
    """The address of a bread with some wishes done."""
    query = urlencode([("wish", wish) for wish in wishes])
    return f"/breads/{here.stored.key}/rework" + (f"?{query}" if query else "")


def _page(
    request: HttpRequest,
    here: Bread,
    found: Attempt,
    asked: Asked = NOTHING,
    problems: tuple[Notice, ...] = (),
) -> HttpResponse:
    wishes = found.done.wishes if found.done else ()
    said = {
        "bread": here,
        "found": found,
        "asked": asked,
        "problems": problems,
        "wishes": wishes,
        "back": address(here, wishes[:-1]),
        "examples": [(one, address(here, (*wishes, one))) for one in found.chances.examples],
        "parts": tuple(side_by_side(found.done)) if found.done else (),
        "known": tuple(ingredient_table()),
        "title": told(wishes),
        "choices": choices(found),
        "most": MOST_WISHES,
        "message": request.POST.get("message", told(wishes)),
        "name": request.POST.get("name", another_name(here.stored.name, wishes)),
    }
    refused = asked.problems or problems or found.unsolved or found.left
    return page(request, "bread_rework.html.j2", said, status=422 if refused else 200)


def choices(found: Attempt) -> dict[str, list[tuple[str, str]]]:
    """What can be chosen, by the field: the value and its word."""
    offered = found.chances
    plain = {"style": STYLES, "aim": AIMS, "old": offered.lines, "step": offered.steps}
    twice = {name: [(word, word) for word in words] for name, words in plain.items()}
    return {**twice, "size": [(key, word) for key, (word, *_) in SIZES.items()]}


def told(wishes: Sequence[str]) -> str:
    """What was done, for the history.

    >>> told(["poolish 30 %", "12 pieces"])
    'To poolish 30 %, then 12 pieces'
    """
    return f"To {', then '.join(wishes)}" if wishes else ""


def another_name(name: str, wishes: Sequence[str]) -> str:
    """A name for a bread that is kept beside the one it was made of.

    >>> another_name("Milk buns", ["poolish 30 %"])
    'Milk buns, poolish 30 %'
    """
    whole = f"{name}, {', '.join(wishes)}"
    return whole if len(whole) <= LONGEST_NAME else f"{name[: LONGEST_NAME - 9]}, another"


def _taken_up(request: HttpRequest, key: str) -> HttpResponse:
    """Save what a bread becomes: as its next revision, or as another bread."""
    here, wishes = _shown(request, key), _wishes(request.POST.getlist("wish"))
    found = attempted(here, wishes)
    if found.done is None or found.problems or found.left:
        return _page(request, here, found, _refused(found, "own", {}))
    try:
        return _saved(request, here, found.done.text)
    except DocumentError as error:
        return _page(request, here, found, problems=error.problems)


def _saved(request: HttpRequest, here: Bread, text: str) -> HttpResponse:
    if request.POST.get("do") == "another":
        return saving.saved(request, "formula", None, named(text, request.POST.get("name", "")))
    answer = saving.saved(request, "formula", here.stored.key, text)
    announce(f"bread:{here.stored.key}")
    return answer


def _shown(request: HttpRequest, key: str) -> Bread:
    """The revision that was reworked; the newest where a form does not say."""
    number = saving.expected_number(request)
    try:
        return bread(key, number) if number else bread(key)
    except NotInLibrary:
        return bread(key)

"""The formula page: what a bread is made of, to be changed as a form or as text."""

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods, require_POST

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import DocumentError, Notice
from doughwright.store.errors import NotInLibrary
from doughwright.store.library import Stored, newest, revision
from doughwright.web import saving
from doughwright.web.events import announce
from doughwright.web.formula_edits import Typed, typed_into
from doughwright.web.formula_form import form_of
from doughwright.web.formula_presses import Press, focus_after, press_from, pressed
from doughwright.web.formula_shown import NOTHING, Seen, shown
from doughwright.web.pages import page

VIEWS = ("form", "text")


@require_http_methods(["GET", "HEAD", "POST"])
def formula(request: HttpRequest, key: str) -> HttpResponse:
    """The formula to be changed; what is done in its form is answered with the page again."""
    if request.method == "POST":
        return _done(request, key)
    stored = newest("formula", key)
    asked = request.GET.get("view", "")
    return _page(request, Seen(stored, Typed(stored.text), asked if asked in VIEWS else "form"))


@require_POST
def live(request: HttpRequest, key: str) -> HttpResponse:
    """What changes around the fields with a key press; the fields themselves stay."""
    stored = _made_from(request, key)
    view, typed = _typed(request, stored)
    form = form_of(_text(request, stored)) if view == "form" else None
    seen = Seen(stored, typed, view, good=_good(request, stored), form=form)
    return page(request, "formula_live.html.j2", {"shown": shown(seen)})


def _page(request: HttpRequest, seen: Seen, status: int = 200) -> HttpResponse:
    said = {
        "bread": {"stored": seen.stored},
        "shown": shown(seen),
        "known": tuple(ingredient_table()),
    }
    return page(request, "formula.html.j2", said, status=status)


def _done(request: HttpRequest, key: str) -> HttpResponse:
    """Do what a button says; whatever was typed beside it comes along."""
    stored = _made_from(request, key)
    view, typed = _typed(request, stored)
    do = request.POST.get("do", "look")
    if do == "save":
        return _saved(request, stored, typed, view)
    if do.startswith("view-"):
        asked = do.removeprefix("view-")
        return _answer(request, stored, typed, asked if _may_go(asked, typed) else view)
    if view == "text":
        return _answer(request, stored, typed, view)
    after, focus = _after(typed, press_from(do))
    return _answer(request, stored, after, view, focus)


def _may_go(view: str, typed: Typed) -> bool:
    """Whether another view can be gone to; what cannot stand in the text would be lost there."""
    return view in VIEWS and not typed.refused


def _after(typed: Typed, press: Press) -> tuple[Typed, Press]:
    """A text after a button; what cannot be done leaves it as it is, with the reason."""
    there = Press(press.action, typed.path_now(press.path), press.word)
    try:
        text = pressed(typed.text, there)
    except DocumentError as error:
        return _with(typed, error.problems), there
    focus = focus_after(text, there, typed.added.values())
    return Typed(text, typed.kept, typed.refused), focus


def _with(typed: Typed, problems: tuple[Notice, ...]) -> Typed:
    return Typed(typed.text, typed.kept, (*typed.refused, *problems))


def _saved(request: HttpRequest, stored: Stored, typed: Typed, view: str) -> HttpResponse:
    """Save as a new revision; what cannot be saved is shown again with the reason."""
    if typed.refused:
        return _answer(request, stored, typed, view, status=422)
    to = f"/breads/{stored.key}" + ("?view=text" if view == "text" else "")
    try:
        answer = saving.saved(request, "formula", stored.key, typed.text, to=to)
    except DocumentError:
        return _answer(request, stored, typed, view, status=422)
    announce(f"bread:{stored.key}")
    return answer


def _answer(
    request: HttpRequest,
    stored: Stored,
    typed: Typed,
    view: str,
    focus: Press = NOTHING,
    *,
    status: int = 200,
) -> HttpResponse:
    """The page with what was typed; its rows are those of the text as it is now."""
    now = Typed(typed.text, typed.kept, typed.refused)
    message = request.POST.get("message", "")
    seen = Seen(stored, now, view, _good(request, stored), focus, message)
    return _page(request, seen, status)


def _made_from(request: HttpRequest, key: str) -> Stored:
    """The revision a form was made from; the newest where it does not say."""
    number = saving.expected_number(request)
    try:
        return revision("formula", key, number) if number else newest("formula", key)
    except NotInLibrary:
        return newest("formula", key)


def _text(request: HttpRequest, stored: Stored) -> str:
    return saving.typed(request.POST.get("text", stored.text), stored.text)


def _good(request: HttpRequest, stored: Stored) -> str:
    return saving.typed(request.POST.get("good", ""), stored.text)


def _typed(request: HttpRequest, stored: Stored) -> tuple[str, Typed]:
    """Which view was sent, and its text with what was typed."""
    text = _text(request, stored)
    if request.POST.get("view") == "text":
        return "text", Typed(text)
    return "form", typed_into(text, {name: str(said) for name, said in request.POST.items()})

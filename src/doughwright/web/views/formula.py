"""The formula page: what a bread is made of, to be changed as a form or as text."""

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods, require_POST

from doughwright.engine.ingredients import ingredient_table
from doughwright.errors import DocumentError, Notice
from doughwright.render.messages import where
from doughwright.sheets.formula import FormulaSheet
from doughwright.store.errors import NotInLibrary
from doughwright.store.library import Stored, newest, revision
from doughwright.web import saving
from doughwright.web.breads import shelf_text
from doughwright.web.formula_edits import (
    Press,
    Typed,
    focus_after,
    press_from,
    pressed,
    typed_into,
)
from doughwright.web.formula_fields import Row
from doughwright.web.formula_form import Form, form_of
from doughwright.web.formula_state import Said, State, Worked, state_of, worked
from doughwright.web.pages import page

VIEWS = ("form", "text")
EDITOR = "formula.html.j2"
LIVE = "formula_live.html.j2"


@dataclass(frozen=True, slots=True)
class Shown:
    """A text as the page shows it; ``held`` says that the numbers are those from before."""

    stored: Stored
    view: str
    typed: Typed
    form: Form | None
    state: State
    worked: Worked
    numbers: FormulaSheet | None
    good: str
    focus: Press
    message: str

    @property
    def has_form(self) -> bool:
        """Whether the text can be shown as a form."""
        return _form(self.typed.text)[0] is not None

    @property
    def held(self) -> bool:
        """Whether the numbers shown are from before the text had problems."""
        return self.numbers is not None and not self.state.good

    def comes_to(self, row: Row) -> bool:
        """Whether a button led to this row."""
        return self.focus.action == "at" and self.focus.path == row.path

    @property
    def changed(self) -> bool:
        """Whether the text is another than that of the revision it was made from."""
        return self.typed.text != self.stored.text

    @property
    def why(self) -> str:
        """What stands in the way of numbers, in a word about each place."""
        problems = (*self.typed.refused, *self.state.problems)
        places = list(dict.fromkeys(filter(None, map(where, problems))))
        said = "; ".join(places[:3]) + ("; …" if len(places) > 3 else "")
        return f"look at {said}." if said else "the text cannot be followed."

    @property
    def changes(self) -> tuple[str, ...]:
        """What is changed, in the trade's words."""
        return saving.changes(self.stored.text, self.typed.text) if self.changed else ()


@require_http_methods(["GET", "HEAD", "POST"])
def formula(request: HttpRequest, key: str) -> HttpResponse:
    """The formula to be changed; what is done in its form is answered with the page again."""
    if request.method == "POST":
        return _done(request, key)
    stored = newest("formula", key)
    asked = request.GET.get("view", "")
    view = asked if asked in VIEWS else VIEWS[0]
    return page(request, EDITOR, _said(_shown(stored, Typed(stored.text), view=view)))


@require_POST
def live(request: HttpRequest, key: str) -> HttpResponse:
    """What changes around the fields with a key press; the fields themselves stay."""
    stored = _made_from(request, key)
    view, typed = _typed(request, stored)
    base = form_of(_text(request, stored)) if view == "form" else None
    return page(request, LIVE, _said(_shown(stored, typed, view=view, form=base)))


def _done(request: HttpRequest, key: str) -> HttpResponse:
    stored = _made_from(request, key)
    view, typed = _typed(request, stored)
    do = request.POST.get("do", "look")
    if do == "save" and not typed.refused:
        return _saved(request, stored, typed, view)
    if do.startswith("view-"):
        asked = do.removeprefix("view-")
        view = asked if asked in VIEWS and not typed.refused else view
        return _answer(request, stored, typed, view=view)
    press = press_from(do)
    after, press, problems = _after(typed, press) if view == "form" else (typed, press, ())
    return _answer(request, stored, after, view=view, focus=press, more=problems)


def _after(typed: Typed, press: Press) -> tuple[Typed, Press, tuple[Notice, ...]]:
    """A text after a button; what cannot be done leaves it as it is, with the reason."""
    there = Press(press.action, typed.path_now(press.path), press.word)
    try:
        text = pressed(typed.text, there)
    except DocumentError as error:
        return typed, there, error.problems
    return Typed(text, typed.kept, typed.refused), focus_after(text, there), ()


def _saved(request: HttpRequest, stored: Stored, typed: Typed, view: str) -> HttpResponse:
    """Save as a new revision; a text that is no document is shown again with the reason."""
    to = f"/breads/{stored.key}" + ("?view=text" if view == "text" else "")
    try:
        return saving.saved(request, "formula", stored.key, typed.text, to=to)
    except DocumentError:
        return _answer(request, stored, typed, view=view, status=422)


def _answer(
    request: HttpRequest,
    stored: Stored,
    typed: Typed,
    *,
    view: str,
    focus: Press = Press(""),
    more: tuple[Notice, ...] = (),
    status: int = 200,
) -> HttpResponse:
    """The page with what was typed; the rows are those of the text as it is now."""
    now = Typed(typed.text, typed.kept, (*typed.refused, *more))
    good = saving.typed(request.POST.get("good", ""), stored.text)
    message = request.POST.get("message", "")
    shown = _shown(stored, now, view=view, focus=focus, good=good, message=message)
    return page(request, EDITOR, _said(shown), status=status)


def _made_from(request: HttpRequest, key: str) -> Stored:
    """The revision a form was made from; the newest where it does not say."""
    try:
        return revision("formula", key, saving.expected_number(request))
    except NotInLibrary:
        return newest("formula", key)


def _text(request: HttpRequest, stored: Stored) -> str:
    return saving.typed(request.POST.get("text", stored.text), stored.text)


def _typed(request: HttpRequest, stored: Stored) -> tuple[str, Typed]:
    """Which view was sent, and its text with what was typed."""
    text = _text(request, stored)
    if request.POST.get("view") == "text":
        return "text", Typed(text)
    return "form", typed_into(text, request.POST.dict())  # type: ignore[arg-type]  # no files


def _shown(
    stored: Stored,
    typed: Typed,
    *,
    view: str,
    form: Form | None = None,
    focus: Press = Press(""),
    good: str = "",
    message: str = "",
) -> Shown:
    """Work a text out; without numbers of its own it is shown with the last there were."""
    shelf = shelf_text()
    state = state_of(typed.text, shelf)
    before = state_of(good or stored.text, shelf)
    numbers = state.sheet or before.sheet
    rows, view = (form, view) if form is not None or view == "text" else _form(typed.text)
    beside = worked(rows, typed, state, numbers) if rows is not None else _nowhere(state)
    known = typed.text if state.good else before.text
    return Shown(stored, view, typed, rows, state, beside, numbers, known, focus, message)


def _form(text: str) -> tuple[Form | None, str]:
    """The form of a text, or its text view where it has none."""
    try:
        return form_of(text), "form"
    except DocumentError:
        return None, "text"


def _nowhere(state: State) -> Worked:
    """Messages of a text that has no rows."""
    return Worked({}, {}, {}, tuple(map(Said, state.notices)))


def _said(shown: Shown) -> dict[str, Any]:
    return {
        "bread": {"stored": shown.stored},
        "shown": shown,
        "known": tuple(ingredient_table()),
    }

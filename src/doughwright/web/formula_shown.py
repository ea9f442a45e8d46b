"""A formula as its page shows it: its fields, its numbers, and what is said of both."""

from dataclasses import dataclass, field

from doughwright.errors import DocumentError, Notice, Path
from doughwright.render.messages import where, words
from doughwright.sheets.formula import FormulaSheet
from doughwright.store.library import Stored
from doughwright.web.breads import shelf_text
from doughwright.web.formula_edits import Typed
from doughwright.web.formula_fields import Row
from doughwright.web.formula_form import Form, form_of
from doughwright.web.formula_presses import Press
from doughwright.web.formula_state import Said, State, Worked, changes, state_of, worked

MOST_PLACES = 3
NOTHING = Press("")


@dataclass(frozen=True, slots=True)
class Seen:
    """What a page is to show: a text over the revision it was made from, as form or text.

    ``good`` is the last text that had numbers, ``focus`` the button that was pressed, ``form``
    the one on the page already, where only what stands around its fields is asked for.
    """

    stored: Stored
    typed: Typed
    view: str
    good: str = ""
    focus: Press = NOTHING
    message: str = ""
    form: Form | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Shown:
    """A text with all the page shows of it; ``good`` is the last text that had numbers."""

    seen: Seen
    view: str
    form: Form | None
    before: State
    state: State
    worked: Worked
    numbers: FormulaSheet | None
    good: str

    @property
    def stored(self) -> Stored:
        """The revision the text was made from."""
        return self.seen.stored

    @property
    def typed(self) -> Typed:
        """The text, and what of what was typed is not in it."""
        return self.seen.typed

    @property
    def held(self) -> bool:
        """Whether the numbers shown are from before the text had problems."""
        return self.numbers is not None and not self.state.good

    @property
    def changed(self) -> bool:
        """Whether the text is another than that of the revision it was made from."""
        return self.typed.text != self.stored.text

    @property
    def changes(self) -> tuple[str, ...]:
        """What is changed, in the trade's words."""
        return changes(self.before, self.state) if self.changed else ()

    @property
    def problem_count(self) -> int:
        """How many things stand in the way."""
        return len(self.state.problems) + len(self.typed.refused)

    @property
    def has_form(self) -> bool:
        """Whether the text can be shown as a form."""
        return _form(self.typed.text) is not None

    @property
    def why(self) -> str:
        """What stands in the way of numbers: where it is, or the first of it in words."""
        problems = (*self.typed.refused, *self.state.problems)
        marks = {row.mark for row in self.form.rows} if self.form is not None else set()
        places = dict.fromkeys(_place(n.where, marks) for n in problems)
        said = [place for place in places if place]
        more = "; …" if len(said) > MOST_PLACES else ""
        if said:
            return f"look at {'; '.join(said[:MOST_PLACES])}{more}."
        return words(problems[0]) if problems else ""

    def comes_to(self, row: Row) -> bool:
        """Whether a button led to this row."""
        return self.seen.focus.action == "at" and self.seen.focus.path == row.path


def _place(path: Path, marks: set[str]) -> str:
    """A path as a baker would say it; the mark of an empty row is no word."""
    known = path[:-1] if path and path[-1] in marks else path
    return where(Notice.of("no-text", *known))


def shown(seen: Seen) -> Shown:
    """Work a text out; without numbers of its own it is shown with the last there were."""
    typed, shelf = seen.typed, shelf_text()
    state, before = state_of(typed.text, shelf), state_of(seen.stored.text, shelf)
    last = state_of(seen.good, shelf) if seen.good else before
    numbers = state.sheet or last.sheet
    form = seen.form if seen.form is not None or seen.view == "text" else _form(typed.text)
    said = (Said(notice) for notice in (*typed.refused, *state.notices))
    return Shown(
        seen=seen,
        view="text" if form is None else "form",
        form=form,
        before=before,
        state=state,
        worked=worked(form, typed, state, numbers) if form else Worked({}, {}, {}, tuple(said)),
        numbers=numbers,
        good=typed.text if state.good else last.text,
    )


def _form(text: str) -> Form | None:
    """The form of a text, if it has one."""
    try:
        return form_of(text)
    except DocumentError:
        return None

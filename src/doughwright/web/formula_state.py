"""What a formula's text comes to while it is being changed: its numbers, or why there are none."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import lru_cache

from doughwright.documents.differences import differences
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.nodes import ABOUT_KEYS
from doughwright.documents.reading import ABOUT_NAMES, other_document, read_document
from doughwright.engine.ingredients import nearest_names
from doughwright.errors import DocumentError, DoughwrightError, Notice, Path
from doughwright.render.differences import difference_lines
from doughwright.resolving.formulas import resolved_formula, sized_wish
from doughwright.resolving.shelf import with_shelf
from doughwright.sheets.formula import FormulaRow, FormulaSheet, PreparationTable, formula_sheet
from doughwright.web.breads import shelf_in
from doughwright.web.formula_edits import Typed, rows_by_path
from doughwright.web.formula_fields import Row
from doughwright.web.formula_form import Form, tree_of
from doughwright.web.formula_order import other_named
from doughwright.web.formula_presses import button

KEPT = 64


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """A text's numbers; where there are none, the problems that stand in the way.

    Two of the same text are the same: states are kept under it.
    """

    text: str
    document: FormulaDocument | None
    sheet: FormulaSheet | None
    problems: tuple[Notice, ...]

    @property
    def good(self) -> bool:
        """Whether there are numbers."""
        return self.sheet is not None

    @property
    def notices(self) -> tuple[Notice, ...]:
        """All there is to say of it."""
        return self.problems if self.sheet is None else self.sheet.notices


@lru_cache(KEPT)
def state_of(text: str, shelf: str) -> State:
    """The numbers of a text with the shelf's values for what it leaves open."""
    try:
        reading = read_document(text, "your text")
    except DocumentError as error:
        return State(text, None, None, error.problems)
    document = reading.document
    if not isinstance(document, FormulaDocument):
        wrong = reading.located(other_document(document, "formula/1"))
        return State(text, None, None, wrong.problems)
    try:
        whole = with_shelf(document, shelf_in(shelf))
        formula = resolved_formula(whole, sized_wish(whole))
        return State(text, document, formula_sheet(formula), ())
    except DoughwrightError as error:
        return State(text, document, None, reading.located(error).problems)


@lru_cache(KEPT)
def changes(before: State, after: State) -> tuple[str, ...]:
    """What one text changes against another, in the trade's words; nothing if not readable."""
    if before.document is None or after.document is None:
        return ()
    return difference_lines(differences(before.document, after.document))


# --- where it stands on the page


@dataclass(frozen=True, slots=True)
class Offer:
    """What one press would do about a problem: its words and the button's value."""

    words: str
    do: str


@dataclass(frozen=True, slots=True)
class Said:
    """A message beside the row it is about, with the field that is wrong and ways out."""

    notice: Notice
    field: str = ""
    offers: tuple[Offer, ...] = ()


@dataclass(frozen=True, slots=True)
class Worked:
    """Numbers and messages by the mark of their row; ``elsewhere`` is about no row."""

    lines: Mapping[str, FormulaRow]
    tables: Mapping[str, PreparationTable]
    said: Mapping[str, tuple[Said, ...]]
    elsewhere: tuple[Said, ...]

    @property
    def wrong(self) -> frozenset[str]:
        """The fields that are wrong."""
        found = (s for beside in self.said.values() for s in beside)
        return frozenset(s.field for s in found if s.notice.weight == "stop")


def worked(form: Form, typed: Typed, state: State, numbers: FormulaSheet | None) -> Worked:
    """Put numbers and messages of a text to the rows of the form it was typed into."""
    rows = rows_by_path(form, typed)
    now = {row.mark: path for path, row in rows.items()}
    tables = {table.name: table for table in (numbers.preparations if numbers else ())}
    lines, sums = {}, {}
    for mark, path in now.items():
        table = tables.get(str(path[1])) if path[:1] == ("preparations",) and path[1:] else None
        if table is None:
            continue
        if len(path) == 2:
            sums[mark] = table
        elif len(path) == 4 and (row := _line(table, path)) is not None:
            lines[mark] = row
    said, elsewhere = _beside(rows, typed, (*typed.refused, *state.notices))
    return Worked(lines, sums, said, elsewhere)


def _line(table: PreparationTable, path: Path) -> FormulaRow | None:
    taken = path[2] == "from"
    found = (row for row in table.rows if row.name == path[3] and row.is_preparation == taken)
    return next(found, None)


def _beside(
    rows: Mapping[Path, Row], typed: Typed, notices: Iterable[Notice]
) -> tuple[dict[str, tuple[Said, ...]], tuple[Said, ...]]:
    """Each message beside the row it is about: the nearest that its path leads to."""
    said: dict[str, tuple[Said, ...]] = {}
    elsewhere: list[Said] = []
    for notice in notices:
        path = notice.where
        while path and path not in rows:
            path = path[:-1]
        row = rows.get(path) if path or _is_head(rows, notice) else None
        if row is None:
            elsewhere.append(Said(notice))
        else:
            there = notice.where if _is_new(row) else row.path
            offers = (*_takings(notice, there, typed.text), *_offers(notice, there))
            beside = Said(notice, _field(row, typed, notice), offers)
            said[row.mark] = (*said.get(row.mark, ()), beside)
    return said, tuple(elsewhere)


def _is_new(row: Row) -> bool:
    """Whether a row is an empty one, whose path is not in the text it was shown for."""
    return any(f.key.holds == "a" for f in row.main)


def _is_head(rows: Mapping[Path, Row], notice: Notice) -> bool:
    """Whether a message about the whole is about one of its head's fields."""
    head = rows.get(())
    return head is not None and any(f.path == notice.where[:1] for f in head.fields)


def _field(row: Row, typed: Typed, notice: Notice) -> str:
    """The name of the field that a message is about; none if it is about the row."""
    about_key, where = notice.code in ABOUT_NAMES | ABOUT_KEYS, notice.where
    if _is_new(row):
        return _field_of_new(row, where)
    by_path = {(f.key.holds == "n", typed.path_now(f.path)): f for f in row.fields}
    if notice.code == "missing-key":  # it is about the key, and stands where the key would
        where = (*where, str(notice.values.get("read")))
    if where[:1] == ("process",) and where[2:] == ("of",):
        return row.main[-1].name
    exact = by_path.get((about_key, where)) or by_path.get((not about_key, where))
    if exact is not None:
        return exact.name
    nested = (f for f in row.fields if f.key.path and typed.path_now(f.path)[: len(where)] == where)
    longer = (f for f in row.fields if where[: len(f.path)] == typed.path_now(f.path))
    found = next(longer, None) or (next(nested, None) if where != row.path else None)
    return found.name if found is not None else ""


def _field_of_new(row: Row, where: Path) -> str:
    """The field of an empty row that a message is about: its amount, or what it is called."""
    named = {str(f.key.path[-1]): f.name for f in row.fields}
    if where[-1:] == ("amount",) and "amount" in named:
        return named["amount"]
    return named.get("of" if where[:1] == ("process",) else "name", row.main[-1].name)


def _takings(notice: Notice, there: Path, text: str) -> Iterable[Offer]:
    """Let a preparation take what nothing takes, or what stands among its ingredients by name."""
    left = notice.values.get("left")
    if isinstance(left, list) and len(notice.where) == 2:
        for name in left:
            words = f"Let the {notice.where[1]} take all of the {name}"
            yield Offer(words, button("take", there, str(name)))
    if notice.where[2:3] == ("ingredients",) and notice.code in {"missing-key", *ABOUT_NAMES}:
        others = [n for n in tree_of(text)["preparations"] if n != notice.where[1]]
        other = other_named(str(notice.where[3]), others)
        if other:
            yield Offer(f"Take all of the {other}", button("take", there[:4], other))


def _offers(notice: Notice, there: Path) -> Iterable[Offer]:
    """Ways out of a word that is not known: the nearest that are, or one's own.

    ``there`` is where the line stands in the text that its form was made of.
    """
    if notice.code != "unknown-ingredient" or not notice.where:
        return
    read = str(notice.values.get("read", ""))
    if len(notice.where) == 4:
        for name in nearest_names(read, 2):
            yield Offer(f"Use “{name}”", button("use", there, name))
        yield Offer(f"Add “{read}” as your own", button("own", ("ingredients",), read))

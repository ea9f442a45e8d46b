"""What changed between two documents, as data: where, what, and what it was."""

from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from doughwright.documents.comparing import Difference
from doughwright.documents.differences import differences
from doughwright.documents.editing import Edit, Insert, Move, Remove, SetValue, edited
from doughwright.documents.reading import Document, read_document
from doughwright.documents.writing import body
from doughwright.errors import DocumentError

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
TEXTS = {path.stem: path.read_text("utf-8") for path in EXAMPLES}
POCKETS = TEXTS["leek-and-curd-pockets"]


def found(text: str, *edits: Edit) -> tuple[Difference, ...]:
    return differences(read_document(text).document, read_document(edited(text, edits)).document)


def test_a_difference_leads_to_its_place() -> None:
    salt = ("preparations", "dough", "ingredients", "salt")
    assert found(POCKETS, SetValue(salt, "2 %")) == (
        Difference("changed", salt, "salt", "dough", "1.8 %", "2 %"),
    )
    kept = found(POCKETS, SetValue((*salt, "kept"), "fridge"))
    assert kept == (Difference("added", (*salt, "kept"), "salt kept", "dough", "", "fridge"),)
    (state,) = found(TEXTS["harbour-lane.series"], SetValue(("breads", 7, "state"), "on trial"))
    assert state.where == ("breads", 7, "state")
    (cold,) = found(TEXTS["harbour-lane.kitchen"], SetValue(("tap", "cold"), "9 °C"))
    assert cold.where == ("tap", "cold")
    (tall,) = found(POCKETS, SetValue(("process", 8, "form", "high"), "3 cm"))
    assert tall.where == ("process", 8, "form", "high")


def test_what_was_taken_out_leads_into_the_earlier_document() -> None:
    (gone,) = found(POCKETS, Remove(("process", 13)))
    assert (gone.kind, gone.where, gone.what) == ("removed", ("process", 13), "cool dough")


def at(document: Document, where: tuple[str | int, ...]) -> Any:
    value: Any = body(document)
    for step in where:
        if isinstance(value, dict) and step not in value:
            return None
        if isinstance(value, list) and not isinstance(step, int):
            return None  # ``from: [sponge]``, named by what it lists
        if isinstance(value, str):
            return None
        value = value[step]
    return value


fields = st.sampled_from(
    (
        ("name",),
        ("note",),
        ("room",),
        ("yield", "flour"),
        ("tested in", "tap", "hot"),
        ("preparations", "dough", "aim"),
        ("preparations", "dough", "ingredients", "salt"),
        ("preparations", "dough", "ingredients", "malt"),
        ("process", 0, "note"),
        ("breads", 2, "note"),
        ("ingredients", "leek", "water"),
    )
)
values = st.sampled_from(("", "3 %", "2 kg", "20 °C", "words", "idea"))
positions = st.integers(0, 9)
lists = st.sampled_from(("process", "breads"))
edits_of_a_baker = st.lists(
    st.one_of(
        st.builds(SetValue, fields, values),
        st.builds(Move, st.tuples(lists, positions), positions),
        st.builds(Remove, st.tuples(lists, positions)),
        st.builds(Insert, st.just(("process",)), positions, st.none(), st.just({"fold": "dough"})),
    ),
    min_size=1,
    max_size=4,
)


def without_empties(tree: Any) -> Any:
    """A tree without keys that hold nothing: no baker sees them."""
    if not isinstance(tree, dict):
        return tree
    kept = {key: without_empties(value) for key, value in tree.items()}
    return {key: value for key, value in kept.items() if value not in ({}, [])}


# Most edits made at random leave no document to compare.
@settings(deadline=None, suppress_health_check=[HealthCheck.filter_too_much])
@given(st.sampled_from(sorted(TEXTS)), edits_of_a_baker)
def test_documents_differ_exactly_where_differences_say(name: str, edits: list[Edit]) -> None:
    before = read_document(TEXTS[name]).document
    try:
        after = read_document(edited(TEXTS[name], edits)).document
    except DocumentError:
        assume(False)
    said = differences(before, after)
    same = without_empties(body(before)) == without_empties(body(after))
    assert bool(said) != same
    for each in said:
        side = before if each.kind == "removed" else after
        assert at(side, each.where) is not None, each

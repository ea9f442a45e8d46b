"""Laws of editing: what is asked for is what is read, and nothing else moves."""

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Literal

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st

from doughwright.documents.editing import Edit, Insert, Move, Remove, Rename, SetValue, edited
from doughwright.documents.formula import FormulaDocument
from doughwright.documents.layout import OddLayout, laid_out, printed
from doughwright.documents.nodes import Atlas, plain_tree, root_node
from doughwright.documents.reading import read_document
from doughwright.errors import DocumentError
from doughwright.errors import Path as Where

EXAMPLES = [
    path.read_text("utf-8")
    for path in sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
]
TWISTED = """\
# top
doughwright: formula/1  # kind
name: 'It''s'   # name
note: >  # folded
  some words
  more

  and more

tags:
- a   # first

# loose
# own
- "b"
# at the end
preparations:   # all
    dough:
        kind: dough
        note: |+
          kept

        # aside
        from: {sponge: 80 %,   # most
               soaker: }
        ingredients: {
          flour: 100 %,  # strong, or not
          water: {amount: 60 %, at: 20 °C},
          }

    # before the sponge
    sponge:
        kind: preferment
        ingredients:

            # flour first
            flour: {amount: 20 %}
            water:
                amount: 20 %   # of it
                # why
                at: 20 °C
            # one more?
        # nothing
process:
-   mix: sponge
    by: hand   # hand!

-
    mix: dough
    form: {round: 1 cm}
ingredients: {}
# the end
"""
TEXTS = [*EXAMPLES, TWISTED]
texts = st.one_of(
    st.sampled_from(TEXTS), st.sampled_from(TEXTS).map(lambda text: text.replace("\n", "\r\n"))
)
CONTROLS: tuple[Literal["Cc"], Literal["Cs"]] = ("Cc", "Cs")  # no document holds them
words = st.one_of(
    st.text(st.characters(exclude_categories=CONTROLS), min_size=1, max_size=12),
    st.sampled_from(("1.8 %", "yes", "a: b", "two\nlines", "# x", "{", "- a", "x:", "é", "a\x85b")),
)
keys = words.filter(lambda word: word.strip())


def tree_of(text: str) -> Any:
    atlas = Atlas(text, "text")
    tree = plain_tree(root_node(text, atlas), (), atlas)
    assert not atlas.problems
    return tree


def inner(tree: Any, where: Where = ()) -> Iterator[tuple[Where, Any]]:
    """Every value with its path, the whole first."""
    yield where, tree
    steps = tree.items() if isinstance(tree, dict) else enumerate(tree)
    if not isinstance(tree, str):
        for step, value in steps:
            yield from inner(value, (*where, step))


def leaves(text: str) -> list[tuple[Where, str]]:
    return [(where, value) for where, value in inner(tree_of(text)) if isinstance(value, str)]


def holders(text: str, kind: type, least: int = 0) -> list[tuple[Where, Any]]:
    return [
        (where, value)
        for where, value in inner(tree_of(text))
        if isinstance(value, kind) and len(value) >= least
    ]


def changed(tree: Any, where: Where, value: Any) -> Any:
    """The tree with another value at a path."""
    if not where:
        return value
    step, *rest = where
    if isinstance(tree, list):
        return [changed(v, tuple(rest), value) if i == step else v for i, v in enumerate(tree)]
    return {k: changed(v, tuple(rest), value) if k == step else v for k, v in tree.items()}


def comments(text: str) -> Counter[str]:
    """Every comment of a text, counted; in these texts no value holds a hash."""
    return Counter(re.findall(r"(?<!\S)#[^\r\n]*", text))


def uses(where: Where) -> bool:
    return where[2:3] == ("from",)


@pytest.mark.parametrize("text", TEXTS)
def test_the_parts_of_a_text_are_the_text(text: str) -> None:
    for each in (text, text.replace("\n", "\r\n"), text.replace("\n", "\r")):
        assert printed(laid_out(each, root_node(each, Atlas(each, "text")))) == each


@pytest.mark.parametrize("text", TEXTS)
def test_what_is_there_is_set_and_nothing_changes(text: str) -> None:
    edits = [SetValue(where, value) for where, value in leaves(text) if value]
    assert edited(text, edits) == text
    names = [where for where, _ in leaves(text) if isinstance(where[-1], str)]
    assert edited(text, [Rename(where, str(where[-1])) for where in names]) == text


@st.composite
def cut_texts(draw: st.DrawFn) -> str:
    """A text with a few spots cut, doubled or overwritten."""
    text = draw(texts)
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(text)))
        stop = min(len(text), start + draw(st.integers(0, 9)))
        scraps = ("\n", "#", " # c", "{", "}", ",", ": ", "- ", "'", "|\n", "  ", "? ", "\r", "\t")
        text = text[:start] + draw(st.sampled_from((*scraps, ""))) + text[stop:]
    return text


@given(cut_texts())
def test_any_text_that_can_be_read_comes_apart_and_together(text: str) -> None:
    atlas = Atlas(text, "text")
    try:
        node = root_node(text, atlas)
        plain_tree(node, (), atlas)
    except DocumentError:
        return
    if not atlas.problems:
        whole = text if text.endswith(("\n", "\r")) else f"{text}\n"
        try:
            assert printed(laid_out(whole, root_node(whole, atlas))) == whole
        except OddLayout:
            assume(False)


@given(cut_texts(), words, st.data())
def test_a_value_set_in_any_text_is_read_there(text: str, value: str, data: st.DataObject) -> None:
    try:
        edited(text, ())
        found = leaves(text)
    except (AssertionError, DocumentError):
        return
    where = data.draw(st.sampled_from(found))[0] if found else ()
    if where:
        again = edited(text, [SetValue(where, value)])
        assert tree_of(again) == changed(tree_of(text), where, value)


@given(texts, words, st.data())
def test_a_value_set_is_read_there_and_every_comment_stays(
    text: str, value: str, data: st.DataObject
) -> None:
    where, _ = data.draw(st.sampled_from(leaves(text)))
    again = edited(text, [SetValue(where, value)])
    assert tree_of(again) == changed(tree_of(text), where, value)
    if "#" not in value:
        assert comments(again) == comments(text)


@given(texts, keys, words, st.data())
def test_a_key_set_anew_is_read_there_and_can_be_cleared(
    text: str, key: str, value: str, data: st.DataObject
) -> None:
    where, holder = data.draw(st.sampled_from(holders(text, dict, least=1)))
    assume(key not in holder and not uses(where) and key != "amount")
    again = edited(text, [SetValue((*where, key), value)])
    assert tree_of(again) == changed(tree_of(text), where, {**holder, key: value})
    cleared = edited(again, [SetValue((*where, key), "")])
    if where[2:3] != ("ingredients",):
        assert tree_of(cleared) == tree_of(text)
    assert comments(cleared) == comments(text)


@given(texts, keys, words, st.data())
def test_a_key_put_in_stands_at_its_position(
    text: str, key: str, value: str, data: st.DataObject
) -> None:
    where, holder = data.draw(st.sampled_from(holders(text, dict)))
    assume(key not in holder and not uses(where) and len(where) != 4)
    at = data.draw(st.integers(0, len(holder)))
    made = data.draw(st.sampled_from((value, {"b": value, "c": "d"}, {}, [value, "x"])))
    again = edited(text, [Insert(where, at, key, made)])
    items = [*holder.items()]
    wanted = [*items[:at], (key, made), *items[at:]]
    found = dict(inner(tree_of(again)))[where] if where else tree_of(again)
    assert [*found.items()] == wanted
    assert "#" in value + key or comments(again) == comments(text)


@given(texts, words, st.data())
def test_an_item_put_in_stands_at_its_position(text: str, value: str, data: st.DataObject) -> None:
    found = holders(text, list)
    assume(found)
    where, holder = data.draw(st.sampled_from(found))
    assume(not uses(where))
    at = data.draw(st.integers(0, len(holder)))
    made = data.draw(st.sampled_from((value, {"mix": value, "by": "hand"}, {"mix": "x"})))
    again = edited(text, [Insert(where, at, None, made)])
    wanted = [*holder[:at], made, *holder[at:]]
    assert tree_of(again) == changed(tree_of(text), where, wanted)
    assert "#" in value or comments(again) == comments(text)
    assert tree_of(edited(again, [Remove((*where, at))])) == tree_of(text)


@given(texts, st.data())
def test_moved_there_and_back_it_is_the_same(text: str, data: st.DataObject) -> None:
    kind = data.draw(st.sampled_from((dict, list)))
    found = holders(text, kind, least=2)
    assume(found)
    where, holder = data.draw(st.sampled_from(found))
    start, stop = (data.draw(st.integers(0, len(holder) - 1)) for _ in range(2))
    names = [*holder] if isinstance(holder, dict) else None
    there = Move((*where, names[start] if names else start), stop)
    back = Move((*where, names[start] if names else stop), start)
    moved = edited(text, [there])
    items = [*holder]
    items.insert(stop, items.pop(start))
    at_place = dict(inner(tree_of(moved)))[where]
    assert [*at_place] == items
    assert comments(moved) == comments(text)
    assert tree_of(edited(moved, [back])) == tree_of(text)
    assert [*dict(inner(tree_of(edited(moved, [back]))))[where]] == [*holder]


@given(texts, st.data())
def test_taken_out_it_is_gone_and_nothing_else(text: str, data: st.DataObject) -> None:
    places = [
        (where, value)
        for where, value in inner(tree_of(text))
        if where and not uses(where) and len(where) != 5
    ]
    where, _ = data.draw(st.sampled_from(places))
    again = tree_of(edited(text, [Remove(where)]))
    holder = dict(inner(tree_of(text)))[where[:-1]]
    rest = (
        [v for i, v in enumerate(holder) if i != where[-1]]
        if isinstance(holder, list)
        else {k: v for k, v in holder.items() if k != where[-1]}
    )
    assert again == changed(tree_of(text), where[:-1], rest)


FORMULAS = [text for text in EXAMPLES if "formula/1" in text]


@given(st.sampled_from(FORMULAS), keys, st.data())
@example(FORMULAS[0], "a: b", None)
def test_a_renamed_preparation_leaves_a_document(
    text: str, name: str, data: st.DataObject | None
) -> None:
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    old = data.draw(st.sampled_from([*document.preparations])) if data else "dough"
    assume(name not in document.preparations)
    again = read_document(edited(text, [Rename(("preparations", old), name)])).document
    assert isinstance(again, FormulaDocument)
    swapped = [name if each == old else each for each in document.preparations]
    assert [*again.preparations] == swapped
    for step, was in zip(again.process, document.process, strict=True):
        assert step.of == (name if was.of == old else was.of)
    for p, was in zip(again.preparations.values(), document.preparations.values(), strict=True):
        assert [*p.uses] == [name if each == old else each for each in was.uses]
        assert p.ingredients == was.ingredients
    back = edited(
        edited(text, [Rename(("preparations", old), name)]), [Rename(("preparations", name), old)]
    )
    assert read_document(back).document == document


@given(st.sampled_from(FORMULAS), st.data())
def test_a_line_opened_and_closed_is_the_same_text(text: str, data: st.DataObject) -> None:
    lines = [
        where
        for where, value in inner(tree_of(text))
        if len(where) == 4 and where[2] == "ingredients" and isinstance(value, str)
    ]
    where = data.draw(st.sampled_from(lines))
    edits: list[Edit] = [SetValue((*where, "kept"), "fridge")]
    assert read_document(edited(text, edits))
    assert edited(text, [*edits, SetValue((*where, "kept"), "")]) == text

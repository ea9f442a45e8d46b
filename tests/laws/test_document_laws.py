"""Laws of documents: what is read is written back, and no text is a crash."""

from contextlib import suppress
from pathlib import Path
from typing import Any, Literal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import FERMENTING, STEP_KEYS, FormulaDocument
from doughwright.documents.names import is_seen
from doughwright.documents.quantities import quantity
from doughwright.documents.reading import document_from, read_document
from doughwright.documents.writing import body, written
from doughwright.errors import DocumentError
from doughwright.resolving.formulas import Wish, hydration_range, resolved_formula

EXAMPLES = [
    path.read_text("utf-8")
    for path in sorted((Path(__file__).parents[2] / "examples").glob("*.yaml"))
]

# --- documents made up from the words of the trade ------------------------------------------------

CONTROLS: tuple[Literal["C"]] = ("C",)
signs = st.characters(codec="utf-8", exclude_categories=CONTROLS)
words = st.one_of(
    st.text(signs, min_size=1, max_size=12).filter(str.strip),
    st.sampled_from(
        ("two\nlines", "ends \n", "  begins", "a\tb", "a\u2028b", "a\x85b", "# x", "'\"")
    ),
)
names = st.one_of(st.sampled_from(("dough", "sponge", "no", "1:30", "- x", "a: b", "#")), words)
titles = names.filter(is_seen)
masses = st.sampled_from(("500 g", "1 lb 2 oz", "0.5 kg", "10–12 g", "½ oz"))
percents = st.sampled_from(("72 %", "1.8 %", "60–70 %", "5 percent"))
temperatures = st.sampled_from(("24 °C", "75 °F", "-18 °C", "300 K"))
durations = st.sampled_from(("45 min", "1 h 30 min", "45–60 min", "2 days"))
yes_or_no = st.sampled_from(("yes", "no"))
prices = st.sampled_from(("6.40 EUR/kg", "€1.35 per 500 g", "4.00 USD for 2 lb", "3 EUR/10 large"))
amounts = st.one_of(masses, percents, st.sampled_from(("5 parts", "250 ml", "2 large", "½ tsp")))


def some(**optional: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    """A mapping with any of these keys."""
    spelt = {key.replace("_", " "): values for key, values in optional.items()}
    return st.fixed_dictionaries({}, optional=spelt)


lines = st.one_of(
    amounts,
    st.builds(
        lambda amount, rest: {"amount": amount, **rest},
        amounts,
        some(
            at=temperatures, kept=st.sampled_from(("room", "fridge")), flour=yes_or_no, note=words
        ),
    ),
)
uses = st.one_of(
    st.lists(names, min_size=1, max_size=3, unique=True),
    st.dictionaries(
        names,
        st.one_of(percents, masses, some(share=percents, at=temperatures)),
        min_size=1,
        max_size=3,
    ),
)
preparations = st.builds(
    lambda kind, rest: {"kind": kind, **rest},
    st.sampled_from(("preferment", "soaker", "dough", "filling", "glaze", "topping")),
    st.fixed_dictionaries(
        {},
        optional={
            "style": words,
            "from": uses,
            "aim": temperatures,
            "each": masses,
            "ingredients": st.dictionaries(names, lines, max_size=4),
            "note": words,
        },
    ),
)
STEP_VALUES: dict[str, st.SearchStrategy[Any]] = {
    "for": durations,
    "took": durations,
    "until": st.sampled_from(("ripe", "double", "1.8x", "50 min")),
    "at": st.one_of(st.sampled_from(("room", "fridge", "proofer")), temperatures),
    "cover": yes_or_no,
    "steam": yes_or_no,
    "by": words,
    "cue": words,
    "note": words,
    "keep": st.sampled_from(("room", "fridge")),
    "during": st.sampled_from(("proof", "bake", "rest")),
    "pieces": st.integers(1, 99).map(str),
    "form": st.sampled_from(
        ({"round": "11 cm"}, {"oval": "26 x 14 cm", "high": "7 cm"}, {"tin": "1.4 l"})
    ),
    "oven": st.sampled_from(("165 °C fan", "gas mark 6", "475 °F conventional", "200 °C")),
    "then": st.just("185 °C fan"),
    "core": temperatures,
}


@st.composite
def steps(draw: st.DrawFn) -> dict[str, Any]:
    verb = draw(st.sampled_from(sorted(STEP_KEYS)))
    keys = draw(st.lists(st.sampled_from(sorted(STEP_KEYS[verb])), unique=True, max_size=4))
    if verb in FERMENTING and "until" in keys:
        keys = [key for key in keys if key != "for"]  # a rise ends by one of them
    return {verb: draw(names), **{key: draw(STEP_VALUES[key]) for key in keys}}


formulas = st.builds(
    lambda name, prepared, rest: {
        "doughwright": "formula/1",
        "name": name,
        "preparations": prepared,
        **rest,
    },
    titles,
    st.dictionaries(names, preparations, max_size=3),
    st.fixed_dictionaries(
        {},
        optional={
            "place": st.sampled_from(("LV", "US", "NO")),
            "language": words,
            "tags": st.lists(words, max_size=3),
            "note": words,
            "yield": some(
                pieces=st.integers(1, 99).map(str),
                piece=masses,
                spare=percents,
                tin=st.just("1.4 l"),
            ),
            "process": st.lists(steps(), max_size=4),
            "tested in": some(
                room=temperatures,
                fridge=temperatures,
                oven=st.just("fan"),
                altitude=st.just("12 m"),
            ),
            "ingredients": st.dictionaries(
                names,
                some(
                    water=percents,
                    like=words,
                    flour=yes_or_no,
                    price=prices,
                    allergens=st.lists(words, min_size=1, max_size=2),
                ),
                max_size=2,
            ),
        },
    ),
)


@given(formulas)
def test_what_is_written_is_read_back_the_same(tree: dict[str, Any]) -> None:
    document = document_from(tree)
    text = written(document)
    reading = read_document(text)
    assert reading.document == document
    assert body(reading.document) == body(document)
    assert written(reading.document, reading) == text
    assert document_from(body(document)) == document


@given(formulas, titles)
def test_a_new_name_changes_the_name_alone(tree: dict[str, Any], name: str) -> None:
    reading = read_document(written(document_from(tree)))
    renamed = reading.document.model_copy(update={"name": name})
    again = read_document(written(renamed, reading)).document
    assert again == renamed


@given(formulas, formulas)
def test_any_document_can_be_written_over_any_other(
    one: dict[str, Any], other: dict[str, Any]
) -> None:
    over = read_document(written(document_from(one)))
    wanted = document_from(other)
    assert read_document(written(wanted, over)).document == wanted


# --- no text is a crash ---------------------------------------------------------------------------


def read_or_refused(text: str) -> None:
    """Reading and solving end well or in a refusal; any other error is a defect."""
    with suppress(DocumentError):
        document = read_document(text).document
        if isinstance(document, FormulaDocument):
            resolved_formula(document)


yaml_scraps = st.lists(
    st.one_of(
        st.text(max_size=8),
        st.sampled_from(
            [
                "doughwright: formula/1\n",
                "name: x\n",
                "preparations:\n",
                "  dough:\n",
                "    kind: dough\n",
                "    ingredients: ",
                "{flour: 500 g}\n",
                "- ",
                "? ",
                ": ",
                "&a ",
                "*a",
                "!!int ",
                "!x ",
                "|\n",
                ">-\n",
                "'",
                '"',
                "[",
                "]",
                "{",
                "}",
                "#",
                "%YAML 1.1\n",
                "---\n",
                "...\n",
                "\t",
                "\r\n",
                "\x85",
                "\u2028",
                "<<: ",
            ]
        ),
    ),
    max_size=12,
).map("".join)


@given(st.one_of(st.text(), yaml_scraps))
def test_any_text_is_read_or_refused(text: str) -> None:
    read_or_refused(text)


@st.composite
def mutated_examples(draw: st.DrawFn) -> str:
    """An example with a few spots cut, doubled, swapped or overwritten."""
    text = draw(st.sampled_from(EXAMPLES))
    for _ in range(draw(st.integers(1, 4))):
        start = draw(st.integers(0, len(text)))
        stop = min(len(text), start + draw(st.integers(0, 12)))
        other = draw(
            st.one_of(
                st.text(max_size=4),
                st.just(text[start:stop] * 2),
                st.sampled_from(["0", "-", "1e9 kg", "0 %", "100 %", "\n", "{", "flour"]),
            )
        )
        text = text[:start] + other + text[stop:]
    return text


@given(mutated_examples())
def test_an_example_with_slips_is_read_or_refused(text: str) -> None:
    read_or_refused(text)


@given(formulas)
def test_any_formula_that_can_be_read_is_solved_or_refused(tree: dict[str, Any]) -> None:
    document = document_from(tree)
    assert isinstance(document, FormulaDocument)
    with suppress(DocumentError):
        resolved_formula(document)


WET = ("water", "water (second)", "milk", "egg", "salt", "honey", "levain")
weights = st.sampled_from(("500 g", "1 lb 2 oz", "0.5 kg", "10–12 g", "½ oz", "0 g"))
takes = st.sampled_from(("100 %", "80 %", "100 g", "500 g", "2 kg", "130 %"))


@st.composite
def chains(draw: st.DrawFn) -> dict[str, Any]:
    """Up to three preparations that end in a dough, and perhaps a filling beside it."""
    early = draw(st.integers(0, 3))
    amount = draw(st.sampled_from((weights, weights, percents)))
    prepared: dict[str, Any] = {}
    for i in range(early + 1):
        flour = draw(amount) if amount is weights else f"{100 // (early + 1)} %"
        lines: dict[str, Any] = {"flour": flour} | draw(
            st.dictionaries(st.sampled_from(WET), amount, max_size=3)
        )
        if "levain" in lines:
            lines["levain"] = {"amount": lines["levain"], "hydration": "50 %"}
        others = [f"p{j}" for j in range(i)] if i == early else [f"p{i - 1}"][: i and 1]
        taken = {name: draw(takes) for name in others if i == early or draw(st.booleans())}
        kind = "dough" if i == early else draw(st.sampled_from(("preferment", "soaker", "dough")))
        prepared[f"p{i}"] = {"kind": kind, "from": taken, "ingredients": lines}
    for name in draw(st.sets(st.sampled_from(("filling", "glaze")))):
        lines = {"leek": draw(st.sampled_from(("2 parts", "100 g"))), "salt": "1 g"}
        beside = {"kind": name, "ingredients": lines}
        other = {"from": {"filling": "50 g"}} if name == "glaze" and "filling" in prepared else {}
        prepared[name] = beside | other | draw(some(each=weights.filter(lambda m: m != "0 g")))
    return prepared


wishes = st.one_of(
    st.just(Wish()),
    st.builds(Wish, pieces=st.integers(1, 50)),
    st.builds(Wish, pieces=st.integers(1, 50), piece=st.floats(0.01, 2.0)),
    st.builds(Wish, piece=st.floats(0.01, 2.0)),
    st.builds(Wish, dough=st.floats(0.01, 20.0)),
    st.builds(Wish, flour=st.floats(0.01, 20.0)),
    st.builds(
        Wish,
        having=st.tuples(
            st.sampled_from(("flour", *WET)), masses.map(lambda text: quantity(text, "mass"))
        ),
    ),
)


@given(
    chains(),
    some(
        pieces=st.integers(1, 50).map(str), piece=masses, flour=masses, dough=masses, spare=percents
    ),
    wishes,
)
def test_any_graph_of_known_things_is_solved_or_refused(
    prepared: dict[str, Any], makes: dict[str, Any], wish: Wish
) -> None:
    tree = {"doughwright": "formula/1", "name": "x", "preparations": prepared, "yield": makes}
    document = document_from(tree)
    assert isinstance(document, FormulaDocument)
    with suppress(DocumentError):
        found = resolved_formula(document, wish)
        low, high = hydration_range(found)
        assert 0 <= low <= high
        for p in found.solution.preparations:
            assert min((*p.masses, *p.taken.values()), default=0.0) >= -1e-9
            assert 0 <= p.used <= 1 + 1e-9


@given(
    st.recursive(
        st.one_of(st.none(), st.booleans(), st.integers(), st.floats(), st.text(max_size=5)),
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(
                st.sampled_from(
                    ("doughwright", "name", "preparations", "process", "yield", "kind", "mix")
                ),
                inner,
                max_size=3,
            ),
        ),
        max_leaves=8,
    )
)
def test_any_body_is_a_document_or_refused(tree: Any) -> None:
    for extra in ({}, {"doughwright": "formula/1", "name": "x"}, {"doughwright": "kitchen/1"}):
        whole = {**tree, **extra} if isinstance(tree, dict) else tree
        with suppress(DocumentError):
            assert document_from(whole).doughwright in {"formula/1", "kitchen/1"}


@pytest.mark.parametrize("text", EXAMPLES)
def test_lines_taken_out_of_an_example_is_read_or_refused(text: str) -> None:
    lines = text.splitlines(keepends=True)
    for i in range(0, len(lines), 3):
        read_or_refused("".join(lines[:i] + lines[i + 1 :]))

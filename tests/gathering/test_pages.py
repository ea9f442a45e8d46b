"""Saved pages: JSON-LD, microdata, tables and text; hostile ones too.

The forms of schema.org's Recipe are those its page lists: name, recipeIngredient, recipeYield,
recipeInstructions as text, a list, HowToStep or HowToSection. The recipes are our own.
"""

import json
import time
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.errors import DocumentError
from doughwright.gathering.gathered import Gathered
from doughwright.gathering.pages.saved import (
    any_gathered,
    decoded,
    is_page,
    json_gathered,
    page_gathered,
)

RECIPE: dict[str, Any] = {
    "@context": "https://schema.org",
    "@type": "Recipe",
    "name": "Harbour rolls",
    "recipeYield": ["12", "12 rolls"],
    "recipeIngredient": ["500 g strong flour", "325 ml water", "10 g salt", "7 g instant yeast"],
    "recipeInstructions": [
        {
            "@type": "HowToSection",
            "name": "Dough",
            "itemListElement": [
                {"@type": "HowToStep", "text": "Knead for 10 minutes."},
                {"@type": "HowToStep", "text": "Leave to rise for 60–90 min."},
            ],
        },
        {"@type": "HowToStep", "text": "Bake at 220°C for 15 minutes."},
    ],
    "cookTime": "PT15M",
}


def page(*parts: object) -> str:
    scripts = "".join(
        f'<script type="application/ld+json">{json.dumps(part)}</script>' for part in parts
    )
    return f"<!DOCTYPE html><html><head><title>x</title>{scripts}</head><body>blog</body></html>"


def names(read: Gathered) -> list[str]:
    return [item.name for section in read.sections for item in section.items]


ROLLS = ["strong flour", "water", "salt", "instant yeast"]


@pytest.mark.parametrize(
    "declared",
    [
        RECIPE,
        [RECIPE],
        {"@context": "https://schema.org", "@graph": [{"@type": "WebPage"}, RECIPE]},
        {"@type": "WebPage", "mainEntity": {"@type": "Article", "about": [RECIPE]}},
        {**RECIPE, "@type": ["Recipe", "NewsArticle"]},
        {**RECIPE, "recipeIngredient": "\n".join(RECIPE["recipeIngredient"])},
        {**RECIPE, "recipeIngredient": None, "ingredients": RECIPE["recipeIngredient"]},
        {**RECIPE, "recipeIngredient": [f"<b>{line}</b>" for line in RECIPE["recipeIngredient"]]},
    ],
)
def test_a_declared_recipe_is_found_wherever_it_stands(declared: object) -> None:
    read = page_gathered(page({"@type": "Organization"}, declared), "rolls.html")
    assert read.title == "Harbour rolls"
    assert names(read) == ROLLS
    assert [made.pieces for made in read.made] == [(12, 12), (12, 12)]
    assert [time.verb for time in read.times] == ["mix", "ferment", "bake"]
    assert len(read.ovens) == 1


@pytest.mark.parametrize(
    "steps",
    [
        "Knead for 10 minutes. Leave to rise for 60–90 min.",
        ["Knead for 10 minutes.", "Leave to rise for 60–90 min."],
        "<ol><li>Knead for 10 minutes.</li><li>Leave to rise for 60–90 min.</li></ol>",
        {"@type": "ItemList", "itemListElement": [{"text": "Knead for 10 minutes."}, "Rise 1 h."]},
    ],
)
def test_a_method_may_be_text_a_list_or_steps(steps: object) -> None:
    read = page_gathered(page({**RECIPE, "recipeInstructions": steps}))
    assert [time.verb for time in read.times] == ["mix", "ferment"]


def test_each_ingredient_knows_its_place_in_the_list() -> None:
    read = page_gathered(page(RECIPE), "rolls.html")
    water = read.sections[0].items[1].origin
    assert (water.source, water.line, water.text) == ("rolls.html", 2, "325 ml water")


def test_headings_among_the_ingredients_begin_parts() -> None:
    lines = ["For the sponge:", "100 g strong flour", "For the dough:", "400 g strong flour"]
    read = page_gathered(page({**RECIPE, "recipeIngredient": lines}))
    assert [section.title for section in read.sections] == ["sponge", "dough"]


def test_lines_may_name_their_part_in_brackets() -> None:
    lines = ["100 g strong flour (sponge)", "90 g water (at 22 °C, sponge)", "9 g salt (dough)"]
    read = page_gathered(page({**RECIPE, "recipeIngredient": lines}))
    assert {s.title: len(s.items) for s in read.sections} == {"sponge": 2, "dough": 1}


def test_of_several_recipes_the_longest_is_read_and_the_others_are_told() -> None:
    other = {"@type": "Recipe", "name": "Jam", "recipeIngredient": ["1 kg plums"]}
    read = page_gathered(page(other, RECIPE))
    assert read.title == "Harbour rolls"
    assert [line.text for line in read.unread] == ["Jam", "1 kg plums"]


MICRODATA = """
<html><body><div itemscope itemtype="https://schema.org/Recipe">
<h1 itemprop="name">Harbour rolls</h1>
<meta itemprop="recipeYield" content="12 rolls">
<ul><li itemprop="recipeIngredient">500 g <a>strong flour</a></li>
<li itemprop="recipeIngredient">325 ml water</li></ul>
<div itemprop="recipeInstructions"><p>Knead for 10 minutes.</p><p>Bake at 220°C.</p></div>
</div></body></html>
"""


def test_microdata_is_read() -> None:
    read = page_gathered(MICRODATA)
    assert (read.title, names(read)) == ("Harbour rolls", ["strong flour", "water"])
    assert [line.text for line in read.method] == ["Knead for 10 minutes.", "Bake at 220°C."]
    assert read.made[0].pieces == (12, 12)


TABLE = """
<html><head><style>td { color: red }</style></head><body>
<nav><a>Home</a></nav><h1>Harbour loaf</h1><p>Makes 2 loaves</p>
<h2>Poolish</h2>
<table><tr><th>What</th><th>Weight (g)</th></tr>
<tr><td>strong <b>flour</b><td>200<tr><td>water<td>200<tr><td>Total<td>400</table>
<h2>Dough</h2>
<ul><li>all of the poolish</li><li>800 g strong flour</li><li>20 g salt</li></ul>
<h2>Method</h2><ol><li>Knead for<br>8 minutes.</li></ol>
<script>alert("500 g rye")</script></body></html>
"""


def test_a_page_that_declares_nothing_is_read_by_its_tables_and_text() -> None:
    read = page_gathered(TABLE)
    assert read.title == "Harbour loaf"
    assert {
        s.title: [(i.name, i.amount and i.amount.best) for i in s.items] for s in read.sections
    } == {
        "Poolish": [("strong flour", 200.0), ("water", 200.0)],
        "Dough": [("poolish", None), ("strong flour", 800.0), ("salt", 20.0)],
    }
    assert [m.pieces for m in read.made] == [(2, 2)]


def test_json_alone_is_read_and_other_json_is_text() -> None:
    read = any_gathered(json.dumps(RECIPE), "rolls.json")
    assert names(read) == ROLLS
    assert json_gathered('{"@type": "Person"}') is None
    assert any_gathered("[500 g flour]", "odd").source == "odd"


@pytest.mark.parametrize(
    ("body", "text"),
    [
        ("½ tsp".encode(), "½ tsp"),
        ("\ufeff½ tsp".encode(), "½ tsp"),
        ("½ tsp".encode("utf-16"), "½ tsp"),
        (b'<meta charset="windows-1252">\xbd', '<meta charset="windows-1252">½'),
        (b"\xbd tsp", None),
    ],
)
def test_a_file_is_decoded_as_it_says(body: bytes, text: str | None) -> None:
    assert decoded(body) == text


# --- Hostile pages ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "html",
    [
        "<div>" * 50_000 + "500 g strong flour",
        "<table><tr><td>" * 20_000 + "500 g strong flour",
        "<ul><li>" * 20_000 + "500 g strong flour",
        "<html><![if gte mso 9]><p>500 g strong flour<![foo <!",
        "<html>500 g strong flour" + "<!--" * 10_000,
        '<script type="application/ld+json">' + "[" * 100_000 + "</script><p>500 g strong flour",
        '<script type="application/ld+json">{"@type": "Recipe"</script><p>500 g strong flour',
        '<script type="application/ld+json">{"@type": "Recipe", "name": [[[1]]]}</script>5 g salt',
    ],
    ids=["depth", "tables", "lists", "marked", "comments", "brackets", "broken", "odd"],
)
def test_a_hostile_page_is_read_in_seconds(html: str) -> None:
    begin = time.monotonic()
    read = page_gathered(html)
    assert time.monotonic() - begin < 10
    assert isinstance(read, Gathered)


@pytest.mark.parametrize("html", ["<p>" * 200_000, "<p>" + "x" * 6_000_000])
def test_a_page_beyond_reason_is_refused(html: str) -> None:
    with pytest.raises(DocumentError) as caught:
        page_gathered(html)
    assert caught.value.problems[0].code == "gather-too-long"


@pytest.mark.parametrize("html", ["<html></html>", "<html><script>x</script><nav>Home</nav>"])
def test_a_page_without_text_says_so(html: str) -> None:
    with pytest.raises(DocumentError) as caught:
        page_gathered(html)
    assert caught.value.problems[0].code == "gather-empty"


def test_what_is_a_page() -> None:
    assert is_page("\n <!doctype HTML>")
    assert not is_page("500 g flour, < 2 % salt")


JSON = st.recursive(
    st.none() | st.booleans() | st.floats(allow_nan=False) | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(
            st.sampled_from([*RECIPE, "@graph", "@type", "text", "itemListElement", "ingredients"]),
            inner,
            max_size=4,
        )
    ),
    max_leaves=12,
)


@given(JSON)
def test_no_declared_tree_breaks_the_reader(tree: object) -> None:
    for whole in (tree, {"@type": "Recipe", "recipeIngredient": ["1 g salt", tree], "name": tree}):
        read = page_gathered(page(whole))
        assert read.sections or read.other or read.unread or read.title


@given(st.text(alphabet="<>/!-[]trdhpu=\"' 5g\n&;", max_size=60))
def test_no_markup_breaks_the_reader(markup: str) -> None:
    assert page_gathered(f"<html><p>500 g strong flour</p>{markup}").sections

"""Ingredients: what the table knows with its source, and the baker's own shelf."""

from datetime import UTC, datetime
from urllib.parse import quote

import pytest
from django.test import Client

from doughwright.engine.ingredients import ingredient_table
from doughwright.store.demo import fill
from doughwright.store.library import history, listed, newest, save
from doughwright.web.fields import plain_of

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
OWN = "/ingredients/own?name="


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def page_at(client: Client, address: str) -> str:
    answer = client.get(address)
    assert answer.status_code == 200
    return answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")


def shelf() -> dict[str, dict[str, str]]:
    key = listed("shelf")[0].key
    return dict(plain_of(newest("shelf", key).text).get("ingredients") or {})


def test_the_table_is_searched_with_sources(library: Client) -> None:
    page = page_at(library, "/ingredients?q=ricotta")
    assert "<b>74.0 %</b>" in page
    assert "FDC 170851" in page
    assert "Keep it cold; allergens: milk." in page
    page = page_at(library, "/ingredients")
    assert all(
        f">{name}</a>" in page
        for name in ("strong white flour", "rye malt")
        if name in ingredient_table()
    )


def test_what_is_not_known_leads_to_the_nearest_and_to_the_shelf(library: Client) -> None:
    page = page_at(library, "/ingredients?q=ricota+chese")
    assert "Nearest:" in page
    assert 'href="/ingredients/own?name=ricota%20chese"' in page


def test_a_value_of_the_table_is_corrected_and_the_comments_stay(library: Client) -> None:
    page = page_at(library, f"{OWN}ricotta")
    assert "the table: 74.0 %" in page
    posted = {"expected": "1", "called": "ricotta", "water": "70", "price": "7 EUR/kg"}
    assert library.post(f"{OWN}ricotta", posted).status_code == 303
    assert shelf()["ricotta"]["water"] == "70 %"
    assert shelf()["ricotta"]["price"] == "7 EUR/kg"
    assert "# Nothing in the table is like it" in newest("shelf", listed("shelf")[0].key).text


def test_an_ingredient_of_ones_own_is_put_on_the_shelf_and_used(library: Client) -> None:
    posted = {
        "expected": "1", "called": "sea buckthorn, sieved", "kind": "fruit", "water": "83",
        "sugars": "3 %", "carbohydrate": "5", "allergens": "milk, wheat",
    }  # fmt: skip
    assert library.post(f"{OWN}whatever", posted).status_code == 303
    assert shelf()["sea buckthorn, sieved"] == {
        "kind": "fruit", "water": "83 %", "sugars": "3 %", "carbohydrate": "5 %",
        "allergens": ["milk", "wheat"],
    }  # fmt: skip
    bread = (
        "doughwright: formula/1\nname: Orange loaf\npreparations:\n"
        "  dough: {kind: dough, ingredients: {strong white flour: 100 %, water: 50 %, "
        "'sea buckthorn, sieved': 20 %}}\n"
    )
    save(bread, key=None, expected=0, message="", now=NOW)
    for _ in range(20):
        found = page_at(library, "/breads?q=orange")
        if "being worked out" not in found:
            break
    assert "66.6 % hydration" in found


def test_an_ingredient_is_renamed_and_taken_off(library: Client) -> None:
    posted = {"expected": "1", "called": "green leek oil"}
    assert library.post(f"{OWN}leek oil", posted).status_code == 303
    assert shelf()["green leek oil"]["fat"] == "92 %"
    assert "leek oil" not in shelf()
    posted = {"expected": "2", "called": "green leek oil", "do": "out"}
    assert library.post(f"{OWN}green leek oil", posted).status_code == 303
    assert "green leek oil" not in shelf()
    assert "# Nothing in the table is like it" not in newest("shelf", listed("shelf")[0].key).text


@pytest.mark.parametrize(
    ("name", "posted", "beside"),
    [
        ("", {"called": " "}, "called-wrong"),
        ("", {"called": "honey"}, "called-wrong"),
        ("honey", {"called": "ricotta"}, "called-wrong"),
        ("honey", {"called": "honey", "water": "wet"}, "water-wrong"),
        ("honey", {"called": "honey", "like": "moonlight"}, "like-wrong"),
        ("honey", {"called": "honey", "price": "dear"}, "price-wrong"),
        ("honey", {"called": "honey", "edible": "140"}, "edible-wrong"),
        ("honey", {"called": "honey", "saturates": "60"}, "saturates-wrong"),
        ("", {"called": "odd", "water": "60", "fat": "70"}, ""),
        ("", {"called": "x" * 300, "water": "60"}, "called-wrong"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(
    library: Client, name: str, posted: dict[str, str], beside: str
) -> None:
    answer = library.post(f"{OWN}{quote(name)}", {"expected": "1", "protein": "7.5 %", **posted})
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert answer.status_code == 422
    assert f'id="{beside}"' in page or not beside
    assert 'value="7.5 %"' in page
    assert "Not saved" in page
    assert len(history("shelf", listed("shelf")[0].key)) == 1


def test_a_library_without_a_shelf_gets_one(paired: Client) -> None:
    assert paired.get("/ingredients").status_code == 200
    posted = {"expected": "0", "called": "quay honey", "like": "honey", "price": "9 EUR/kg"}
    assert paired.post(OWN, posted).status_code == 303
    assert shelf() == {"quay honey": {"like": "honey", "price": "9 EUR/kg"}}
    posted = {"expected": "1", "called": "plain thing"}
    assert paired.post(OWN, posted).status_code == 303
    assert shelf()["plain thing"] == {}
    for name, number in (("quay honey", "2"), ("plain thing", "3")):
        sent = {"expected": number, "called": name, "do": "out"}
        assert paired.post(f"{OWN}{quote(name)}", sent).status_code == 303
    assert shelf() == {}
    posted = {"expected": "4", "called": "again", "water": "5"}
    assert paired.post(OWN, posted).status_code == 303
    assert shelf() == {"again": {"water": "5 %"}}


def test_two_bakers_at_one_shelf_lose_nothing(library: Client) -> None:
    first = {"expected": "1", "called": "ricotta", "water": "70"}
    assert library.post(f"{OWN}ricotta", first).status_code == 303
    second = {"expected": "1", "called": "honey", "water": "17"}
    answer = library.post(f"{OWN}honey", second)
    page = answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")
    assert answer.status_code == 409
    assert "honey" in page.split("What was changed meanwhile")[0]
    assert "ricotta" in page.split("What was changed meanwhile")[1]


def test_the_shelf_as_text_is_judged_like_a_bread_that_uses_it(library: Client) -> None:
    key = listed("shelf")[0].key
    text = newest("shelf", key).text.replace("fat: 92 %", "fat: 192 %")
    answer = library.post("/ingredients?view=text", {"expected": "1", "text": text})
    assert answer.status_code == 422
    assert b"leek oil" in answer.content
    assert len(history("shelf", key)) == 1


@pytest.mark.parametrize("name", ["<script>1</script>", "../../etc/passwd", "a/b?c#d&e", "x" * 500])
def test_hostile_names_are_names(library: Client, name: str) -> None:
    page = page_at(library, f"{OWN}{quote(name)}")
    assert "<script>1" not in page
    page = page_at(library, f"/ingredients?q={quote(name)}")
    assert "<script>1" not in page
    sent = {"expected": "1", "called": name, "water": "5"}
    answer = library.post(f"{OWN}{quote(name)}", sent)
    assert answer.status_code == (422 if len(name) > 200 else 303)
    assert "<script>1" not in page_at(library, "/ingredients")

"""The recipe for machines: valid by schema.org, the same when others read it from the page.

The schema below is written from the definitions of Recipe, HowToSection, HowToStep and
NutritionInformation at schema.org, for the properties we use: those expecting a Duration hold
an ISO 8601 duration, those expecting Energy or Mass the text "number unit", as that vocabulary
asks of a Quantity. Nothing beside is allowed, so that a slip in a name is found.
"""

import json
import re
from collections.abc import Callable, Iterator
from copy import deepcopy
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import Any

import extruct
import pytest
from isoduration import parse_duration
from jsonschema import Draft202012Validator, FormatChecker

from doughwright.engine.food_rules import Codes
from doughwright.render.card_page import card_page
from doughwright.render.json_ld import recipe, recipe_json
from doughwright.render.numbers import mass
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.card import CardSheet, card

EXAMPLES = Path(__file__).parents[2] / "examples"
FORMULAS = sorted(
    p.stem for p in EXAMPLES.glob("*.yaml") if "doughwright: formula/1" in p.read_text("utf-8")
)
KITCHENS = ("harbour-lane", "home-in-the-hills")
Cards = Callable[..., CardSheet]

TEXT = {"type": "string", "minLength": 1}
DURATION = {"type": "string", "format": "duration", "pattern": "^P(?!$)"}


def quantity(unit: str) -> dict[str, str]:
    return {"type": "string", "pattern": rf"^\d+(\.\d+)? ?{unit}$"}


def typed(kind: str, required: list[str], **properties: Any) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": {"@type": {"const": kind}, **properties},
        "required": ["@type", *required],
        "additionalProperties": False,
    }


STEP = typed("HowToStep", ["text"], text=TEXT)
SECTION = typed(
    "HowToSection",
    ["name", "itemListElement"],
    name=TEXT,
    itemListElement={"type": "array", "items": STEP, "minItems": 1},
)
NUTRITION = typed(
    "NutritionInformation",
    ["servingSize", "calories"],
    servingSize=TEXT,
    calories=quantity("kcal"),
    fatContent=quantity("g"),
    saturatedFatContent=quantity("g"),
    carbohydrateContent=quantity("g"),
    sugarContent=quantity("g"),
    fiberContent=quantity("g"),
    proteinContent=quantity("g"),
    sodiumContent=quantity("mg"),
)
TEXTS = {"type": "array", "items": TEXT, "minItems": 1}
RECIPE = typed(
    "Recipe",
    ["name", "recipeYield", "recipeIngredient"],
    **{"@context": {"const": "https://schema.org"}},
    name=TEXT,
    description=TEXT,
    inLanguage={"type": "string", "pattern": "^[a-z]{2}$"},
    recipeCategory=TEXT,
    keywords=TEXT,
    recipeYield=TEXTS,
    prepTime=DURATION,
    cookTime=DURATION,
    totalTime=DURATION,
    tool=TEXTS,
    recipeIngredient=TEXTS,
    recipeInstructions={"type": "array", "items": SECTION, "minItems": 1},
    nutrition=NUTRITION,
)
VALID = Draft202012Validator(RECIPE, format_checker=FormatChecker())


def slips(tree: Any) -> list[str]:
    return [f"{'/'.join(map(str, e.path))}: {e.message}" for e in VALID.iter_errors(tree)]


def texts(tree: Any) -> Iterator[str]:
    if isinstance(tree, str):
        yield tree
    elif isinstance(tree, dict | list):
        for each in tree.values() if isinstance(tree, dict) else tree:
            yield from texts(each)


def seconds(duration: str) -> float:
    found = parse_duration(duration)
    assert not found.date.years
    assert not found.date.months
    whole = timedelta(days=float(found.date.days)) + timedelta(
        hours=float(found.time.hours), minutes=float(found.time.minutes)
    )
    return whole.total_seconds()


@pytest.mark.parametrize("kitchen", KITCHENS)
@pytest.mark.parametrize("name", FORMULAS)
def test_every_card_is_a_valid_recipe(card_of: Cards, name: str, kitchen: str) -> None:
    tree = recipe(card_of(name, kitchen))
    assert slips(tree) == []
    assert {"prepTime", "recipeInstructions", "nutrition"} <= tree.keys()


@pytest.mark.parametrize("name", FORMULAS)
def test_others_read_the_same_from_the_page(card_of: Cards, name: str) -> None:
    sheet = card_of(name)
    (found,) = extruct.extract(card_page(sheet), syntaxes=["json-ld"])["json-ld"]
    assert found == recipe(sheet) == json.loads(recipe_json(sheet))


@pytest.mark.parametrize("name", FORMULAS)
def test_the_times_are_whole_minutes_that_add_up(card_of: Cards, name: str) -> None:
    sheet = card_of(name)
    tree = recipe(sheet)
    prep, cook, total = (seconds(tree[key]) for key in ("prepTime", "cookTime", "totalTime"))
    assert prep + cook == total
    assert total == pytest.approx(sheet.total.value, abs=30)
    assert cook == pytest.approx(sheet.oven_time.value, abs=30)


@pytest.mark.parametrize("name", FORMULAS)
def test_everything_bought_is_listed_once_and_nothing_made(card_of: Cards, name: str) -> None:
    sheet = card_of(name)
    lines = [x for p in sheet.preparations for x in p.plan.lines if not x.is_preparation]
    listed = recipe(sheet)["recipeIngredient"]
    assert len(listed) == len(lines)
    for line, said in zip(lines, listed, strict=True):
        assert said.startswith(
            f"{mass(line.weight.value or 0, line.step.value or 0.001)} {line.name}"
        )


def test_the_yield_is_a_number_and_words(card_of: Cards) -> None:
    assert recipe(card_of("leek-and-curd-pockets"))["recipeYield"] == ["8", "8 pieces"]


def test_sodium_is_salt_over_two_and_a_half(card_of: Cards) -> None:
    sheet = card_of("leek-and-curd-pockets")
    assert sheet.label is not None
    (salt,) = (row.value for row in sheet.label.per_piece if row.name == "salt")
    milligrams = float(recipe(sheet)["nutrition"]["sodiumContent"].removesuffix(" mg"))
    assert milligrams == pytest.approx((salt or 0) * 1e6 / 2.5, abs=0.5)


def test_nothing_is_invented(card_of: Cards) -> None:
    tree = recipe(card_of("leek-and-curd-pockets"))
    assert {"image", "author", "datePublished", "aggregateRating", "suitableForDiet"}.isdisjoint(
        tree
    )
    assert not any("None" in text or "`" in text for text in texts(tree))


LOAF = """
yield: {pieces: 2, piece: 500 g}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 66 %, salt: 2 %, instant yeast: 0.7 %}
process:
  - mix: dough
    by: hand
  - ferment: dough
    until: double
  - divide: dough
  - shape: dough
    form: {oval: 20 x 11 cm, high: 6 cm}
  - proof: dough
    until: 1.7x
  - bake: dough
    oven: 220 °C fan
"""


@pytest.mark.parametrize("codes", ["EU", "UK", "US"])
def test_each_countrys_label_is_valid(
    solve: Callable[[str], ResolvedFormula], codes: Codes
) -> None:
    sheet = card(solve(LOAF), replace(kitchen_from(None), codes=codes))
    tree = recipe(sheet)
    assert slips(tree) == []
    assert re.fullmatch(r"\d+ kcal", tree["nutrition"]["calories"])


def test_a_time_nobody_knows_is_left_out(solve: Callable[[str], ResolvedFormula]) -> None:
    unknown = LOAF.replace("    oven: 220 °C fan\n", "")
    sheet = card(solve(unknown), kitchen_from(None))
    assert not sheet.complete
    assert {"prepTime", "cookTime", "totalTime"}.isdisjoint(recipe(sheet))
    assert slips(recipe(sheet)) == []


@pytest.mark.parametrize(
    ("key", "slip"),
    [
        ("prepTime", "an hour"),
        ("prepTime", "P"),
        ("totalTime", "4:20"),
        ("recipeIngredient", []),
        ("nutrition", {"@type": "NutritionInformation", "servingSize": "1", "calories": "300"}),
        ("recipeYield", 8),
        ("cooktime", "PT1H"),
    ],
)
def test_the_schema_finds_slips(card_of: Cards, key: str, slip: Any) -> None:
    tree = deepcopy(recipe(card_of("potato-rolls")))
    tree[key] = slip
    assert slips(tree) != []


def test_a_us_label_and_its_recipe_name_the_same_sodium(
    solve: Callable[[str], ResolvedFormula],
) -> None:
    sheet = card(solve(LOAF), replace(kitchen_from(None), codes="US"))
    assert sheet.label is not None
    printed = next(row.printed for row in sheet.label.per_piece if row.name == "Sodium")
    assert recipe(sheet)["nutrition"]["sodiumContent"] == printed

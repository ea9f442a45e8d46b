"""A card as a recipe for machines: JSON-LD in the words of schema.org.

Only what the card says, and only where the vocabulary has a place for it: it knows no ranges,
so durations are the best estimate to a minute; no allergens, no salt (its sodium is given), no
dough temperature, so those stand in the text of the steps and on the page. Nothing is invented:
there is no picture, rating, author or date unless somebody gives one.
"""

import json
from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any

from doughwright.render.card_parts import section_title
from doughwright.render.card_phrases import line_warmth, step_sentences
from doughwright.render.numbers import MINUTE, litres, mass
from doughwright.render.phrases import aside, weight
from doughwright.sheets.card import CardPreparation, CardSheet
from doughwright.sheets.label import LabelSheet
from doughwright.units import Second

CONTEXT = "https://schema.org"

Tree = dict[str, Any]

NUTRIENTS: Mapping[str, tuple[str, str]] = MappingProxyType(
    {
        "energy": ("calories", "kcal"),
        "fat": ("fatContent", "g"),
        "of which saturates": ("saturatedFatContent", "g"),
        "carbohydrate": ("carbohydrateContent", "g"),
        "of which sugars": ("sugarContent", "g"),
        "fibre": ("fiberContent", "g"),
        "protein": ("proteinContent", "g"),
        "Calories": ("calories", ""),
        "Total Fat": ("fatContent", "g"),
        "Saturated Fat": ("saturatedFatContent", "g"),
        "Total Carbohydrate": ("carbohydrateContent", "g"),
        "Total Sugars": ("sugarContent", "g"),
        "Dietary Fiber": ("fiberContent", "g"),
        "Protein": ("proteinContent", "g"),
        "Sodium": ("sodiumContent", "mg"),
    }
)
"""Rows of a label that the vocabulary has a word for, with the unit they are printed in."""

SODIUM_IN_SALT = 1 / 2.5
"""Regulation (EU) No 1169/2011, Annex I: salt is sodium times 2.5."""


def recipe(card: CardSheet) -> Tree:
    """The card as a schema.org Recipe."""
    whole = {
        "@context": CONTEXT,
        "@type": "Recipe",
        "name": card.name,
        "description": card.note,
        "inLanguage": card.language,
        "recipeCategory": "Bread",
        "keywords": ", ".join(card.tags),
        "recipeYield": _yield(card),
        **_times(card),
        "tool": list(_tools(card)),
        "recipeIngredient": [line for p in card.preparations for line in _ingredients(p, card)],
        "recipeInstructions": list(_sections(card)),
        "nutrition": _nutrition(card.label, card) if card.label is not None else None,
    }
    return {key: value for key, value in whole.items() if value}


def recipe_json(card: CardSheet) -> str:
    """The recipe as the text of a file."""
    return json.dumps(recipe(card), indent=2, ensure_ascii=False) + "\n"


def recipe_script(card: CardSheet) -> str:
    """The recipe as it may stand between script tags: no sign in it can end them."""
    said = json.dumps(recipe(card), ensure_ascii=False)
    return said.replace("<", "\\u003c").replace(">", "\\u003e").replace("&", "\\u0026")


def _yield(card: CardSheet) -> list[str]:
    """The number alone and in words, as readers of recipes ask for both."""
    if card.division is None:
        return [f"{mass(card.dough.value or 0.0)} of dough"]
    pieces = card.division.pieces
    return [str(pieces), f"{pieces} {'piece' if pieces == 1 else 'pieces'}"]


def _times(card: CardSheet) -> Tree:
    """Whole minutes that add up: what is not in the oven is preparation, rising included."""
    if not card.complete or card.total.value is None:
        return {}
    total = round(card.total.value / MINUTE) * MINUTE
    if card.oven_time.value is None:
        return {"totalTime": iso_duration(total)}
    oven = round(card.oven_time.value / MINUTE) * MINUTE
    return {
        "prepTime": iso_duration(total - oven),
        "cookTime": iso_duration(oven),
        "totalTime": iso_duration(total),
    }


def iso_duration(seconds: Second) -> str:
    """A duration by ISO 8601, in days, hours and whole minutes.

    >>> iso_duration(15600.0), iso_duration(93600.0), iso_duration(0.0)
    ('PT4H20M', 'P1DT2H', 'PT0M')
    """
    hours, minutes = divmod(round(seconds / MINUTE), 60)
    days, hours = divmod(hours, 24)
    time = f"{f'{hours}H' if hours else ''}{f'{minutes}M' if minutes else ''}"
    whole = f"P{f'{days}D' if days else ''}{f'T{time}' if time else ''}"
    return whole if whole != "P" else "PT0M"


def _tools(card: CardSheet) -> Iterator[str]:
    """What it takes beside scale and oven."""
    steps = [step for section in card.sections for step in section.steps]
    yield from dict.fromkeys(s.row.by for s in steps if s.row.by not in {"", "hand"})
    for form in (step.form for step in steps):
        if form is not None and form.volume is not None and form.volume.value is not None:
            yield f"tin of {litres(form.volume.value)}"
    if any(step.row.verb == "bake" and step.row.core is not None for step in steps):
        yield "thermometer"


def _ingredients(p: CardPreparation, card: CardSheet) -> Iterator[str]:
    """Each thing that is weighed, with what it is for; what is made of them is left out."""
    several = len(card.preparations) > 1
    for line in p.plan.lines:
        if line.is_preparation:
            continue
        said = filter(None, (aside(line), line_warmth(line), p.plan.name if several else ""))
        beside = ", ".join(said)
        yield f"{weight(line)} {line.name}{f' ({beside})' if beside else ''}"


def _sections(card: CardSheet) -> Iterator[Tree]:
    preferments = {p.plan.name for p in card.preparations if p.plan.kind == "preferment"}
    for section in card.sections:
        steps = (step_sentences(s, preferment=s.row.of in preferments) for s in section.steps)
        yield {
            "@type": "HowToSection",
            "name": section_title(section, card),
            "itemListElement": [
                {"@type": "HowToStep", "text": " ".join(said).replace("`", "")} for said in steps
            ],
        }


def _nutrition(label: LabelSheet, card: CardSheet) -> Tree:
    """What a label gives of a piece or a serving; what is not known in full is left out."""
    found: Tree = {"@type": "NutritionInformation", "servingSize": _serving(label, card)}
    for row in label.per_piece:
        if row.value is None or row.least:
            continue
        if row.name == "salt":
            found["sodiumContent"] = f"{row.value * SODIUM_IN_SALT * 1e6:.0f} mg"
        known, unit = NUTRIENTS.get(row.name, ("", ""))
        if known and unit in row.printed and row.printed[:1].isdigit():  # not "less than 1 g"
            found[known] = row.printed if known != "calories" else _calories(row.printed)
    return found if len(found) > 2 else {}


def _calories(printed: str) -> str:
    return f"{printed.split(maxsplit=1)[0]} kcal"


def _serving(label: LabelSheet, card: CardSheet) -> str:
    weight_of = mass(label.serving.value or 0.0)
    if not label.serving_pieces or card.division is None:
        return weight_of
    pieces = f"{label.serving_pieces} {'piece' if label.serving_pieces == 1 else 'pieces'}"
    return f"{pieces}, about {weight_of}"

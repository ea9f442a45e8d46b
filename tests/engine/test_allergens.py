"""Allergens by the lists of the EU, the UK and the US."""

from dataclasses import replace

import pytest

from doughwright.documents.formula import OwnIngredient
from doughwright.engine.allergens import (
    CHECK,
    CONTAINS,
    MAY_CONTAIN,
    STRONGEST_FIRST,
    allergen_table,
    declaration,
)
from doughwright.engine.ingredients import Ingredient, ingredient_named, ingredient_table
from doughwright.resolving.lines import own_ingredient

TABLE = ingredient_table()


def lines(*names: str, place: str = "EU", may: tuple[str, ...] = ()) -> dict[str, str]:
    found = declaration([TABLE[name] for name in names], place, may)
    return {line.name: line.state for line in found.lines}


def own(**allergens: tuple[str, ...]) -> Ingredient:
    return replace(own_ingredient("our mix", OwnIngredient(), None), **allergens)


def entry(name: str, **said: object) -> Ingredient:
    """An entry of a formula's ``ingredients:``."""
    found = OwnIngredient.model_validate(said)
    return own_ingredient(name, found, ingredient_named(found.like or name))


def test_the_fourteen_of_the_eu() -> None:
    # Regulation (EU) No 1169/2011, Annex II, points 1 to 14
    assert [allergen.eu_name for allergen in allergen_table().values()] == [
        "cereals containing gluten",
        "crustaceans",
        "eggs",
        "fish",
        "peanuts",
        "soybeans",
        "milk, lactose included",
        "nuts",
        "celery",
        "mustard",
        "sesame seeds",
        "sulphur dioxide and sulphites",
        "lupin",
        "molluscs",
    ]


def test_the_nine_of_the_us() -> None:
    # 21 USC 321(qq); sesame since 1 January 2023
    assert {a.us_name for a in allergen_table().values() if a.us_name} == {
        "milk",
        "egg",
        "fish",
        "Crustacean shellfish",
        "tree nuts",
        "wheat",
        "peanuts",
        "soybeans",
        "sesame",
    }


def test_cereals_and_nuts_have_the_kinds_of_annex_ii() -> None:
    kinds = {key: a.kinds for key, a in allergen_table().items() if a.kinds}
    assert kinds == {
        "gluten": ("wheat", "spelt (wheat)", "khorasan (wheat)", "rye", "barley", "oats"),
        "nuts": (
            "almonds",
            "hazelnuts",
            "walnuts",
            "cashews",
            "pecan nuts",
            "Brazil nuts",
            "pistachio nuts",
            "macadamia nuts",
        ),
    }


# Annex II and 21 USC 321(qq), one ingredient at a time
@pytest.mark.parametrize(
    ("name", "eu", "us"),
    [
        ("spelt flour", ["spelt (wheat)"], ["wheat"]),
        ("khorasan flour", ["khorasan (wheat)"], ["wheat"]),
        ("semolina", ["wheat"], ["wheat"]),
        ("medium rye flour", ["rye"], []),
        ("malt syrup", ["barley"], []),
        ("rolled oats", ["oats"], []),
        ("whole milk", ["milk"], ["milk"]),
        ("unsalted butter", ["milk"], ["milk"]),
        ("egg yolk", ["egg"], ["egg"]),
        ("sesame seeds", ["sesame"], ["sesame"]),
        ("walnuts", ["walnuts"], ["walnuts"]),
        ("pecans", ["pecan nuts"], ["pecan nuts"]),
        ("poppy seeds", [], []),
        ("sunflower seeds", [], []),
    ],
)
def test_what_an_ingredient_brings(name: str, eu: list[str], us: list[str]) -> None:
    for place, expected in (("EU", eu), ("UK", eu), ("US", us)):
        found = declaration([TABLE[name]], place).lines
        assert [line.name for line in found if line.state == CONTAINS] == expected


def test_every_allergen_of_the_table_is_understood() -> None:
    for place in ("EU", "US"):
        assert declaration(TABLE.values(), place).not_understood == ()
        assert declaration(TABLE.values(), place).unstated == ()


def test_lines_stand_in_the_order_of_the_law_with_all_that_bring_them() -> None:
    used = [TABLE[n] for n in ("sesame seeds", "egg", "whole milk", "unsalted butter")]
    found = [(line.name, line.brought_by) for line in declaration(used).lines]
    assert found == [
        ("egg", ("egg",)),
        ("milk", ("whole milk", "unsalted butter")),
        ("sesame", ("sesame seeds",)),
    ]


def test_what_depends_on_the_maker_has_to_be_checked() -> None:
    assert lines("raisins") == {"sulphites": CHECK}
    assert lines("raisins", place="US") == {}  # not one of the nine
    assert lines("hard cheese") == {"egg": CHECK, "milk": CONTAINS}


def test_the_stronger_state_stands_and_names_who_brings_it() -> None:
    found = declaration([TABLE["hard cheese"], TABLE["egg"]], may_contain=["eggs"]).lines
    assert [(line.name, line.state, line.brought_by) for line in found] == [
        ("egg", CONTAINS, ("egg",)),
        ("milk", CONTAINS, ("hard cheese",)),
    ]


def test_what_the_baker_says_may_be_there() -> None:
    may = ("Walnut", "soy", "mustard", "spelt", "tree nuts")
    assert lines(may=may) == {
        "spelt (wheat)": MAY_CONTAIN,
        "soya": MAY_CONTAIN,
        "nuts": MAY_CONTAIN,
        "walnuts": MAY_CONTAIN,
        "mustard": MAY_CONTAIN,
    }
    assert lines(may=may, place="US") == {
        "wheat": MAY_CONTAIN,
        "soybeans": MAY_CONTAIN,
        "tree nuts": MAY_CONTAIN,
        "walnuts": MAY_CONTAIN,
    }


def test_gluten_without_a_cereal_may_be_wheat_in_the_us() -> None:
    mix = own(allergens_eu=("gluten",), allergens_us=("gluten",))
    assert [(line.name, line.state) for line in declaration([mix]).lines] == [("gluten", CONTAINS)]
    assert [(line.name, line.state) for line in declaration([mix], "US").lines] == [
        ("wheat", CHECK)
    ]


def test_species_are_named() -> None:
    # 21 USC 343(w): the species of fish and Crustacean shellfish
    fish = own(allergens_eu=("fish:anchovy",), allergens_us=("fish:anchovy",))
    for place in ("EU", "US"):
        assert [line.name for line in declaration([fish], place).lines] == ["anchovy (fish)"]


def test_words_on_no_list_are_handed_back() -> None:
    found = declaration([own(allergens_eu=("kiwi", "milk"))], may_contain=["dust"])
    assert found.not_understood == (("kiwi", "our mix"), ("dust", ""))
    assert [line.name for line in found.lines] == ["milk"]


def test_an_own_ingredient_that_says_nothing_is_named() -> None:
    assert declaration([own(), TABLE["salt"]]).unstated == ("our mix",)
    assert declaration([entry("our mix", allergens=["milk"])]).unstated == ()
    assert declaration([entry("our mix", allergens=[])]).unstated == ()


# what an ingredient is like tells of its composition; its maker, of its allergens
@pytest.mark.parametrize(
    ("name", "like", "contains", "check"),
    [
        ("almond paste", "sugar", [], ["almonds"]),
        ("tahini spread", "olive oil", [], ["sesame"]),
        ("tahini", "olive oil", [], ["sesame"]),  # a row of the table by its own name
        ("marzipan", "sugar", [], ["almonds"]),
        ("soy lecithin", "sunflower oil", [], ["soya"]),
        ("village cheese", "feta", ["milk"], []),  # stronger than the word in its name
        ("Brazil nut brittle", "sugar", [], ["Brazil nuts"]),  # not nuts as well
        ("oat and honey clusters", "sugar", [], ["oats"]),
        ("nutmeg sugar", "sugar", [], []),
        ("house syrup", "golden syrup", [], []),
    ],
)
def test_what_is_only_like_another_keeps_its_allergens_and_has_to_be_asked_for(
    name: str, like: str, contains: list[str], check: list[str]
) -> None:
    found = declaration([entry(name, like=like)])
    assert [line.name for line in found.lines if line.state == CONTAINS] == contains
    assert [line.name for line in found.lines if line.state == CHECK] == check
    assert found.unstated == (name,)


def test_what_is_stated_goes_before_a_name_s_words() -> None:
    found = declaration([entry("soy lecithin", like="sunflower oil", allergens=[])])
    assert (found.lines, found.unstated) == ((), ())


@pytest.mark.parametrize("name", ["ricotta", "Parmesan cheese", "butter"])
def test_a_table_s_ingredient_with_figures_of_its_own_is_still_that(name: str) -> None:
    found = declaration([entry(name, water="40 %")])
    assert found.unstated == ()
    assert "milk" in [line.name for line in found.lines if line.state == CONTAINS]


def test_another_row_s_figures_are_not_one_s_own() -> None:
    assert declaration([entry("ricotta", like="quark")]).unstated == ("ricotta",)


def test_a_kind_of_fish_is_understood_by_itself() -> None:
    found = declaration([entry("spread", allergens=["salmon", "shrimps"])], "US")
    assert [line.group for line in found.lines] == ["Crustacean shellfish", "fish"]
    assert found.not_understood == ()


def test_absence_has_no_state() -> None:
    assert STRONGEST_FIRST == ("contains", "check the packet", "may contain (you said so)")
    assert declaration([TABLE["sugar"], TABLE["salt"]]).lines == ()

"""What amounts weigh by country and measures, and what has to be asked."""

import pytest

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.amounts import amount_of
from doughwright.gathering.gathered import Massed, Settings
from doughwright.gathering.lines import items_of
from doughwright.gathering.masses import mass_of
from doughwright.gathering.measures import SYSTEM_OF, SYSTEMS, systems_with, volume_of
from doughwright.gathering.names import described
from doughwright.render.messages import words

US = Settings(country="US", system="us")


def massed(line: str, settings: Settings | None = None) -> Massed:
    found = items_of(line, "pasted text", 1)
    assert found is not None
    assert found[0].amount is not None
    ingredient = described(found[0].name).ingredient
    return mass_of(found[0].amount, ingredient, settings or Settings())


def grams(line: str, settings: Settings | None = None) -> float:
    found = massed(line, settings)
    assert found.mass is not None, line
    assert found.doubts == (), line
    return 1000 * found.mass[1]


def span(found: Massed) -> tuple[float, float]:
    assert found.mass is not None
    return 1000 * found.mass[0], 1000 * found.mass[2]


# in ml: NIST SP 430 (US); Weights and Measures Act 1985, Schedule 1 (imperial); New South Wales,
# conversion chart of metric cups and spoons (Australian); the others are common practice
@pytest.mark.parametrize(
    ("unit", "system", "millilitres"),
    [
        ("cup", "us", 236.5882365),
        ("tbsp", "us", 14.78676),
        ("fl oz", "us", 29.57353),
        ("quart", "us", 946.353),
        ("pint", "imperial", 568.26125),
        ("fl oz", "imperial", 28.4130625),
        ("gill", "imperial", 142.0653),
        ("cup", "imperial", 284.130625),
        ("cup", "australian", 250),
        ("tbsp", "australian", 20),
        ("cup", "metric", 250),
        ("cup", "japanese", 200),
        ("tbsp", "nordic", 15),
        ("dl", "nordic", 100),
    ],
)
def test_a_measure_holds_what_its_system_says(unit: str, system: str, millilitres: float) -> None:
    held = volume_of(unit, system)
    assert held is not None
    assert held * 1e6 == pytest.approx(millilitres, rel=1e-6)


def test_countries_measure_with_systems_that_are_there() -> None:
    assert set(SYSTEM_OF.values()) == set(SYSTEMS)
    assert volume_of("cup", "nordic") is None
    assert systems_with("cup") == ("us", "metric", "imperial", "japanese")


# ounce and pound exact (NIST Handbook 44); milk of 1.031 kg/l (USDA SR28, NDB 01077)
@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("500 g flour", 500),
        ("0,5 kg flour", 500),
        ("1 lb 2 oz flour", 510.29),
        ("5 3/8 oz butter", 152.38),
        ("2 dl milk", 206.2),
        ("350 ml milk", 361),  # a shop's hot cross buns: printed as 361 g
        ("1 x 7g sachet instant yeast", 7),
        ("1 x 125g ball mozzarella-type cheese", 125),
        ("2 tins (400 g each) tomatoes", 800),
        ("1 cup (125 g) flour", 125),
        ("225g/8oz butter", 225),
        ("2 eggs (100 g)", 100),
        ("375 g water", 375),  # a forum's milk powder bread: 375 g water, 25 g nonfat dry milk
        ("25 g nonfat dry milk", 25),
    ],
)
def test_weights_and_litres_need_no_country(line: str, expected: float) -> None:
    assert grams(line) == pytest.approx(expected, rel=1e-3)


def test_nonfat_dry_milk_is_the_skimmed_powder() -> None:
    found = described("nonfat dry milk").ingredient
    assert found is not None
    assert found.name == "skimmed milk powder"


def test_three_cups_of_flour_are_66_to_82_percent_of_hydration() -> None:
    # question-and-answer page on 120 to 150 g a cup: 3 cups flour, 1.25 cups water (296 g)
    flour, water = massed("3 cups flour", US), grams("1.25 cups water", US)
    low, high = span(flour)
    assert (low, high) == pytest.approx((360, 450), abs=1)
    assert water == pytest.approx(296, abs=1)
    assert (100 * water / high, 100 * water / low) == pytest.approx((66, 82), abs=1)


def test_spoons_of_salt_go_by_the_grain() -> None:
    # salt conversion pages: 15 g are 2.5 tsp of table salt, 3.1 of dense, 5.4 of flaky kosher
    for line, spoons in (("salt", 2.5), ("coarse salt", 3.1), ("flaky salt", 5.4)):
        assert 15 / grams(f"1 tsp {line}", US) == pytest.approx(spoons, rel=0.02)
    (doubt,) = massed("1 tbsp kosher salt", US).doubts
    # the same pages: a tablespoon without the kind is 8 to 14 g
    masses = [1000 * choice.mass[1] for choice in doubt.choices if choice.mass]
    assert (min(masses), max(masses)) == pytest.approx((8.4, 14.4), abs=0.1)
    assert (doubt.key, doubt.blocks) == ("salt", True)


def test_four_eggs_differ_by_36_grams_between_countries() -> None:
    # egg grading pages: 50 g edible (US large) or 59 g (EU large; 60 g in our table)
    american, european = grams("4 large eggs", US), grams("4 large eggs", Settings(country="DE"))
    assert (american, european - american) == (pytest.approx(200), pytest.approx(36, abs=5))
    water = (european - american) * 0.7615  # USDA SR28, NDB 01123
    assert 100 * water / 500 == pytest.approx(5.4, abs=2)
    (doubt,) = massed("4 large eggs").doubts
    assert (doubt.key, [choice.key for choice in doubt.choices]) == ("country", ["US", "EU"])
    keys = [one.key for one in massed("4 eggs", Settings(country="SE")).doubts]
    assert keys == ["egg size"]
    assert grams("2 eggs", Settings(country="GB", egg="medium")) == pytest.approx(102)
    both = massed("2 eggs")
    assert [one.key for one in both.doubts] == ["country", "egg size"]
    assert span(both) == pytest.approx((72, 138))  # US small less 2 g, EU extra large more 3 g


def test_eggs_of_a_country_without_classes_are_asked_for_whole() -> None:
    (doubt,) = massed("4 large eggs", Settings(country="AU")).doubts
    assert [choice.key for choice in doubt.choices] == ["US-large", "EU-large"]


def test_grams_go_before_ounces_and_spoons_and_the_outlier_is_told() -> None:
    # a textbook's brioche on a blog, its units mixed: 2.5 oz are 71 g, 8.5 oz are 241
    milk = massed("2.5 oz (1 tsp)60 g milk")
    assert span(milk) == pytest.approx((60, 60))
    (doubt,) = milk.doubts
    assert [choice.words for choice in doubt.choices] == ["60 g", "2.5 oz", "1 tsp"]
    assert not doubt.blocks
    (doubt,) = massed("8.5 oz (1 tsp)240 g milk").doubts
    assert [choice.words for choice in doubt.choices] == ["240 g", "1 tsp"]
    assert span(massed("5.5 oz (1 tsp)150 g egg")) == pytest.approx((150, 150))
    assert "2.5 oz (70.9 g)" in words(milk.doubts[0].notice)


def test_a_missing_system_is_asked_with_what_each_would_give() -> None:
    cup = massed("1 cup plain flour")
    (doubt,) = cup.doubts
    given = {c.key: round(1000 * c.mass[1]) for c in doubt.choices if c.mass}
    # 125 g: USDA SR28, NDB 20481; the others by its bulk density
    assert given == {"us": 125, "metric": 132, "imperial": 150, "japanese": 106, "australian": 132}
    assert (doubt.key, doubt.blocks) == ("system", True)
    assert span(cup)[0] < min(given.values())
    assert span(cup)[1] > max(given.values())
    assert massed("1 tsp salt").doubts == ()  # 4.93 and 5 ml are not worth a question
    tablespoon = massed("1 tbsp honey").doubts[0]
    assert [choice.key for choice in tablespoon.choices] == list(SYSTEMS)
    assert grams("1 tbsp honey", Settings(country="AU")) == pytest.approx(28)
    # a country's books settle it; where they have no such measure it stays open
    assert massed("1 cup flour", Settings(country="US")).doubts == ()
    assert massed("1 cup flour", Settings(country="SE")).doubts[0].key == "system"


def test_cups_and_spoons_add_up() -> None:
    # USDA SR28, NDB 01077: 244 g a cup, 15 g a tablespoon
    assert grams("1 cup plus 2 tbsp milk", US) == pytest.approx(274)
    assert grams("1 cup minus 1 tbsp milk", US) == pytest.approx(229)


def test_packs_go_by_the_country() -> None:
    # a German cube of 42 g, a Swedish packet of 50 g: from memory
    assert grams("1 cube fresh yeast", Settings(country="DE")) == pytest.approx(42)
    assert grams("1 cube fresh yeast", Settings(country="SE")) == pytest.approx(50)
    (doubt,) = massed("1 cube fresh yeast").doubts
    assert {choice.key for choice in doubt.choices} == {"EU", "SE"}
    assert grams("½ stick butter") == pytest.approx(56.5)  # USDA SR28, NDB 01145
    assert grams("1 packet instant yeast") == pytest.approx(7)
    assert grams("juice of 1 lemon") == pytest.approx(45)  # from memory


def test_ounces_of_a_liquid_may_be_fluid() -> None:
    milk = massed("8 oz milk", US)
    (doubt,) = milk.doubts
    assert (doubt.blocks, [choice.key for choice in doubt.choices]) == (False, ["weight", "fluid"])
    assert span(milk) == pytest.approx((226.8, 226.8), abs=0.1)
    assert massed("8 oz water", Settings(country="GB")).doubts == ()
    assert massed("8 oz flour", US).doubts == ()


def test_a_thousand_or_a_decimal_is_asked() -> None:
    (doubt,) = massed("1.250 g flour").doubts
    masses = {choice.key: choice.mass[1] for choice in doubt.choices if choice.mass}
    assert masses == pytest.approx({"thousand": 1.25, "decimal": 0.00125})
    assert doubt.blocks
    (doubt,) = massed("water 2 100 g").doubts
    masses = {choice.key: choice.mass[1] for choice in doubt.choices if choice.mass}
    assert masses == pytest.approx({"thousand": 2.1, "decimal": 0.1})


def test_pinches_and_heaps_have_their_band() -> None:
    assert grams("a pinch of salt") == pytest.approx(0.35)  # from memory
    generous = massed("a generous pinch of salt").mass
    assert generous is not None
    assert generous[1] > 0.00035
    heaped = massed("1 heaped tbsp sugar", Settings(system="metric")).mass
    assert heaped is not None
    # USDA SR28, NDB 19335: 12.6 g a level tablespoon; heaped is common practice
    assert heaped[0] > 0.0126 * 1.1
    assert heaped[1] == pytest.approx(0.0126 * 1.6)


def test_what_nobody_can_weigh_is_asked_for() -> None:
    for line in ("1 handful parsley", "2 tbsp unicorn dust", "1 tin tomatoes"):
        found = massed(line)
        assert found.mass is None
        assert [doubt.key for doubt in found.doubts] == ["weight"]
    assert massed("20 g unicorn dust").mass == (0.02, 0.02, 0.02)
    share = massed("75% water")
    assert (share.mass, share.doubts) == (None, ())


def test_a_small_or_a_large_onion_is_asked() -> None:
    (doubt,) = massed("1 onion").doubts
    assert [choice.key for choice in doubt.choices] == ["medium", "small", "large"]
    assert grams("1 large onion") == pytest.approx(150)  # from memory


def test_words_of_the_line_may_name_the_salt() -> None:
    amount, salt = amount_of("1 tbsp"), ingredient_named("salt")
    assert amount is not None
    assert [d.key for d in mass_of(amount, salt, US, "kosher salt").doubts] == ["salt"]
    assert mass_of(amount, salt, US).doubts == ()
    assert mass_of(amount, salt, US, "fine sea salt").doubts == ()

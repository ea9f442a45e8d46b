"""What amounts weigh by country and measures, and what has to be asked."""

import pytest

from doughwright.engine.ingredients import ingredient_named
from doughwright.gathering.gathered import Massed, Settings
from doughwright.gathering.lines.amounts import amount_of
from doughwright.gathering.lines.items import items_of
from doughwright.gathering.lines.names import described
from doughwright.gathering.weighing.masses import mass_of
from doughwright.gathering.weighing.measures import SYSTEM_OF, SYSTEMS, systems_with, volume_of
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
    (doubt,) = massed("8.5 oz (1 tsp)240 g milk").doubts
    assert [choice.words for choice in doubt.choices] == ["240 g", "1 tsp"]
    assert span(massed("5.5 oz (1 tsp)150 g egg")) == pytest.approx((150, 150))
    assert "2.5 oz (70.87 g)" in words(milk.doubts[0].notice)


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


@pytest.mark.parametrize(
    ("line", "expected", "how"),
    [  # by the volume and 1.031 kg/l (USDA SR28, NDB 01077), water 0.998
        ("1 cup (240ml) milk", 247.4, "240 ml: 1031 g a litre"),
        ("1 cup (240 ml/8 fl oz) water", 239.5, "240 ml: 998 g a litre"),
        ("8 oz (240 ml) milk", 247.4, "240 ml: 1031 g a litre"),
        ("2 Japanese cups (200 ml) milk", 412.4, "2 × 200 ml: 1031 g a litre"),
        ("2 cups (250 ml) milk", 515.5, "2 × 250 ml: 1031 g a litre"),
        ("1 pint (20 fl oz/568 ml) milk", 585.6, "568 ml: 1031 g a litre"),
        ("¾ cup (180 ml) plus 1 tbsp (15 ml) water", 194.6, "180 ml + 15 ml: 998 g a litre"),
        # by the measure it names: USDA SR28 NDB 19296 and 19335; a pint of 568.3 ml
        ("1 Australian tablespoon honey", 28, "Australian tbsp of 28 g (26.6–29.4 g)"),
        ("1 US cup sugar", 200, "US cup of 200 g (194–206 g)"),
        ("1 imperial pint water", 567.1, "British pint of 567.1 g"),
        ("1 cup (US) water", 237, "US cup of 237 g"),
    ],
)
def test_whose_cup_it_is_is_not_asked_where_it_is_written(
    line: str, expected: float, how: str
) -> None:
    assert grams(line) == pytest.approx(expected, abs=0.05)
    assert massed(line).how == how


def test_the_size_of_an_egg_is_read_where_it_is_written() -> None:
    for line, expected in (("1 egg (M)", 51), ("2 (L) eggs", 120), ("1 egg, L", 60)):
        assert grams(line, Settings(country="SE")) == pytest.approx(expected)
    assert grams("1 egg (about 50 g without shell)") == pytest.approx(50)
    assert grams("3 eggs (150 g)") == pytest.approx(150)


def test_an_egg_in_its_shell_is_weighed_without_it() -> None:
    # shell 12 % (USDA SR28, NDB 01123)
    egg = ingredient_named("egg")
    amount = amount_of("1 (60 g)")
    assert amount is not None
    found = mass_of(amount, egg, Settings(), "egg in shell")
    assert span(found) == pytest.approx((52.8, 52.8))
    assert found.how == "times 0.88 without the shell"


def test_how_a_weight_was_worked_out_can_be_worked_out_again() -> None:
    # 6 g a teaspoon, give or take half a gram (USDA SR28, NDB 02047)
    tsp = "tsp of 6 g (5.5–6.5 g) in any system"
    assert massed("1 tsp salt").how == tsp
    assert massed("1 scant tsp salt").how == f"{tsp}, times 0.9 (0.75–1) for scant"
    assert massed("1 tsp salt", US).how == "US tsp of 6 g (5.5–6.5 g)"
    heaped = massed("1 heaping tbsp sugar", US).how
    assert heaped == "US tbsp of 12.6 g (11.8–13.4 g), times 1.6 (1.25–2) for heaping"
    assert massed("1 oz butter").how == "ounces of 28.35 g"
    assert grams("1 lb (450 g) + 2 oz (55 g) flour") == pytest.approx(505)
    spoon = "US tbsp of 14.76 g, another system moves it little"
    mixed = massed("¾ cup (180 ml) plus 1 tbsp water").how
    assert mixed == f"180 ml + 1 tbsp: 998 g a litre, {spoon}"
    assert massed("about 2 dl milk").how == "dl of 103.1 g, ± 5 % for about"
    assert massed("1 cup flour").how == "open: whose measure, 105.6–150 g"


def test_a_scale_has_no_heap_and_a_cup_a_small_one() -> None:
    assert span(massed("a good 500 g flour")) == pytest.approx((500, 525))
    assert span(massed("scant 200 g flour")) == pytest.approx((190, 200))
    cup = massed("1 heaped cup sugar", US).mass
    assert cup is not None
    assert cup[1] == pytest.approx(0.24)  # 200 g (USDA SR28, NDB 19335) and a fifth


def test_a_decilitre_of_flour_is_what_nordic_books_count() -> None:
    # a Danish baking shop's page on measures: 60 g of wheat flour, 60-65 g of wholegrain
    assert grams("13 dl flour") == pytest.approx(780)
    assert grams("1 dl wholemeal flour") == pytest.approx(62.5)
    assert grams("1 tbsp flour", Settings(system="nordic")) == pytest.approx(9)
    assert grams("1 dl sugar") == pytest.approx(84.5)  # 845 g/l (USDA SR28, NDB 19335)


@pytest.mark.parametrize("line", ["2 cups (250 g) plain flour", "3 cups (360 g) flour"])
def test_a_cup_filled_as_cups_are_agrees_with_its_weight(line: str) -> None:
    assert massed(line).doubts == ()


@pytest.mark.parametrize(
    ("line", "words_of"),
    [
        ("1 cup (200 g) plain flour", ["200 g", "1 cup"]),
        ("3 cups (500 ml) water", ["500 ml", "3 cups"]),
        ("1 US cup (200 ml) water", ["200 ml", "1 US cup"]),
        ("1 tbsp (5 ml) honey", ["5 ml", "1 tbsp"]),
        ("1 lb 2 oz (600 g) flour", ["600 g", "1 lb 2 oz"]),
        ("2 cups (125 g) plain flour", ["125 g", "2 cups", "2 × 125 g"]),
        ("3 eggs (50 g)", ["50 g", "3", "3 × 50 g"]),
    ],
)
def test_equivalents_that_differ_beyond_rounding_are_told(line: str, words_of: list[str]) -> None:
    (doubt,) = massed(line).doubts
    assert (doubt.key, [choice.words for choice in doubt.choices]) == ("same", words_of)
    assert doubt.blocks, "where the answers differ by what the dough would notice"


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
    assert (doubt.key, doubt.blocks) == ("point", True)
    assert massed("1.250 g flour").how == "open: 1250 g or 1.25 g"
    assert massed("1,000 g potatoes").doubts[0].key == "comma"
    assert grams("1.250 g flour", Settings(point="decimal")) == pytest.approx(1.25)
    assert grams("1.500 g (1.5 kg) flour") == pytest.approx(1500)
    assert grams("1,000 g flour", Settings(country="GB")) == pytest.approx(1000)
    assert grams("1.250 g flour", Settings(country="DE")) == pytest.approx(1250)
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

"""Recipes in other languages: their little words, spoons, sizes, packs and ingredients."""

import pytest

from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Item, Settings
from doughwright.gathering.lines.items import items_of
from doughwright.gathering.lines.names import described
from doughwright.gathering.lines.numerals import numeral_at
from doughwright.gathering.pages.sections import text_gathered


def items(line: str) -> tuple[Item, ...]:
    found = items_of(line, "pasted text", 1)
    assert found is not None, line
    return found


def read(line: str) -> tuple[str, float | None, str | None]:
    """The table's word, how much and of what, of the one ingredient of a line."""
    (item,) = items(line)
    row, amount = described(item.name).ingredient, item.amount
    assert row is not None, line
    return row.name, amount.best if amount else None, amount.unit if amount else None


# lines as French, Italian, German, Spanish and Nordic books write them
@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("500 g de farine T45", ("plain flour", 500, "g")),
        ("700 ml d'eau", ("water", 700, "ml")),
        ("2 c. à soupe d'huile d'olive", ("olive oil", 2, "tbsp")),
        ("2 c.à.s. de sucre", ("sugar", 2, "tbsp")),
        ("2 à 3 cuillères à soupe de lait", ("whole milk", 2.5, "tbsp")),
        ("1 cuillère à café rase de sel", ("salt", 1, "tsp")),
        ("250 g de beurre doux", ("unsalted butter", 250, "g")),
        ("20 g de levure fraîche", ("fresh yeast", 20, "g")),
        ("250 g de levain liquide", ("starter", 250, "g")),
        ("une pincée de sel", ("salt", 1, "pinch")),
        ("500 g di farina 00", ("plain flour", 500, "g")),
        ("300 g di semola rimacinata", ("semolina", 300, "g")),
        ("150 g di patate lesse", ("boiled potato", 150, "g")),
        ("300 ml d'acqua", ("water", 300, "ml")),
        ("1 bustina di lievito di birra secco", ("active dry yeast", 1, "sachet")),
        ("3 cucchiai di olio", ("sunflower oil", 3, "tbsp")),
        ("2 cucchiaini di sale", ("salt", 2, "tsp")),
        ("40 g olio extravergine d'oliva", ("olive oil", 40, "g")),
        ("1 EL Grieß", ("semolina", 1, "tbsp")),
        ("1 gestr. TL Salz", ("salt", 1, "tsp")),
        ("1 Päckchen Vanillezucker", ("vanilla sugar", 1, "sachet")),
        ("250 g gemahlener Mohn", ("poppy seeds", 250, "g")),
        ("1/2 Würfel Hefe", ("fresh yeast", 0.5, "cube")),
        ("ein halber Würfel Hefe", ("fresh yeast", 0.5, "cube")),
        ("2 cucharadas de aceite de oliva", ("olive oil", 2, "tbsp")),
        ("1 msk honung", ("honey", 1, "tbsp")),
    ],
)
def test_a_line_of_another_language_is_read(
    line: str, expected: tuple[str, float | None, str | None]
) -> None:
    assert read(line) == expected


@pytest.mark.parametrize(
    ("line", "size"),
    [
        ("2 Eier (Gr. M)", "medium"),
        ("1 Ei (Größe M)", "medium"),
        ("2 Eier, Größe L", "large"),
        ("5 œufs moyens", "medium"),
        ("3 gros œufs", "large"),
        ("2 uova medie", "medium"),
        ("2 huevos grandes", "large"),
    ],
)
def test_the_size_of_an_egg_is_read_in_its_own_language(line: str, size: str) -> None:
    (item,) = items(line)
    assert item.amount is not None
    assert (described(item.name).name, item.amount.modifiers) == ("egg", (size,))


@pytest.mark.parametrize(
    ("line", "modifiers"),
    [
        ("1 gestr. TL Salz", ("level", "metric")),
        ("1 geh. EL Mehl", ("heaped", "metric")),
        ("1 cucchiaino raso di sale", ("level", "metric")),
        ("2 tsk salt", ("nordic",)),
    ],
)
def test_a_spoon_says_whose_it_is_and_how_full(line: str, modifiers: tuple[str, ...]) -> None:
    (item,) = items(line)
    assert item.amount is not None
    assert item.amount.modifiers == modifiers


@pytest.mark.parametrize(
    "line",
    [
        "1 Eigelb und 2 EL Sahne zum Bestreichen",
        "1 jaune d'œuf et 1 c. à soupe de lait pour dorer",
        "1 tuorlo e 1 cucchiaio di latte per spennellare",
    ],
)
def test_two_ingredients_are_two_in_any_language(line: str) -> None:
    assert [item.use for item in items(line)] == ["glaze", "glaze"]
    assert described(items(line)[0].name).name == "egg yolk"


def test_four_of_so_much_each_are_no_range() -> None:
    few, each = numeral_at("2 à 3 œufs"), numeral_at("4 à 250 g")
    assert few is not None
    assert each is not None
    assert ((few.low, few.high), (each.low, each.high)) == ((2, 3), (4, 4))


def test_what_a_language_says_plainly_is_not_asked() -> None:
    made = draft(
        text_gathered(
            "Zopf\n\n500 g Dinkelmehl\n250 ml Wasser\n2 Eier (Gr. M)\n1/2 Würfel Hefe\n"
            "1 gestr. TL Salz\n1 Päckchen Vanillezucker\n"
        )
    )
    assert made.doubts == ()
    weights = {line.name: line.mass[1] for line in made.preparations[0].lines if line.mass}
    # a medium egg of the EU, a cube and a sachet of Germany: rows of the table of measures
    assert (weights["egg"], weights["fresh yeast"], weights["vanilla sugar"]) == pytest.approx(
        (0.102, 0.021, 0.008)
    )


def test_the_country_that_was_said_goes_before_the_language() -> None:
    text = "500 g Dinkelmehl\n250 ml Wasser\n2 Eier (Größe L)\n5 g Salz"
    made = draft(text_gathered(text), Settings(country="US"))
    weights = {line.name: line.mass[1] for line in made.preparations[0].lines if line.mass}
    assert weights["egg"] == pytest.approx(0.1)  # two of 50 g, USDA SR28


def test_french_is_spoken_where_eggs_are_of_two_sizes() -> None:
    made = draft(text_gathered("500 g de farine\n5 œufs moyens\n10 g de sel\n7 g de levure sèche"))
    assert [doubt.key for doubt in made.doubts if doubt.blocks] == ["country"]

"""One line to its ingredients: what recipes write, and what must not be lost or guessed."""

import pytest

from doughwright.gathering.gathered import Item, Origin
from doughwright.gathering.lines.items import items_of
from doughwright.gathering.lines.line_items import items_in
from doughwright.gathering.lines.names import candidates, described, is_stage, may_mean


def items(line: str) -> tuple[Item, ...]:
    found = items_of(line, "pasted text", 7)
    assert found is not None, line
    assert all(item.origin == Origin("pasted text", 7, line) for item in found)
    return found


def only(line: str) -> Item:
    (item,) = items(line)
    return item


def brief(item: Item) -> tuple[str, float | None, str | None]:
    amount = item.amount
    return item.name, amount.best if amount else None, amount.unit if amount else None


# amount before the name, behind it, glued, with leaders, in other hands' signs
@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("2 dl milk", ("milk", 2, "dl")),
        ("75% water", ("water", 75, "%")),
        ("½ tsp salt", ("salt", 0.5, "tsp")),
        ("half a teaspoon salt", ("salt", 0.5, "tsp")),
        ("1,5 dl milk", ("milk", 1.5, "dl")),
        ("0,5 kg flour", ("flour", 0.5, "kg")),
        ("1 000 g flour", ("flour", 1000, "g")),
        ("strong flour .... 500 g", ("strong flour", 500, "g")),
        ("500g strong flour", ("strong flour", 500, "g")),
        ("Salt – 10g", ("Salt", 10, "g")),
        ("water: 350–375 ml", ("water", 362.5, "ml")),
        ("flour, 500 g, sifted", ("flour", 500, "g")),
        ("eggs x 2", ("eggs", 2, "")),
        ("１２５ｇ　ｆｌｏｕｒ", ("flour", 125, "g")),
        ("flour T55 500 g", ("flour T55", 500, "g")),
        ("500 g type 550 flour", ("type 550 flour", 500, "g")),
        ("00 flour 500g", ("00 flour", 500, "g")),
        ("12-grain flour 200 g", ("12-grain flour", 200, "g")),
        ("1 cup 2% milk", ("2% milk", 1, "cup")),
        ("• 250 ml milk, lukewarm", ("milk", 250, "ml")),
        ("1. 500 g flour", ("flour", 500, "g")),
        ("▢ 2 tsp salt", ("salt", 2, "tsp")),
        ("a generous pinch", ("", 1, "pinch")),
        ("1 heaped tbsp", ("", 1, "tbsp")),
    ],
)
def test_a_line_has_its_amount_and_its_name(
    line: str, expected: tuple[str, float | None, str | None]
) -> None:
    assert brief(only(line)) == expected


@pytest.mark.parametrize("line", ["2 % milk", "flour type 550", "cream 36 %"])
def test_a_number_of_the_name_is_no_amount(line: str) -> None:
    assert brief(only(line)) == (line, None, None)


def test_what_is_beaten_or_soaked_with_another_is_two() -> None:
    egg, milk = items("1 egg beaten with 1 tbsp milk")
    assert (brief(egg), brief(milk)) == (("egg", 1, ""), ("milk", 1, "tbsp"))
    assert egg.note == "beaten with"
    raisins, water = items("raisins, soaked in 50 ml water")
    assert brief(raisins) == ("raisins", None, None)
    assert (*brief(water), water.use) == ("water", 50, "ml", "soak")


def test_a_yolk_for_glazing_is_not_the_dough() -> None:
    eggs, yolk = items("2 eggs, plus 1 egg yolk for glazing")
    assert (*brief(eggs), eggs.use) == ("eggs", 2, "", "dough")
    assert (*brief(yolk), yolk.use, yolk.note) == ("egg yolk", 1, "", "glaze", "for glazing")
    assert only("1 egg, beaten, to glaze").use == "glaze"
    egg, milk = items("For the glaze: 1 egg beaten with 1 tbsp milk")
    assert (egg.use, milk.use) == ("glaze", "glaze")


def test_flour_for_the_bench_is_dusting() -> None:
    assert (*brief(only("flour for dusting")), only("flour for dusting").use) == (
        *("flour", None, None),
        "dusting",
    )
    dough, bench = items("500 g strong flour, plus extra for dusting")
    assert (dough.use, bench.use, bench.amount) == ("dough", "dusting", None)
    assert bench.name == "strong flour"


def told(line: str) -> list[tuple[str, float | None, str]]:
    """Each ingredient of a line with how much of it, and its use."""
    return [(i.name, i.amount.best if i.amount else None, i.use) for i in items(line)]


# wordings of everyday recipes: the whole is the wash, so that no egg of it may reach the dough
@pytest.mark.parametrize(
    "line",
    [
        "1 egg beaten with 1 tbsp milk, for the glaze",
        "1 egg, beaten, plus 1 tsp water for brushing",
        "1 egg yolk + 1 tbsp cream for egg wash",
        "1 egg mixed with 1 tbsp water (egg wash)",
        "1 egg, beaten and mixed with 1 tbsp water, for brushing",
        "1 egg white, lightly whisked with a pinch of salt, to glaze",
        "1 beaten egg with 1 tbsp water, for brushing",
        "1 egg and 1 tbsp water, for egg wash",
        "1 egg, 1 tbsp milk, for glazing",
        "1 egg + 1 tbsp milk + pinch of salt, for egg wash",
        "1 egg, beaten with 1 tbsp milk and a pinch of sugar, for glazing",
        "1 egg for egg wash (beaten with 1 tbsp water)",
        "1 egg yolk for glazing plus 1 tbsp milk",
        "2 tbsp milk and 1 tbsp sugar, for the glaze",
        "1 egg (optional glaze)",
        "1 egg, beaten (glaze)",
        "egg wash",
        "Egg wash: 1 egg, 1 tbsp milk",
        "Egg wash - 1 egg + 1 tbsp milk",
        "egg wash (1 egg beaten with 1 tbsp milk)",
        "Wash: 1 egg + 1 tbsp water",
        "Glaze: 1 egg yolk, 2 tbsp cream, pinch of salt",
    ],
)
def test_the_whole_of_a_wash_is_glaze(line: str) -> None:
    assert {(item.use, item.may_be) for item in items(line)} == {("glaze", None)}


@pytest.mark.parametrize(
    ("line", "uses"),
    [
        ("2 eggs, plus 1 egg for glazing", ["dough", "glaze"]),
        ("300 ml milk, plus 1 tbsp milk to glaze", ["dough", "glaze"]),
        ("250 ml milk plus 2 tbsp, to glaze", ["dough", "glaze"]),
        ("50 g butter, plus 20 g melted for brushing", ["dough", "glaze"]),
        ("50 g butter, plus more, melted, for the pan", ["dough", "dusting"]),
        ("500 g flour, plus extra for dusting", ["dough", "dusting"]),
        ("500 g flour plus 2 tbsp oil for the bowl", ["dough", "dusting"]),
        ("1 tsp salt and 1 egg for glazing", ["dough", "glaze"]),
        ("2 tbsp sesame and 2 tbsp poppy seeds for sprinkling", ["topping", "topping"]),
        ("100 g ricotta and 50 g sugar, for the filling", ["filling", "filling"]),
        ("100 g raisins, soaked in 50 ml rum, for the filling", ["filling", "filling"]),
    ],
)
def test_a_use_reaches_as_far_as_it_is_meant(line: str, uses: list[str]) -> None:
    found = items(line)
    assert [item.use for item in found] == uses
    assert all(item.may_be is None for item in found)
    assert len({item.name for item in found if "butter" in item.name}) <= 1  # "melted" is no name


@pytest.mark.parametrize(
    "line",
    [
        "1 egg + 1 yolk for glazing",
        "1 egg and 1 yolk, for glazing",
        "2 eggs plus 1 tbsp milk, for brushing",
        "300 ml milk and 1 egg for glazing",
        "1 egg, plus 1 egg yolk, to glaze",
    ],
)
def test_a_use_that_may_reach_both_leaves_the_first_open(line: str) -> None:
    first, second = items(line)
    assert (first.use, first.may_be, second.use) == ("dough", "glaze", "glaze")


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "100 g butter, divided (60 g for the dough, 40 g for the filling)",
            [("butter", 60, "dough"), ("butter", 40, "filling")],
        ),
        (
            "70 g butter (50 g for the filling, the rest for the dough)",
            [("butter", 50, "filling"), ("butter", 20, "dough")],
        ),
        (
            "200 g sugar, of which 50 g for the filling",
            [("sugar", 150, "dough"), ("sugar", 50, "filling")],
        ),
        (
            "3 tablespoons butter, divided: 2 for dough, 1 for brushing",
            [("butter", 2, "dough"), ("butter", 1, "glaze")],
        ),
        (
            "100 g butter, half for the dough and half for the filling",
            [("butter", 50, "dough"), ("butter", 50, "filling")],
        ),
        (
            "1/2 cup (113 g) butter, divided (60 g for the dough, 53 g for the filling)",
            [("butter", 60, "dough"), ("butter", 53, "filling")],
        ),
        ("3 eggs, 1 for glazing", [("eggs", 2, "dough"), ("eggs", 1, "glaze")]),
        (
            "2 eggs (one for the dough, the other for brushing)",
            [("eggs", 1, "dough"), ("eggs", 1, "glaze")],
        ),
        (
            "1 egg, separated (yolk for glazing)",
            [("egg white", 1, "dough"), ("egg yolk", 1, "glaze")],
        ),
    ],
)
def test_shares_that_are_written_go_each_to_its_place(
    line: str, expected: list[tuple[str, float, str]]
) -> None:
    assert told(line) == expected
    assert not any(item.divided for item in items(line))


def test_a_share_for_another_part_names_it() -> None:
    sponge, dough = items("500 g flour, divided (200 g for the sponge, 300 g for the dough)")
    assert [(i.place, i.amount and i.amount.best) for i in (sponge, dough)] == [
        ("sponge", 200),
        ("dough", 300),
    ]


@pytest.mark.parametrize(
    "line",
    [
        "500 ml milk, divided",
        "1/4 cup butter, melted, divided",
        "100 g sugar (divided)",
        "2 eggs, for the dough and for brushing",
        "500 g flour, 50 g for dusting",
        "100 g butter, divided (60 g for the dough, 30 g for the filling)",
    ],
)
def test_shares_that_are_not_told_leave_the_line_divided(line: str) -> None:
    item = only(line)
    assert (item.divided, item.use) == (line, "dough")


def test_what_is_cut_up_or_all_for_the_dough_is_not_divided() -> None:
    for line in (
        "200 g mozzarella, divided into 4",
        "300 ml milk, 50 ml for the yeast",
        "350 ml water + 20 ml for the salt",
    ):
        assert not any(item.divided for item in items(line)), line
    assert only("2 cups milk, divided").amount is not None  # the name of "2 % milk" has its number


@pytest.mark.parametrize(
    ("line", "use", "amount"),
    [
        ("raisins 100 g, soaked in 150 ml hot water and drained", "drained", 150),
        ("150 g raisins, plumped in 100 ml boiling water, then drained well", "drained", 100),
        ("100 g sultanas, steeped in 100 ml black tea, drained", "drained", 100),
        ("100 g raisins, soaked in warm water for 30 minutes and drained", "drained", None),
        ("50 g linseed, soaked in 100 g water overnight", "soak", 100),
    ],
)
def test_what_fruit_is_soaked_in_is_drained_where_the_line_says_so(
    line: str, use: str, amount: float | None
) -> None:
    _, liquid = items(line)
    assert (liquid.use, liquid.amount.best if liquid.amount else None) == (use, amount)
    assert liquid.name.split()[-1] in ("water", "tea")


@pytest.mark.parametrize(
    ("line", "first", "other"),
    [
        ("malt syrup or honey", ("malt syrup", None, None), ("honey", None, None)),
        ("1 tbsp malt syrup or honey", ("malt syrup", 1, "tbsp"), ("honey", 1, "tbsp")),
        ("14 g fresh yeast or 7 g dried", ("fresh yeast", 14, "g"), ("dried yeast", 7, "g")),
        ("7 g fresh or dried yeast", ("fresh yeast", 7, "g"), ("dried yeast", 7, "g")),
        ("30 g fresh yeast (or 14 g dried)", ("fresh yeast", 30, "g"), ("dried yeast", 14, "g")),
        ("20g fresh yeast/7g dried yeast", ("fresh yeast", 20, "g"), ("dried yeast", 7, "g")),
        ("50 g butter or 3 tbsp oil", ("butter", 50, "g"), ("oil", 3, "tbsp")),
        # panettone page: alternatives are not additions
        ("butter 100 g (170 if no clarified butter)", ("butter", 100, "g"), ("butter", 170, "g")),
        (
            "orange paste 50 or flavouring paste 50",
            ("orange paste", 50, ""),
            ("flavouring paste", 50, ""),
        ),
    ],
)
def test_alternatives_are_one_item_with_choices(
    line: str,
    first: tuple[str, float | None, str | None],
    other: tuple[str, float | None, str | None],
) -> None:
    item = only(line)
    assert brief(item) == first
    assert [brief(one) for one in item.alternatives] == [other]


def test_half_of_it_is_not_half_a_gram() -> None:
    other = only("500 g strong white flour (or half wholemeal)").alternatives[0]
    assert brief(other) == ("wholemeal flour", 0.5, "")


def test_a_vague_amount_is_none_and_its_words_are_kept() -> None:
    drops = only("a few drops of vanilla extract")
    assert (drops.name, drops.amount, drops.note) == ("vanilla extract", None, "a few drops of")
    water, salted = items("350 ml water + 20 ml for the salt")
    assert (water.name, salted.name) == ("water", "water")
    assert salted.note.startswith("for")


def test_what_belongs_to_a_second_choice_is_no_addition() -> None:
    item = only("500 g flour or 400 g flour and 100 g rye flour")
    assert brief(item) == ("flour", 500, "g")
    assert item.alternatives[0].name == "flour and 100 g rye flour"


def test_amounts_keep_what_belongs_to_them() -> None:
    ball = only("1 x 125g ball mozzarella-type cheese")
    assert (ball.name, ball.note) == ("mozzarella", "mozzarella-type cheese")
    assert ball.amount is not None
    assert ball.amount.package is not None
    assert ball.amount.package.best == 125
    sachet = only("1 x 7g sachet instant yeast").amount
    assert sachet is not None
    assert sachet.package is not None
    pound = only("1 lb 2 oz strong flour").amount
    assert pound is not None
    assert [more.best for more in pound.more] == [2]
    cup = only("1 cup (125 g, sifted) flour")
    assert cup.amount is not None
    assert [same.best for same in cup.amount.same] == [125]
    assert cup.note == "sifted"


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("juice of 1 lemon", [("lemon juice", 1, "lemon")]),
        ("juice and zest of 1 lemon", [("lemon juice", 1, "lemon"), ("lemon zest", 1, "lemon")]),
        ("finely grated zest of 2 oranges", [("orange zest", 2, "orange")]),
        ("1 orange, zested", [("orange zest", 1, "orange")]),
    ],
)
def test_juice_and_zest_go_by_the_fruit(
    line: str, expected: list[tuple[str, float | None, str | None]]
) -> None:
    assert [brief(item) for item in items(line)] == expected


def test_sizes_stand_with_the_count() -> None:
    for line, size in (
        ("2 large free-range eggs", "large"),
        ("2 eggs (size M)", "medium"),
        ("2 eggs, size L", "large"),
        ("2 XL eggs", "extra large"),
        ("2 L eggs", "large"),
    ):
        amount = only(line).amount
        assert amount is not None
        assert (amount.best, amount.modifiers) == (2, (size,)), line


def test_several_on_one_line_stand_apart() -> None:
    three = items("500 g flour, 300 ml water; 10 g salt")
    assert [brief(item) for item in three] == [
        *(("flour", 500, "g"), ("water", 300, "ml"), ("salt", 10, "g"))
    ]
    assert [item.name for item in items("salt and pepper")] == ["salt", "pepper"]
    assert [brief(item) for item in items("1 tsp each cinnamon and cardamom")] == [
        *(("cinnamon", 1, "tsp"), ("cardamom", 1, "tsp"))
    ]
    milk, brush = items("250ml milk (warm) + 2 tbsp for brushing")
    assert (brush.name, brush.use, milk.note) == ("milk", "glaze", "warm")


def test_a_percentage_beside_a_weight_is_another_column() -> None:
    flour = only("Bread flour 500 g 100%")
    assert [(key, amount.best) for key, amount in flour.columns] == [("%", 100)]
    assert only("2 dl yoghurt (10%)").columns == ()
    assert only("sour cream (20% fat) 100 g").note == "20% fat"


@pytest.mark.parametrize(
    "line",
    [
        *("", "   ", "Filling:", "For the sponge", "Makes 24", "Serves 8", "Copyright 2020"),
        *("Bake at 220 °C for 25 minutes.", "Preheat the oven to 400°F", "Prep time: 20 min"),
        *("Mix 500 g flour with 300 ml water", "Total 1766 g", "x" * 5000),
        "Third evening of the class.",
        "This bread is my favourite of all, and I bake it twice a week with 500 g of flour.",
    ],
)
def test_what_is_no_ingredient_is_none(line: str) -> None:
    assert items_of(line, "pasted text", 1) is None


@pytest.mark.parametrize(
    ("words", "name", "note", "table"),
    [
        ("butter, melted and cooled", "butter", "melted and cooled", "unsalted butter"),
        ("butter, unsalted", "butter, unsalted", "", "unsalted butter"),
        ("unsalted butter, at room temperature", "unsalted butter", "at room temperature", None),
        ("strong bread flour", "strong bread flour", "", "strong white flour"),
        ("unbleached bread flour", "bread flour", "unbleached", "strong white flour"),
        ("walnuts, chopped", "walnuts", "chopped", "walnuts"),
        ("Acme Mills strong white flour", "strong white flour", "Acme Mills", None),
        ("water (36 °C)", "water", "36 °C", "water"),
        ("all of the poolish", "poolish", "all of the", ""),
        ("egg yolks", "egg yolks", "", "egg yolk"),
        ("salt to taste", "salt", "to taste", "salt"),
        ("almond butter", "almond butter", "", ""),  # no butter
        ("dried parsley", "dried parsley", "", ""),  # the table's is fresh, nine tenths water
    ],
)
def test_a_name_stands_without_the_words_beside_it(
    words: str, name: str, note: str, table: str | None
) -> None:
    found = described(words)
    assert (found.name, found.note) == (name, note)
    wanted = name if table is None else table
    assert (found.ingredient.name if found.ingredient else "") == wanted


def test_a_word_that_leaves_it_open_says_what_it_may_mean() -> None:
    assert may_mean("Yeast") == ("instant yeast", "active dry yeast", "fresh yeast")
    assert may_mean("fresh yeast") == ()
    assert candidates("harbour lane bread flour")[0] == "strong white flour"
    assert is_stage("Poolish")


# --- One amount of several things, or of as much as it takes --------------------------------------


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        (
            "450 g flour (400 g white, 50 g wholemeal)",
            [("white flour", 400, "g"), ("wholemeal flour", 50, "g")],
        ),
        (
            "500 g flour: 400 g strong white and 100 g rye flour",
            [("strong white flour", 400, "g"), ("rye flour", 100, "g")],
        ),
        (
            "500 g flour (80% strong white, 20% rye flour)",
            [("strong white flour", 400, "g"), ("rye flour", 100, "g")],
        ),
        # these do not add up: which holds is asked
        (
            "450 g flour (400 g white, 100 g wholemeal)",
            [("white flour", 400, "g"), ("wholemeal flour", 100, "g")],
        ),
        ("100 g starter (50 g flour and 50 g water)", [("starter", 100, "g")]),
    ],
)
def test_brackets_that_take_an_amount_apart_are_its_lines(
    line: str, expected: list[tuple[str, float, str]]
) -> None:
    assert [brief(item) for item in items(line)] == expected
    origin = Origin("pasted text", 7, line)
    assert [brief(item) for item in items_in(origin, line)] == expected


@pytest.mark.parametrize(
    ("line", "ends"),
    [
        ("340 g water plus 20 g more if needed", [(340, 360)]),
        ("340 g water (plus up to 20 g if the dough is dry)", [(340, 360)]),
        ("340-350 g water, plus 10 g if necessary", [(340, 360)]),
        ("300 ml milk, plus 1-2 tbsp if needed", [(300, 300), (0, 2)]),
    ],
)
def test_what_is_taken_if_needed_is_a_range(line: str, ends: list[tuple[float, float]]) -> None:
    found = [item.amount for item in items(line)]
    assert [(a.low, a.high) for a in found if a] == ends


def test_every_choice_in_brackets_is_one() -> None:
    found = only("15 g fresh yeast (or 7 g active dry, or 5 g instant)")
    assert brief(found) == ("fresh yeast", 15, "g")
    assert [brief(one) for one in found.alternatives] == [
        ("active dry yeast", 7, "g"),
        ("instant yeast", 5, "g"),
    ]
    milk = only("200 ml warm milk (or half milk, half water)")
    assert (brief(milk), len(milk.alternatives)) == (("milk", 200, "ml"), 1)


def test_sticks_and_spoons_are_one_amount() -> None:
    found = only("1 stick plus 2 Tbsp butter, divided")
    assert brief(found) == ("butter", 1, "stick")
    assert found.amount is not None
    assert [(more.best, more.unit) for more in found.amount.more] == [(2, "tbsp")]
    assert found.divided


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("1 egg beaten", ("egg", 1, "")),
        ("egg beaten", ("egg", None, None)),
        ("Yeast, fresh 1%", ("Yeast, fresh", 1, "%")),
        ("milk, 2%", ("milk, 2%", None, None)),
        ("200 g wholemeal", ("wholemeal flour", 200, "g")),
        ("100 g whole wheat", ("whole wheat flour", 100, "g")),
        ("a walnut of lard", ("lard", 1, "knob")),
        ("½ cube yeast", ("fresh yeast", 0.5, "cube")),
        ("1 sachet yeast", ("yeast", 1, "sachet")),
    ],
)
def test_a_name_says_what_it_is_and_no_more(
    line: str, expected: tuple[str, float | None, str | None]
) -> None:
    assert brief(only(line)) == expected


def test_a_yolk_is_of_the_eggs_beside_it() -> None:
    eggs, yolk = items("2 large eggs + 1 egg yolk")
    assert eggs.amount is not None
    assert yolk.amount is not None
    assert eggs.amount.modifiers == yolk.amount.modifiers == ("large",)


def test_a_cup_holds_what_its_line_says() -> None:
    found = only("2 cups bread flour (1 cup = 200 ml)").amount
    assert found is not None
    assert found.package is not None
    assert (found.best, found.package.best, found.package.unit) == (2, 200, "ml")


def test_fat_to_fry_an_ingredient_in_may_go_with_it() -> None:
    onions = only("50 g butter for frying the onions")
    assert (onions.use, onions.may_be) == ("dough", "filling")
    assert only("1 l oil for frying").use == "dusting"

"""Plain text: title, parts, ingredients, method, yield, oven and times, and no line lost.

The texts are our own; the forms of yield, oven and time are those of everyday recipes.
"""

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from doughwright.errors import DocumentError
from doughwright.gathering.gathered import Gathered, Item, Origin
from doughwright.gathering.pages.figures import made_in
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.pages.titles import title_of
from doughwright.gathering.process.ovens import ovens_in
from doughwright.gathering.process.times import times_in
from doughwright.render.messages import words
from doughwright.units import ICE_POINT

BUNS = """\
Harbour buns

Soft, sticky and gone by noon.

Makes 24, 75 g each

Ingredients

For the sponge:
• 200 ml milk
• 14 g fresh yeast
• 200 g strong flour

Dough
all of the sponge
450 g strong flour
80 g salted butter, melted
1 tsp salt
Total 944 g

To finish
1 egg beaten with 1 tbsp milk

Method
1. Mix the sponge and leave to rise for 45–60 min.
2. Mix the dough and knead for 10 minutes.
3. Divide into 24 pieces of 75 g. Let rise again for 40-50 min.
4. Bake at 220°C/200°C fan/gas 7 for 15 minutes.

Notes
Best eaten the same day.
"""


def names(read: Gathered) -> dict[str, list[str]]:
    return {section.title: [item.name for item in section.items] for section in read.sections}


def kept(read: Gathered) -> list[str]:
    """The text of every line, wherever it ended up."""
    items = [item for section in read.sections for item in section.items]
    heads = [section.origin for section in read.sections if section.origin]
    sums = [origin for section in read.sections for *_, origin in section.sums]
    made = [made.origin for made in read.made]
    origins = [*map(origin_of, items), *heads, *sums, *made, *read.method, *read.unread]
    return [origin.text for origin in (*origins, *read.other)]


def origin_of(item: Item) -> Origin:
    return item.origin


def test_every_part_of_a_recipe_is_told() -> None:
    read = text_gathered(BUNS, "buns.txt")
    assert read.title == "Harbour buns"
    assert names(read) == {
        "sponge": ["milk", "fresh yeast", "strong flour"],
        "Dough": ["sponge", "strong flour", "salted butter", "salt"],
        "finish": ["egg", "milk"],
    }
    ((_, total, _),) = read.sections[1].sums
    assert (total.best, total.unit) == (944.0, "g")
    assert [line.line for line in read.method] == [25, 26, 27, 28]
    assert read.unread == ()


def test_yield_oven_and_times_are_found_with_their_steps() -> None:
    read = text_gathered(BUNS, "buns.txt")
    assert [(m.pieces, m.piece and m.piece.best) for m in read.made] == [
        ((24, 24), 75.0),
        ((24, 24), 75.0),
    ]
    assert [(oven.temperature, oven.kind, oven.mark) for oven in read.ovens] == [
        (220 + ICE_POINT, "", ""),
        (200 + ICE_POINT, "fan", ""),
        (None, "gas", "7"),
    ]
    assert [(time.verb, time.low / 60, time.high / 60) for time in read.times] == [
        ("ferment", 45, 60),
        ("mix", 10, 10),
        ("ferment", 40, 50),
        ("bake", 15, 15),
    ]


def test_every_number_knows_its_line() -> None:
    read = text_gathered(BUNS, "buns.txt")
    milk = read.sections[0].items[0]
    assert milk.origin == Origin("buns.txt", 10, "• 200 ml milk")
    assert [item.origin.line for item in read.sections[2].items] == [22, 22]


@pytest.mark.parametrize(
    ("line", "pieces", "piece"),
    [
        ("makes 24", (24, 24), None),
        ("Serves 8", None, None),
        ("Makes 12–16 rolls", (12, 16), None),
        ("Yield: 2 loaves", (2, 2), None),
        ("Makes about 20 buns", (20, 20), None),
        ("two 9 x 5 in loaves", (2, 2), None),
        ("Makes two 9x5-inch loaves", (2, 2), None),
        ("75 g each", None, (75.0, "g")),
        ("24 × 75 g", (24, 24), (75.0, "g")),
        ("8 × 105 g; baked, a piece weighs 132–143 g.", (8, 8), (105.0, "g")),
        ("Divide into 3 pieces of about 115 g", (3, 3), (115.0, "g")),
        ("For 2 loaves", (2, 2), None),
    ],
)
def test_a_yield(
    line: str, pieces: tuple[int, int] | None, piece: tuple[float, str] | None
) -> None:
    made = made_in(Origin("", 1, line))
    assert made is not None
    assert made.pieces == pieces
    assert (made.piece and (made.piece.best, made.piece.unit)) == piece


@pytest.mark.parametrize(
    "line", ["For 10 minutes", "1 x 125 g ball mozzarella", "500 g flour", "for the dough"]
)
def test_no_yield(line: str) -> None:
    assert made_in(Origin("", 1, line)) is None


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("180°C fan/gas 6", [(180, "fan", ""), (None, "gas", "6")]),
        ("Bake at 400°F.", [((400 - 32) / 1.8, "", "")]),
        ("220C/200C fan", [(220, "", ""), (200, "fan", "")]),
        ("190 degrees C, without a fan", [(190, "conventional", "")]),
        ("Gas mark ½", [(None, "gas", "½")]),
        ("fan 165 °C", [(165, "fan", "")]),
        ("core 92 °C, water at 40 °C", []),
        ("425 g flour, 200 cl", []),
    ],
)
def test_an_oven(line: str, found: list[tuple[float | None, str, str]]) -> None:
    read = [
        (oven.temperature and oven.temperature - ICE_POINT, oven.kind, oven.mark)
        for oven in ovens_in(Origin("", 1, line))
    ]
    assert read == [(c and pytest.approx(c), kind, mark) for c, kind, mark in found]


def test_an_oven_between_two_temperatures_keeps_both() -> None:
    (oven,) = ovens_in(Origin("", 1, "Bake at 240-250°C"))
    assert oven.high is not None
    assert (oven.temperature, oven.high) == (240 + ICE_POINT, 250 + ICE_POINT)


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("Prove for 45–60 min", [("proof", 45, 60)]),
        ("Let it rise 1 hour, then bake 20-25 minutes", [("ferment", 60, 60), ("bake", 20, 25)]),
        ("Rest 1 h 30 min. Cool 2 hours", [("rest", 90, 90), ("cool", 120, 120)]),
        ("Chill in the fridge for 12 to 18 h", [("retard", 720, 1080)]),
        ("Leave to rise for 1½ hours", [("ferment", 90, 90)]),
        ("Knead in the stand mixer for 8 min", [("mix", 8, 8)]),
        ("It takes 5 minutes", []),
        ("Bake at 200 °C", []),
    ],
)
def test_a_time(line: str, found: list[tuple[str, float, float]]) -> None:
    read = [(t.verb, t.low / 60, t.high / 60) for t in times_in(Origin("", 1, line))]
    assert read == [(verb, pytest.approx(low), pytest.approx(high)) for verb, low, high in found]


@pytest.mark.parametrize(
    ("heading", "name", "kind", "style"),
    [
        ("For the sponge:", "sponge", "preferment", "sponge"),
        ("Sponge (flying sponge)", "sponge", "preferment", "flying sponge"),
        ("## Rye sour", "rye sour", "preferment", ""),
        ("FINAL DOUGH", "final dough", "dough", ""),
        ("First dough", "first dough", "preferment", ""),
        ("Bread soaker", "bread soaker", "soaker", ""),
        ("Seeds (topping)", "seeds", "topping", ""),
        ("Egg wash", "egg wash", "glaze", ""),
        ("Sour cream topping", "sour cream topping", "topping", ""),
        ("**Custard filling**", "custard filling", "filling", ""),
    ],
)
def test_a_heading_names_a_part(heading: str, name: str, kind: str, style: str) -> None:
    title = title_of(heading)
    assert title is not None
    assert (title.name, title.kind, title.style) == (name, kind, style)


@pytest.mark.parametrize("words", ["strong flour", "Notes", "a word before you begin", "", "Salt"])
def test_what_names_no_part(words: str) -> None:
    assert title_of(words) is None


def test_a_yield_under_the_title_is_no_heading() -> None:
    read = text_gathered("Cinnamon Rolls\nYield: 12 rolls\n\nDough:\n500 g flour\n300 g water")
    assert [made.pieces for made in read.made] == [(12, 12)]
    assert [section.title for section in read.sections] == ["Dough"]


def test_a_part_may_stand_in_one_line_with_its_ingredients() -> None:
    read = text_gathered("Loaf\n\nPoolish: 200 g bread flour, 200 g water, 0.2 g instant yeast")
    assert names(read) == {"Poolish": ["bread flour", "water", "instant yeast"]}


def test_a_part_that_is_a_list_in_one_line_ends_with_it() -> None:
    poolish = "Poolish: 200 g bread flour, 200 g water, 0.2 g instant yeast"
    read = text_gathered(f"Loaf\n\n{poolish}\n300 g bread flour\n10 g salt")
    assert names(read)[""] == ["bread flour", "salt"]
    read = text_gathered(
        "500 g strong flour\n300 g water\nEgg wash: 1 egg, 1 tbsp milk\n1 tbsp honey\n"
        "Dough again: 50 g strong flour, 10 g salt\n5 g instant yeast"
    )
    assert names(read) == {
        "": ["strong flour", "water", "honey"],
        "Egg wash": ["egg", "milk"],
        "Dough again": ["strong flour", "salt", "instant yeast"],
    }
    assert read.sections[0].items[2].may_be == "glaze"  # the honey may be brushed on as well


def test_an_ingredient_without_its_amount_is_no_heading() -> None:
    read = text_gathered("Rolls\n\n500 g strong flour\nsesame seeds\n50 g butter")
    assert names(read) == {"": ["strong flour", "sesame seeds", "butter"]}


@pytest.mark.parametrize(
    ("heading", "kind"),
    [
        *(("Teig", "dough"), ("Für den Teig:", "dough"), ("Pâte", "dough"), ("Masa", "dough")),
        *(("Impasto", "dough"), ("Deg", "dough"), ("För degen:", "dough"), ("Hamur için", "dough")),
        *(("Ciasto:", "dough"), ("Pâte à brioche", "dough"), ("Til dejen:", "dough")),
        *(("Vorteig:", "preferment"), ("Masa madre", "preferment"), ("Zaczyn", "preferment")),
        *(("Füllung", "filling"), ("Dolgu", "filling"), ("Per il ripieno:", "filling")),
        *(("Fyllning", "filling"), ("Nadzienie", "filling"), ("Para el relleno:", "filling")),
        *(("Glasur", "glaze"), ("Pour la dorure:", "glaze"), ("Pensling", "glaze")),
        *(("Zum Bestreichen:", "glaze"), ("Per spennellare", "glaze")),
        *(("Belag", "topping"), ("Kruszonka", "topping"), ("Brühstück", "soaker")),
    ],
)
def test_a_heading_in_another_language_names_a_part(heading: str, kind: str) -> None:
    title = title_of(heading)
    assert title is not None
    assert title.kind == kind
    read = text_gathered(f"Bread\n\n{heading}\n100 g strong flour\n50 g water")
    assert [len(section.items) for section in read.sections] == [2]


def test_a_list_in_one_line_is_a_list() -> None:
    read = text_gathered("500 g strong flour, 325 g water, 10 g salt and 5 g instant yeast")
    assert [item.amount and item.amount.best for item in read.sections[0].items] == [
        500.0,
        325.0,
        10.0,
        5.0,
    ]


def test_the_title_may_tell_of_an_amount() -> None:
    read = text_gathered("Brioche, 500 g flour\n\n500 g strong flour\n250 g butter")
    assert (read.title, names(read)) == ("Brioche, 500 g flour", {"": ["strong flour", "butter"]})
    assert text_gathered("strong flour 500 g\n\n300 g water").title == ""


def test_broken_lines_are_joined_and_keep_all_their_words() -> None:
    first = "335 g strong white flour (at 16 °C: 107 g cold,\n  228 g from the bench)\n  = 2⅓ cups"
    read = text_gathered(f"Dough\n{first}\n8 g salt")
    flour, salt = read.sections[0].items
    assert (flour.amount and flour.amount.best, salt.name) == (335.0, "salt")
    assert flour.origin.text.endswith("228 g from the bench) = 2⅓ cups")


def test_ingredients_that_stand_after_the_method_has_begun_are_read() -> None:
    read = text_gathered(
        "500 g strong flour\n300 g water\n\nMethod\nKnead for ten minutes.\n\n"
        "Filling:\n100 g ricotta"
    )
    assert names(read) == {"": ["strong flour", "water"], "Filling": ["ricotta"]}
    assert [line.text for line in read.method] == ["Knead for ten minutes."]


def test_a_line_nobody_understands_is_unread_and_not_lost() -> None:
    read = text_gathered("500 g strong flour\n%%%% ::\n300 g water")
    assert [line.text for line in read.unread] == ["%%%% ::"]


@pytest.mark.parametrize("text", ["", "  \n\t\n"])
def test_nothing_to_read_is_said(text: str) -> None:
    with pytest.raises(DocumentError) as caught:
        text_gathered(text)
    assert caught.value.problems[0].code == "gather-empty"


def test_a_book_is_not_read() -> None:
    with pytest.raises(DocumentError) as caught:
        text_gathered("flour " * 100_000)
    assert caught.value.problems[0].code == "gather-too-long"
    assert caught.value.problems[0].values["what"] == "signs"
    with pytest.raises(DocumentError) as caught:
        text_gathered("flour\n" * 6_000)
    assert "it has 6000 lines, and 5000 are read at most" in words(caught.value.problems[0])


FRAGMENTS = st.sampled_from(
    [
        *(
            "500 g flour",
            "Dough:",
            "Method",
            "|",
            "\t",
            "  ",
            "½",
            "1 1/2",
            "salt",
            "Total",
            "%",
            "#",
        ),
        *("(", ")", "=", ":", "and", "or", "plus", "180°C", "gas", "Makes", "each", "Bake", "min"),
        *("For the", "sponge", "all of the", "egg", "-", "–", "1.", "12", "\u202e", "\x85", "🥖"),
    ]
)
ODD_LINES = st.one_of(st.text(max_size=40), st.lists(FRAGMENTS, max_size=8).map(" ".join))


@given(st.lists(ODD_LINES, min_size=1, max_size=12))
@example(["0G", "- "])
def test_no_text_breaks_the_reader_or_loses_a_line(lines: list[str]) -> None:
    text = "\n".join(lines)
    if not text.strip():
        return
    found = kept(text_gathered(text))
    for line in filter(str.strip, text.splitlines()):
        assert any(line.strip() in other or squeezed(line) in squeezed(other) for other in found)


def squeezed(words: str) -> str:
    return " ".join(words.split())

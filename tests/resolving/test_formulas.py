"""A document and a wish for its size: solved, with every doubt, or refused at its place."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.quantities import quantity
from doughwright.documents.reading import Reading, read_document
from doughwright.engine.overall import hydration, hydration_liquids_only
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import (
    MOST_CORNERS,
    ResolvedFormula,
    Wish,
    as_tested,
    hydration_range,
    leaves_scale_open,
    liquids_range,
    resolved_formula,
)

Solve = Callable[..., ResolvedFormula]
Problems = Callable[..., tuple[Notice, ...]]
Read = Callable[[str], Reading]

EXAMPLES = Path(__file__).parents[2] / "examples"

PERCENT = (
    "preparations: {dough: {kind: dough, ingredients: {flour: 100 %, water: 68 %, salt: 2 %}}}\n"
)
WEIGHED = (
    "preparations: {dough: {kind: dough, ingredients: {flour: 1 kg, water: 680 g, salt: 20 g}}}\n"
)
FILLED = """
preparations:
  dough: {kind: dough, ingredients: {flour: 1 kg, water: 680 g, salt: 20 g}}
  filling: {kind: filling, each: 30 g, ingredients: {leek: 2 parts, ricotta: 1 parts}}
"""


def example(name: str, wish: Wish) -> ResolvedFormula:
    reading = read_document((EXAMPLES / f"{name}.yaml").read_text("utf-8"))
    assert isinstance(reading.document, FormulaDocument)
    return resolved_formula(reading.document, wish)


def having(name: str, amount: str) -> Wish:
    return Wish(having=(name, quantity(amount, "mass", "volume", "count")))


# --- the document's own size ----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("makes", "dough", "pieces", "piece"),
    [
        ("{flour: 1 kg}", 1.7, None, None),
        ("{dough: 3.4 kg}", 3.4, None, None),
        ("{dough: 3.4 kg, pieces: 34, spare: 0 %}", 3.4, 34, 0.1),
        ("{dough: 3.4 kg, piece: 100 g, spare: 0 %}", 3.4, 34, 0.1),
        ("{pieces: 17, piece: 100 g, spare: 0 %}", 1.7, 17, 0.1),
        ("{pieces: 17, piece: 100 g, spare: 15 %}", 2.0, 17, 0.1),
        ("{pieces: 17, piece: 100 g}", 1.7 / 0.98, 17, 0.1),  # 2 % spared unless said
    ],
)
def test_percentages_and_a_yield(
    solve: Solve, makes: str, dough: float, pieces: int | None, piece: float | None
) -> None:
    found = solve(f"{PERCENT}yield: {makes}").solution
    assert found.dough == pytest.approx(dough)
    assert found.pieces == pieces
    assert found.piece == (piece if piece is None else pytest.approx(piece))


def test_pieces_may_stand_at_the_divide(solve: Solve) -> None:
    found = solve(f"{WEIGHED}process: [{{divide: dough, pieces: 10}}]\n").solution
    assert (found.pieces, found.spare) == (10, 0.02)
    assert found.piece == pytest.approx(0.1666)


# tin volume per dough, from memory: white 3.65, enriched 2.75, rye 2.0 ml/g
@pytest.mark.parametrize(
    ("lines", "per_gram"),
    [
        ("flour: 100 %, water: 65 %", 3.65),
        ("flour: 100 %, water: 55 %, butter: 10 %, sugar: 8 %", 2.75),
        ("wholemeal flour: 100 %, water: 75 %", 2.75),
        ("rye flour: 60 %, flour: 40 %, water: 80 %", 2.0),
    ],
)
def test_a_tin_by_the_kind_of_dough(solve: Solve, lines: str, per_gram: float) -> None:
    found = solve(f"""
    yield: {{tin: 1.4 l, pieces: 2, spare: 0 %}}
    preparations: {{dough: {{kind: dough, ingredients: {{{lines}}}}}}}
    """).solution
    assert found.pieces == 2
    assert found.piece == pytest.approx(1.4 / per_gram)


def test_one_tin_is_one_piece(solve: Solve) -> None:
    assert solve(f"{PERCENT}yield: {{tin: 1 l}}").solution.pieces == 1


# --- wishes ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("wish", "dough"),
    [
        (Wish(dough=3.4), 3.4),
        (Wish(flour=0.5), 0.85),
        (Wish(pieces=49, piece=0.1), 5.0),
        (having("flour", "3 kg"), 5.1),
        (having("water", "340 g"), 0.85),
        (having("plain flour", "3 kg"), 5.1),  # by any word for it
    ],
)
@pytest.mark.parametrize("text", [PERCENT, WEIGHED])
def test_a_wish_sets_the_size(solve: Solve, text: str, wish: Wish, dough: float) -> None:
    assert solve(text, wish).solution.dough == pytest.approx(dough)


def test_more_pieces_of_the_same_weight(solve: Solve) -> None:
    text = f"{PERCENT}yield: {{pieces: 8, piece: 105 g}}"
    found = solve(text, Wish(pieces=12)).solution
    assert (found.pieces, found.piece) == (12, 0.105)
    assert found.dough == pytest.approx(12 * 0.105 / 0.98)
    heavier = solve(text, Wish(piece=0.210)).solution
    assert heavier.pieces == 8
    assert heavier.dough == pytest.approx(8 * 0.210 / 0.98)


def test_the_weight_of_a_piece_alone_divides_what_there_is(solve: Solve) -> None:
    found = solve(WEIGHED, Wish(piece=0.100)).solution
    assert found.dough == pytest.approx(1.7)
    assert (found.pieces, found.piece) == (16, 0.100)
    assert found.remainder == pytest.approx(0.066)


def test_a_known_number_of_pieces_stays_when_flour_on_hand_sets_the_size(solve: Solve) -> None:
    found = solve(f"{PERCENT}yield: {{pieces: 8}}", having("flour", "500 g")).solution
    assert found.pieces == 8
    assert found.piece == pytest.approx(0.850 * 0.98 / 8)


def test_half_of_two_loaves_is_one() -> None:
    found = example("rye-and-wheat-hearth-loaf", Wish(pieces=1)).solution
    whole = example("rye-and-wheat-hearth-loaf", Wish()).solution
    assert found.pieces == 1
    assert found.dough == pytest.approx(whole.dough / 2)


def test_eggs_on_hand(solve: Solve) -> None:
    text = f"place: LV\n{WEIGHED.replace('water: 680 g', 'egg: 2 large')}"
    assert solve(text, having("egg", "3 large")).solution.total_flour == pytest.approx(1.5)


def test_fillings_by_the_piece_keep_to_the_pieces(solve: Solve) -> None:
    found = solve(f"{FILLED}yield: {{pieces: 10}}", Wish(pieces=20)).solution
    assert found.named("filling").mass == pytest.approx(20 * 0.030)
    by_piece = solve(FILLED, Wish(piece=0.1)).solution
    assert by_piece.named("filling").mass == pytest.approx(16 * 0.030)


def test_a_wish_that_names_what_is_not_there(problems: Problems) -> None:
    (found,) = problems(WEIGHED, having("egg", "3 large"))
    assert (found.code, found.values["name"]) == ("not-in-formula", "egg")
    (unknown,) = problems(WEIGHED, having("eeg", "3 large"))
    assert unknown.code == "unknown-ingredient"
    (measure,) = problems(WEIGHED, having("salt", "3 large"))
    assert measure.code == "unknown-measure"


def test_pieces_of_no_known_weight(problems: Problems) -> None:
    (found,) = problems(WEIGHED, Wish(pieces=12))
    assert (found.code, found.where) == ("piece-unknown", ("yield",))


def test_a_wish_does_not_mend_a_size_left_open(problems: Problems) -> None:
    (found,) = problems(PERCENT, Wish(pieces=12))
    assert found.code == "scale-open"
    (still,) = problems(PERCENT)
    assert still.code == "scale-open"


@pytest.mark.parametrize(
    ("text", "is_open"),
    [
        (PERCENT, True),
        (WEIGHED, False),
        (f"{PERCENT}yield: {{pieces: 8}}", True),
        (f"{PERCENT}yield: {{piece: 80 g}}", True),
        (f"{PERCENT}yield: {{pieces: 8, piece: 80 g}}", False),
        (f"{PERCENT}yield: {{tin: 1 l}}", False),
        (f"{PERCENT}yield: {{flour: 1 kg}}", False),
    ],
)
def test_what_leaves_the_scale_open(read: Read, text: str, is_open: bool) -> None:  # noqa: FBT001 - a column of the table
    document = read(text).document
    assert isinstance(document, FormulaDocument)
    assert leaves_scale_open(document) is is_open


LEVAIN = """
preparations:
  levain: {kind: preferment, ingredients: {flour: 20 %, water: 20 %}}
  dough: {kind: dough, from: {levain: 300 g}, ingredients: {flour: 85 %, water: 45 %, salt: 2 %}}
"""
EGGY = f"place: LV\n{PERCENT.replace('salt: 2 %', 'salt: 2 %, egg: 2 large')}"
TOPPED = (
    "preparations:\n"
    "  dough: {kind: dough, ingredients: {flour: 100 %, water: 68 %, salt: 2 %}}\n"
    "  topping: {kind: topping, ingredients: {sesame seeds: 30 g}}\n"
)


@pytest.mark.parametrize(
    ("text", "is_open"), [(EGGY, True), (TOPPED, True), (LEVAIN, False), (FILLED, False)]
)
def test_a_weight_that_is_no_flour_leaves_the_scale_open(
    read: Read,
    text: str,
    is_open: bool,  # noqa: FBT001 - a column of the table
) -> None:
    document = read(text).document
    assert isinstance(document, FormulaDocument)
    assert leaves_scale_open(document) is is_open


def test_levain_by_weight_is_a_size(solve: Solve) -> None:
    assert solve(LEVAIN).solution.total_flour == pytest.approx(1.0)
    assert solve(f"{LEVAIN}yield: {{flour: 1 kg}}").solution.dough == pytest.approx(1.62)
    assert solve(LEVAIN, Wish(flour=2.0)).solution.named("dough").taken == pytest.approx(
        {"levain": 0.6}
    )


# --- an ingredient on hand and an open scale ------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "wish", "fixed"),
    [
        (EGGY, having("egg", "3 large"), 0.120),
        (TOPPED, having("sesame seeds", "60 g"), 0.030),
        (
            FILLED.replace("1 kg", "100 %").replace("680 g", "68 %").replace("20 g", "2 %")
            + "yield: {pieces: 10}",
            having("leek", "500 g"),
            0.200,
        ),
    ],
)
def test_what_does_not_grow_with_the_flour_sets_no_size(
    problems: Problems, text: str, wish: Wish, fixed: float
) -> None:
    (found,) = problems(text, wish)
    assert found.code == "having-sets-no-size"
    assert found.values["fixed"] == pytest.approx(fixed)


def test_part_in_weight_part_in_percent_uses_up_what_is_on_hand(
    solve: Solve, problems: Problems
) -> None:
    text = EGGY.replace("egg: 2 large", "egg: 2 large, egg (second): 10 %")
    found = solve(text, having("egg", "5 large")).solution
    eggs = found.named("dough").masses[-2:]
    assert eggs == pytest.approx((0.120, 0.180))
    assert found.total_flour == pytest.approx(1.8)
    (few,) = problems(text, having("egg", "2 large"))
    assert (few.code, few.values["fixed"]) == ("having-sets-no-size", pytest.approx(0.120))


def test_with_a_size_of_its_own_a_line_in_weight_scales_like_all(solve: Solve) -> None:
    found = solve(f"{EGGY}yield: {{flour: 1 kg}}", having("egg", "3 large")).solution
    assert found.total_flour == pytest.approx(1.5)
    assert found.named("dough").masses[-1] == pytest.approx(0.180)


def test_a_filling_by_the_piece_and_a_dough_in_percent(solve: Solve) -> None:
    # pieces of 105 g hold 100/170 of flour: 60 g of sugar for each kg, and 5 g a piece
    text = """
    yield: {piece: 105 g, spare: 0 %}
    preparations:
      dough: {kind: dough, ingredients: {flour: 100 %, water: 62 %, salt: 2 %, sugar: 6 %}}
      glaze: {kind: glaze, each: 5 g, ingredients: {sugar: 1 parts}}
    """
    found = solve(text, having("sugar", "500 g")).solution
    assert found.total_flour == pytest.approx(0.5 / (0.06 + 0.005 * 1.7 / 0.105))
    used = found.named("dough").masses[-1] + found.named("glaze").mass
    assert 0.500 - 0.005 <= used <= 0.500


def test_a_starter_of_the_baker_s_own_on_hand(solve: Solve) -> None:
    text = WEIGHED.replace("20 g", "20 g, Olga: {amount: 200 g, hydration: 100 %}")
    text += "ingredients: {Olga: {like: starter}}\n"
    assert solve(text, having("Olga", "300 g")).solution.total_flour == pytest.approx(1.65)


# --- a yield and a wish that differ ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("makes", "one", "other"),
    [
        ("{pieces: 10, piece: 80 g, dough: 2 kg}", "pieces and piece", "dough"),
        ("{tin: 1 l, dough: 3 kg}", "tin", "dough"),
        ("{tin: 1 l, flour: 1 kg}", "tin", "flour"),
        ("{tin: 1 l, piece: 400 g}", "tin", "pieces and piece"),
        ("{flour: 1 kg, dough: 1.72 kg}", "flour", "dough"),
        ("{flour: 2 kg, pieces: 10, piece: 170 g}", "pieces and piece", "flour"),
    ],
)
@pytest.mark.parametrize("wish", [Wish(), Wish(flour=1.0)])
def test_two_sizes_that_disagree(
    problems: Problems, makes: str, one: str, other: str, wish: Wish
) -> None:
    (found,) = problems(f"{PERCENT}yield: {makes}", wish)
    assert (found.code, found.where) == ("yield-says-twice", ("yield",))
    assert (found.values["one"], found.values["other"]) == (one, other)


@pytest.mark.parametrize(
    ("makes", "dough"),
    [
        ("{flour: 1 kg, dough: 1.7 kg}", 1.7),
        ("{pieces: 10, piece: 170 g, flour: 1 kg}", 1.7),
        ("{pieces: 10, piece: 170 g, dough: 1.735 kg}", 1.735),  # the usual 2 % spared
        ("{tin: 1 l, dough: 280 g}", 0.280),  # 274 g by rule of thumb: the weight has the say
        ("{tin: 1 l, piece: 280 g}", 0.280 / 0.98),
    ],
)
def test_two_sizes_that_agree(solve: Solve, makes: str, dough: float) -> None:
    assert solve(f"{PERCENT}yield: {makes}").solution.dough == pytest.approx(dough)


CONTRADICTED = [f"{WEIGHED}yield: {makes}" for makes in ("{dough: 2 kg}", "{flour: 2 kg}")]


@pytest.mark.parametrize("text", [*CONTRADICTED, f"{WEIGHED}yield: {{tin: 1 l}}"])
@pytest.mark.parametrize(
    ("wish", "dough"),
    [(Wish(dough=3.4), 3.4), (Wish(flour=0.5), 0.85), (having("salt", "40 g"), 3.4)],
)
def test_a_wish_goes_before_a_yield_the_weights_contradict(
    solve: Solve, problems: Problems, text: str, wish: Wish, dough: float
) -> None:
    assert solve(text, wish).solution.dough == pytest.approx(dough)
    assert [p.code for p in problems(text)] == ["yield-contradicts"]


def test_pieces_of_a_contradicted_yield(solve: Solve) -> None:
    tins = solve(f"{WEIGHED}yield: {{tin: 1 l, spare: 0 %}}", Wish(pieces=3)).solution
    assert (tins.pieces, tins.dough) == (3, pytest.approx(3 / 3.65))  # white dough: 3.65 ml/g
    cut = solve(CONTRADICTED[0], Wish(pieces=8)).solution
    assert (cut.pieces, cut.dough) == (8, pytest.approx(2.0))
    short = f"{WEIGHED}yield: {{pieces: 20, piece: 100 g, spare: 0 %}}"
    assert solve(short, Wish(pieces=20)).solution.dough == pytest.approx(2.0)


@pytest.mark.parametrize("text", [f"{WEIGHED}yield: {{dough: 2 kg}}", WEIGHED, PERCENT])
def test_times_were_noted_at_the_document_s_own_size(solve: Solve, text: str) -> None:
    wished = solve(text, Wish(dough=3.4))
    own = as_tested(wished).solution.dough
    assert own == pytest.approx(1.7 if text == WEIGHED else 3.4)  # else there is none


@pytest.mark.parametrize("makes", ["{dough: 1.7 kg}", "{flour: 1 kg}"])
@pytest.mark.parametrize("dough", [PERCENT, WEIGHED])
def test_pieces_wished_for_divide_the_dough_of_the_yield(
    solve: Solve, dough: str, makes: str
) -> None:
    filling = "  filling: {kind: filling, each: 30 g, ingredients: {leek: 2 parts}}\n"
    text = dough.replace("{dough:", "\n  dough:").replace("}}}", "}}") + filling
    found = solve(f"{text}yield: {makes}", Wish(pieces=7)).solution
    assert (found.pieces, found.piece) == (7, pytest.approx(1.7 * 0.98 / 7))
    assert found.dough == pytest.approx(1.7)
    assert found.named("filling").mass == pytest.approx(0.210)


def test_a_filled_dough_of_no_known_piece(problems: Problems) -> None:
    assert [p.code for p in problems(FILLED, Wish(pieces=7))] == ["piece-unknown"]


@pytest.mark.parametrize("text", [PERCENT, WEIGHED])
@pytest.mark.parametrize("wish", [Wish(dough=1.0, piece=0.1), Wish(flour=1 / 1.7, piece=0.1)])
def test_a_dough_and_a_piece_spare_what_stays_on_the_bench(
    solve: Solve, text: str, wish: Wish
) -> None:
    for makes in ("yield: {pieces: 10}", ""):
        found = solve(text + makes, wish).solution
        assert (found.pieces, found.piece, found.spare) == (9, 0.1, 0.02)
        assert found.remainder == pytest.approx(0.080)
        assert found.notices == ()


def test_a_piece_may_be_more_than_the_dough_as_written(solve: Solve) -> None:
    assert solve(WEIGHED, Wish(pieces=2, piece=2.0)).solution.dough == pytest.approx(4 / 0.98)
    assert solve(WEIGHED, Wish(dough=3.4, piece=2.0)).solution.pieces == 1


# --- ranges ---------------------------------------------------------------------------------------


def test_ranges_of_both_hydrations(solve: Solve) -> None:
    found = solve("""
    preparations:
      dough:
        kind: dough
        ingredients: {flour: 900–1100 g, water: 600–650 g, milk: 50–100 g}
    ingredients: {milk: {water: 90 %}}
    """)
    assert hydration(found.solution) == pytest.approx(0.625 + 0.0675)
    assert hydration_range(found) == pytest.approx((645 / 1100, 740 / 900))
    assert liquids_range(found) == pytest.approx((650 / 1100, 750 / 900))


def test_flours_in_ranges_are_taken_where_they_add_up(solve: Solve) -> None:
    # 80 % of one goes with 20 % of the other; water as liquids hangs on neither
    found = solve("""
    yield: {flour: 1 kg}
    preparations:
      dough:
        kind: dough
        ingredients: {flour: 60–80 %, rye flour: 20–40 %, water: 60–66 %}
    """)
    assert hydration_range(found) == pytest.approx((0.60, 0.66))


def test_without_ranges_low_and_high_are_the_value(solve: Solve) -> None:
    found = solve(WEIGHED)
    assert hydration_range(found) == (hydration(found.solution),) * 2
    assert liquids_range(found) == (hydration_liquids_only(found.solution),) * 2


def test_too_many_ranges_are_not_worked_out(solve: Solve) -> None:
    seeds = ", ".join(f"sesame ({n}): 1–2 g" for n in range(MOST_CORNERS))
    text = WEIGHED.replace("water: 680 g", f"water: 600–700 g, {seeds}")
    low, high = hydration_range(solve(text))
    assert low == high == pytest.approx(0.65)


# --- refusals at their place ----------------------------------------------------------------------


def test_every_problem_of_lines_and_steps_at_once(problems: Problems) -> None:
    found = problems("""
    preparations:
      sponge: {kind: preferment, ingredients: {flour: 30 %, mlik: 48 %}}
      dough: {kind: dough, from: [sponge], ingredients: {flour: 70 %, levain: 10 %}}
    process:
      - mix: spong
      - bake: dough
      - glaze: egg wash
    """)
    assert [(p.code, p.where[-1]) for p in found] == [
        ("unknown-ingredient", "mlik"),
        ("starter-needs-hydration", "levain"),
        ("unknown-preparation", "mix"),
    ]
    assert found[2].where == ("process", 0, "mix")


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        (f"{PERCENT}yield: {{pieces: 8}}", "scale-open", 4),
        (f"{WEIGHED}yield: {{dough: 2 kg}}", "yield-contradicts", 4),
        (f"{WEIGHED}yield: {{pieces: 20, piece: 100 g}}", "pieces-need-more-dough", 4),
        (FILLED, "each-without-pieces", 5),
        (FILLED.replace("each: 30 g, ", ""), "parts-without-each", 5),
        (PERCENT.replace("100 %", "98 %") + "yield: {tin: 1 l}", "flour-percent-sum", 3),
        (WEIGHED.replace("20 g", "200 g"), "salt-inedible", 3),
        (WEIGHED.replace("dough: {", "dough: {from: [spong], "), "unknown-preparation", 3),
        (WEIGHED.replace("kind: dough", "kind: soaker"), "no-dough", 3),
    ],
)
def test_a_refusal_has_a_place_in_the_document(read: Read, text: str, code: str, line: int) -> None:
    reading = read(text.lstrip("\n"))
    assert isinstance(reading.document, FormulaDocument)
    with pytest.raises(DocumentError) as caught:
        resolved_formula(reading.document)
    (found,) = caught.value.problems
    place = reading.placed(found).place
    assert found.code == code
    assert place is not None
    assert place.line == line


@pytest.mark.parametrize("lines", ["leek: 0 g", "leek: 0 %, salt: 0 g", ""])
def test_a_preparation_of_no_weight(problems: Problems, lines: str) -> None:
    text = TOPPED.replace("sesame seeds: 30 g", lines)
    (found,) = problems(text, Wish(flour=1.0))
    assert (found.code, found.where) == ("weighs-nothing", ("preparations", "topping"))


def test_doubts_travel_with_the_solution(solve: Solve) -> None:
    found = solve("""
    preparations:
      dough:
        kind: dough
        ingredients: {flour: 1 kg, water: 450 g, egg: 2 large, sugar: 60 g, secret: 1 g}
    ingredients: {secret: {price: 1 EUR/kg}}
    """)
    assert [n.code for n in found.notices] == [
        "measure-without-country",
        "composition-unknown",
        "salt-low",
        "sugar-slows",
    ]


@pytest.mark.parametrize("path", sorted(EXAMPLES.glob("*.yaml")), ids=lambda p: p.stem)
def test_the_examples_raise_no_doubt_of_a_slip(path: Path) -> None:
    document = read_document(path.read_text("utf-8")).document
    if isinstance(document, FormulaDocument):
        codes = {n.code for n in resolved_formula(document).notices}
        assert codes <= {"sugar-slows", "sugar-slows-clearly"}

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
    place = reading.place_of(found.where)
    assert found.code == code
    assert place is not None
    assert place.line == line


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

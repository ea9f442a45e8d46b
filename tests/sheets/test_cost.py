"""What a cost sheet shows adds up: lines, energy, hands, pieces and kilograms."""

from collections.abc import Callable
from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.resolving.costs import formula_cost
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import Kitchen, kitchen_from
from doughwright.resolving.planning import Planned, planned_formula
from doughwright.resolving.selling import Loss, loss_of, sold
from doughwright.sheets.cost import CostSheet, cost_sheet

Solve = Callable[..., ResolvedFormula]

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = (EXAMPLES / "leek-and-curd-pockets.yaml").read_text("utf-8")
HARBOUR_LANE = (EXAMPLES / "harbour-lane.kitchen.yaml").read_text("utf-8")

ROLLS = """
place: LV
yield: {pieces: 4, piece: 100 g, spare: 0 %}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 58 %, salt: 2 %}
"""
"""250 g flour, 145 g water, 5 g salt."""

PRICES = "prices: {strong white flour: 1.20 EUR/kg, salt: 0.40 EUR/kg}\n"


def kitchen(text: str) -> Kitchen:
    head = "" if text.startswith("#") else "doughwright: kitchen/1\nname: x\n"
    document = read_document(head + text).document
    assert isinstance(document, KitchenDocument)
    return kitchen_from(document)


def sheet(formula: ResolvedFormula, place: Kitchen, loss: float = 0.12) -> CostSheet:
    product = sold(formula, loss_of(formula, None, stated=loss))
    return cost_sheet("Rolls", formula_cost(formula, place), product)


@pytest.fixture(scope="module")
def planned() -> Planned:
    document = read_document(POCKETS).document
    assert isinstance(document, FormulaDocument)
    formula = resolved_formula(document)
    return planned_formula(formula, formula, kitchen(HARBOUR_LANE + "labour: 15 EUR/h\n"))


@pytest.fixture(scope="module")
def pockets(planned: Planned) -> CostSheet:
    formula = planned.formula
    found = formula_cost(formula, planned.kitchen, planned.baked, planned.settled.steps)
    return cost_sheet(formula.document.name, found, sold(formula, loss_of(formula, planned.baked)))


def test_the_costs_by_hand(solve: Solve) -> None:
    # 0.250 · 1.20 + 0.005 · 0.40 = 0.302; a quarter of it a piece; 352 g baked
    found = sheet(solve(ROLLS), kitchen(PRICES))
    assert [line.cost for line in found.lines] == pytest.approx([0.300, 0.0, 0.002])
    assert found.ingredients == found.total == pytest.approx(0.302)
    assert found.each == pytest.approx(0.0755)
    assert found.baked.value == pytest.approx(0.352)
    assert found.baked_kilogram == pytest.approx(0.302 / 0.352)
    assert (found.energy, found.labour, found.unknown) == (None, None, ())
    assert (found.energy_used.value, found.energy_used.kind) == (None, "unknown")
    assert found.notices == ()


def test_lines_energy_and_hands_are_the_total(pockets: CostSheet) -> None:
    costs = [line.cost for line in pockets.lines if line.cost is not None]
    assert len(costs) == len(pockets.lines)
    assert sum(costs) == pytest.approx(pockets.ingredients)
    assert pockets.energy is not None
    assert pockets.labour is not None
    assert min(pockets.ingredients, pockets.energy, pockets.labour) > 0.0
    assert pockets.total == pytest.approx(sum(costs) + pockets.energy + pockets.labour)


def test_pieces_and_baked_kilograms_are_the_total(pockets: CostSheet) -> None:
    assert pockets.pieces == 8
    assert pockets.each * pockets.pieces == pytest.approx(pockets.total)
    assert pockets.baked.value is not None
    assert pockets.baked_kilogram * pockets.baked.value == pytest.approx(pockets.total)


def test_energy_is_what_is_used_at_its_price(pockets: CostSheet) -> None:
    assert pockets.energy_used.value is not None
    assert pockets.energy == pytest.approx(0.30 * pockets.energy_used.value / 3.6e6)  # EUR/kWh


def test_a_baked_kilogram_is_of_what_leaves_the_oven(planned: Planned, pockets: CostSheet) -> None:
    """Dough and filling that are spared are paid, and are in no baked kilogram."""
    weighed = sum(line.mass.value or 0.0 for line in pockets.lines)
    baked = pockets.baked
    assert baked.value is not None
    assert baked.low is not None
    assert baked.high is not None
    assert baked.low < baked.value < baked.high < 8 * (0.105 + 0.040 + 0.004) < weighed
    assert pockets.baked_kilogram > pockets.total / weighed
    assert baked.kind == "model"
    assert planned.baked is not None


def test_every_line_stands_with_its_preparation_and_mass(
    planned: Planned, pockets: CostSheet
) -> None:
    solution = planned.formula.solution
    made = {p.name: sum(p.masses) for p in solution.preparations}
    for name, mass in made.items():
        of_it = [line.mass.value or 0.0 for line in pockets.lines if line.preparation == name]
        assert sum(of_it) == pytest.approx(mass)


def test_the_loss_changes_the_kilogram_and_not_the_piece(solve: Solve) -> None:
    formula, place = solve(ROLLS), kitchen(PRICES)
    moist, dry = sheet(formula, place, 0.08), sheet(formula, place, 0.20)
    assert moist.each == pytest.approx(dry.each)
    assert moist.baked_kilogram * 0.92 == pytest.approx(dry.baked_kilogram * 0.80)


@pytest.mark.parametrize("pieces", [1, 8, 100])
def test_the_size_of_a_batch_changes_no_piece(solve: Solve, pieces: int) -> None:
    place = kitchen(PRICES)
    one, many = sheet(solve(ROLLS), place), sheet(solve(ROLLS, Wish(pieces=pieces)), place)
    assert many.pieces == pieces
    assert many.each == pytest.approx(one.each)
    assert many.baked_kilogram == pytest.approx(one.baked_kilogram)
    assert many.total == pytest.approx(one.total * pieces / 4)


def test_what_has_no_price_is_no_part_of_the_sums(solve: Solve) -> None:
    found = sheet(solve(ROLLS), kitchen("prices: {strong white flour: 1.20 EUR/kg}\n"))
    assert [line.cost for line in found.lines] == [pytest.approx(0.300), 0.0, None]
    assert found.unknown == ("salt",)
    assert found.unknown_share.value == pytest.approx(5 / 400)
    assert found.total == pytest.approx(0.300)
    assert [n.code for n in found.notices] == ["price-unknown"]


def test_nothing_with_a_price_is_no_cost_and_no_price_of_a_piece(solve: Solve) -> None:
    found = sheet(solve(ROLLS), kitchen("currency: GBP\n"))
    assert (found.total, found.each, found.currency) == (0.0, 0.0, "GBP")
    assert found.unknown == ("strong white flour", "salt")


def test_what_is_said_of_prices_travels_to_the_sheet(solve: Solve) -> None:
    text = ROLLS.replace("salt: 2 %", "salt: 2 %, egg: 51 g")
    found = sheet(solve(text), kitchen(PRICES.replace("{", "{egg: 0.32 EUR/egg, ")))
    assert [n.code for n in found.notices] == ["price-size-assumed"]
    egg = next(line for line in found.lines if line.name == "egg")
    assert egg.cost is not None
    assert egg.mass.value is not None
    assert egg.cost / egg.mass.value == pytest.approx(0.32 / 0.051)


def test_the_band_of_the_baked_weight_is_that_of_the_loss(solve: Solve) -> None:
    formula, place = solve(ROLLS), kitchen(PRICES)
    product = sold(formula, Loss(0.10, 0.12, 0.15, "model"))
    baked = cost_sheet("Rolls", formula_cost(formula, place), product).baked
    assert (baked.low, baked.value, baked.high) == pytest.approx((0.340, 0.352, 0.360))

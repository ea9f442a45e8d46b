"""A formula as sold: whose loss counts, what it weighs, which ingredients its name promises."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import read_document
from doughwright.engine.labels import eu_label
from doughwright.engine.nutrition import Nutrients, energy_eu, kilocalorie_energy_eu, to_the_oven
from doughwright.errors import DocumentError, Notice
from doughwright.render.messages import hint, remedy, words
from doughwright.resolving.bakes import BakeHere, bake_here, bake_setting
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.rises import settled
from doughwright.resolving.selling import Loss, SoldProduct, loss_of, named_in_title, sold

Solve = Callable[..., ResolvedFormula]

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = (EXAMPLES / "leek-and-curd-pockets.yaml").read_text("utf-8")

ROLLS = """
yield: {pieces: 4, piece: 100 g, spare: 5 %}
preparations:
  dough:
    kind: dough
    ingredients: {strong white flour: 100 %, water: 60 %, salt: 2 %}
"""
"""400 g go into the oven in 4 pieces; what is spared does not."""

WATER = (0.1336 + 0.60 * 0.999 + 0.02 * 0.002) / 1.62
"""Of the rolls: USDA SR28, NDB 20129, 14411 and 02047."""


@pytest.fixture(scope="module")
def rolls(solve: Solve) -> ResolvedFormula:
    return solve(ROLLS)


@pytest.fixture(scope="module")
def pockets() -> tuple[ResolvedFormula, BakeHere]:
    document = read_document(POCKETS).document
    place = read_document((EXAMPLES / "harbour-lane.kitchen.yaml").read_text("utf-8")).document
    assert isinstance(document, FormulaDocument)
    assert isinstance(place, KitchenDocument)
    formula, kitchen = resolved_formula(document), kitchen_from(place)
    setting = bake_setting(formula, formula, kitchen, settled(formula, formula, kitchen))
    assert setting is not None
    return formula, bake_here(setting)


def refused(ask: Callable[[], object]) -> Notice:
    with pytest.raises(DocumentError) as caught:
        ask()
    (found,) = caught.value.problems
    return found


def raw(formula: ResolvedFormula) -> float:
    return sum(mass for _, mass in to_the_oven(formula.solution))


# --- whose loss counts ----------------------------------------------------------------------------


def test_a_stated_loss_is_taken_as_it_is(rolls: ResolvedFormula) -> None:
    assert loss_of(rolls, None, stated=0.12) == Loss(0.12, 0.12, 0.12, "stated")
    found = sold(rolls, loss_of(rolls, None, stated=0.12))
    assert found.product.mass == pytest.approx(0.352)  # 400 g less 48 g
    assert found.piece == pytest.approx(0.088)
    assert found.pieces == 4


def test_a_weighed_piece_says_what_was_lost(rolls: ResolvedFormula) -> None:
    found = loss_of(rolls, None, piece=0.090)
    assert found.kind == "weighed"
    assert (found.low, found.best, found.high) == pytest.approx((0.10, 0.10, 0.10))
    assert sold(rolls, found).piece == pytest.approx(0.090)


def test_the_bake_s_loss_is_the_water_it_drives_off(
    pockets: tuple[ResolvedFormula, BakeHere],
) -> None:
    formula, here = pockets
    found = loss_of(formula, here)
    assert found.kind == "model"
    assert here.seen is not None
    # the glaze is sold and not followed by the bake: its mass is left as it is
    lost = here.seen.loss * here.piece.whole_mass * 8
    assert sold(formula, found).product.mass == pytest.approx(raw(formula) - lost)
    assert 0.0 < found.low < found.best < found.high < 0.25


def test_a_band_does_not_begin_below_nothing(pockets: tuple[ResolvedFormula, BakeHere]) -> None:
    formula, here = pockets
    assert here.seen is not None
    wet = replace(here, seen=replace(here.seen, loss=0.001))
    found = loss_of(formula, wet)
    assert 0.0 == found.low < found.best < found.high
    assert sold(formula, found).heavier.mass == pytest.approx(raw(formula))


def test_without_a_bake_the_usual_loss_is_taken(
    rolls: ResolvedFormula, pockets: tuple[ResolvedFormula, BakeHere]
) -> None:
    # common practice: tin loaves 9–11 %, hearth loaves 12–15 %, rolls 12–16 %
    found = loss_of(rolls, None)
    assert found.kind == "usual"
    assert 0.08 <= found.low < found.best < found.high <= 0.16
    formula, here = pockets
    assert loss_of(formula, replace(here, seen=None)) == found


@pytest.mark.parametrize(
    ("said", "kind"), [({"stated": 0.1}, "stated"), ({"piece": 0.13}, "weighed")]
)
def test_what_the_baker_says_goes_before_the_bake(
    pockets: tuple[ResolvedFormula, BakeHere], said: dict[str, float], kind: str
) -> None:
    assert loss_of(*pockets, **said).kind == kind


def test_a_formula_without_pieces_is_one(solve: Solve) -> None:
    whole = solve(
        ROLLS.replace("{pieces: 4, piece: 100 g, spare: 5 %}", "{dough: 1 kg, spare: 0 %}")
    )
    found = sold(whole, loss_of(whole, None, piece=0.9))
    assert (found.pieces, found.piece) == (1, pytest.approx(0.9))
    assert found.loss.best == pytest.approx(0.10)


# --- what cannot be -------------------------------------------------------------------------------


@pytest.mark.parametrize("stated", [2.0, 1.0, 0.99, 0.5])
def test_no_more_is_lost_than_there_is_water(rolls: ResolvedFormula, stated: float) -> None:
    found = refused(lambda: sold(rolls, loss_of(rolls, None, stated=stated)))
    assert found.code == "loss-exceeds-water"
    assert found.values["loss"] == stated
    assert found.values["most"] == pytest.approx(WATER, abs=2e-4)
    assert f"{100 * stated:.1f} %" in words(found)  # what was read
    assert f"{100 * WATER:.1f} %" in words(found)  # what is allowed


def test_all_water_may_go(rolls: ResolvedFormula) -> None:
    most = refused(lambda: sold(rolls, loss_of(rolls, None, stated=1.0))).values["most"]
    assert isinstance(most, float)
    found = sold(rolls, loss_of(rolls, None, stated=most - 1e-9))
    assert found.product.nutrients.water == pytest.approx(0.0, abs=1e-8)


def test_bread_gains_no_weight(rolls: ResolvedFormula) -> None:
    found = refused(lambda: sold(rolls, loss_of(rolls, None, stated=-0.1)))
    assert (found.code, found.values["loss"]) == ("loss-below-zero", -0.1)


@pytest.mark.parametrize("piece", [0.0, -0.05])
def test_a_baked_piece_weighs_something(rolls: ResolvedFormula, piece: float) -> None:
    found = refused(lambda: loss_of(rolls, None, piece=piece))
    assert (found.code, found.values["baked"]) == ("baked-weighs-nothing", piece)
    assert "more than" in words(found)
    assert "100 g" in remedy(found)  # what one weighed before
    assert "100.0 %" not in words(found)


def test_a_baked_piece_weighs_no_more_than_what_went_in(rolls: ResolvedFormula) -> None:
    found = refused(lambda: loss_of(rolls, None, piece=0.120))
    assert found.code == "baked-heavier-than-raw"
    assert "120 g" in words(found)
    assert "100 g" in words(found)


def test_a_piece_that_lost_nothing_may_be(rolls: ResolvedFormula) -> None:
    found = loss_of(rolls, None, piece=raw(rolls) / 4)
    assert found.best == pytest.approx(0.0, abs=1e-12)
    assert found.best >= 0.0
    assert sold(rolls, found).product.mass == pytest.approx(0.400)


def test_a_baked_piece_keeps_what_is_not_water(rolls: ResolvedFormula) -> None:
    """Half a piece put on the scale: told in grams, as it was asked."""
    found = refused(lambda: sold(rolls, loss_of(rolls, None, piece=0.045)))
    assert found.code == "baked-lighter-than-dry"
    assert found.values["baked"] == pytest.approx(0.045)
    assert found.values["least"] == pytest.approx(0.100 * (1 - WATER), abs=1e-4)
    assert "45 g" in words(found)
    assert "100 g" in words(found)


# --- what is kept ---------------------------------------------------------------------------------

KEPT = ("fat", "saturates", "protein", "carbohydrate", "sugars", "fibre", "sodium", "ash")


@given(st.floats(0.0, 0.2), st.floats(0.0, 0.1), st.floats(0.0, 0.1))
def test_lighter_and_heavier_enclose_the_product(
    rolls: ResolvedFormula, low: float, more: float, most: float
) -> None:
    found = sold(rolls, Loss(low, low + more, low + more + most, "model"))
    lighter, product, heavier = found.lighter, found.product, found.heavier
    assert lighter.mass <= product.mass <= heavier.mass
    for loss, one in ((low, heavier), (low + more, product), (low + more + most, lighter)):
        assert one.mass == pytest.approx((1.0 - loss) * raw(rolls))
        for part in KEPT:  # only water leaves: the rest is in all three
            assert amount(one.nutrients, part, one.mass) == pytest.approx(
                amount(product.nutrients, part, product.mass), abs=1e-12
            )
        water = amount(one.nutrients, "water", one.mass)
        assert water + loss * raw(rolls) == pytest.approx(WATER * raw(rolls), abs=2e-4)
    assert lighter.nutrients.water <= product.nutrients.water <= heavier.nutrients.water


def amount(nutrients: Nutrients, part: str, mass: float) -> float:
    return float(getattr(nutrients, part)) * mass


@given(st.floats(0.0, 0.3))
def test_a_piece_holds_its_weight_s_share_of_a_hundred_grams(
    rolls: ResolvedFormula, loss: float
) -> None:
    found = sold(rolls, loss_of(rolls, None, stated=loss))
    assert found.piece * found.pieces == pytest.approx(found.product.mass)
    hundred = eu_label(found.product.nutrients)
    each = eu_label(found.product.nutrients, found.piece)
    for of_hundred, of_piece in zip(hundred, each, strict=True):
        assert of_hundred.value is not None
        assert of_piece.value == pytest.approx(of_hundred.value * found.piece / 0.1)


@given(st.floats(0.0, 0.3), st.floats(0.0, 0.15))
def test_the_oven_takes_no_energy_out_of_the_bread(
    rolls: ResolvedFormula, loss: float, more: float
) -> None:
    one, other = (sold(rolls, loss_of(rolls, None, stated=x)) for x in (loss, loss + more))
    for energy in (energy_eu, kilocalorie_energy_eu):
        assert energy(other.product.nutrients) * other.piece == pytest.approx(
            energy(one.product.nutrients) * one.piece
        )


@pytest.mark.parametrize("pieces", [1, 8, 60])
def test_the_number_of_pieces_changes_none_of_them(solve: Solve, pieces: int) -> None:
    formula = solve(ROLLS, Wish(pieces=pieces))
    found = sold(formula, loss_of(formula, None, stated=0.12))
    assert (found.pieces, found.piece) == (pieces, pytest.approx(0.088))
    assert found.product.mass == pytest.approx(0.088 * pieces)


def test_glaze_and_filling_are_sold_with_the_dough(
    pockets: tuple[ResolvedFormula, BakeHere],
) -> None:
    formula, _ = pockets
    found: SoldProduct = sold(formula, loss_of(formula, None, stated=0.0))
    assert found.piece == pytest.approx(0.105 + 0.040 + 0.004)


# --- what the name promises -----------------------------------------------------------------------


def named(
    solve: Solve, title: str, lines: str, own: str = "", also: tuple[str, ...] = ()
) -> Mapping[str, float]:
    made = f"preparations: {{dough: {{kind: dough, ingredients: {{flour: 500 g, {lines}}}}}}}"
    text = f"doughwright: formula/1\nname: {title}\nplace: LV\n{made}\n"
    return named_in_title(solve(text + (f"ingredients: {{{own}}}\n" if own else "")), also)


def test_the_pockets_promise_leek_and_curd(pockets: tuple[ResolvedFormula, BakeHere]) -> None:
    # 8 fillings of 40 g: 5 parts of leek and 4 of ricotta, which goes by the name of curd, in 9.1
    found = named_in_title(pockets[0], ())
    assert found == {
        "leek": pytest.approx(8 * 0.040 * 5 / 9.1),
        "ricotta": pytest.approx(8 * 0.040 * 4 / 9.1),
    }


@pytest.mark.parametrize("written", ["curd", "Curd", "curd (drained)", "farm curd", "curd cheese"])
@pytest.mark.parametrize("like", ["ricotta", "quark", "cottage cheese", "curd", ""])
def test_the_baker_s_word_for_an_ingredient_counts(solve: Solve, written: str, like: str) -> None:
    plain = written.removesuffix(" (drained)")
    own = f"{plain}: {{{f'like: {like}, ' if like else ''}water: 72 %}}"
    found = named(solve, "Leek and curd pockets", f"{written}: 90 g", own)
    assert list(found.values()) == [pytest.approx(0.090)]


@pytest.mark.parametrize("line", ["quark", "ricotta", "cottage cheese", "Ricotta cheese"])
def test_what_is_sold_as_curd_is_curd_where_nothing_else_is(solve: Solve, line: str) -> None:
    assert list(named(solve, "Curd buns", f"{line}: 90 g").values()) == [pytest.approx(0.090)]
    both = named(solve, "Curd buns", f"{line}: 90 g, curd: 40 g")
    assert both == {"curd": pytest.approx(0.040)}


def test_cheese_that_nobody_calls_curd_is_not_meant(solve: Solve) -> None:
    assert named(solve, "Curd buns", "hard cheese: 90 g, feta: 20 g") == {}


@pytest.mark.parametrize(
    ("title", "lines", "promised"),
    [
        ("Butter rolls", "unsalted butter: 50 g", {"unsalted butter"}),
        ("Butter rolls", "Butter: 50 g", {"unsalted butter"}),
        ("Potato rolls", "boiled potato: 150 g", {"boiled potato"}),
        ("Potato rolls", "potato (boiled): 150 g", {"boiled potato"}),
        ("Potatoes and dill", "boiled potato: 90 g, dill: 5 g", {"boiled potato", "dill"}),
        ("Oat and honey rolls", "rolled oats: 50 g, honey: 35 g", {"rolled oats", "honey"}),
        ("Honey-milk bread", "honey: 20 g, milk: 100 g, egg: 50 g", {"honey", "whole milk"}),
        ("CRÈME FRAÎCHE BREAD", "creme fraiche: 80 g", {"creme fraiche"}),
        ("Peanut butter buns", "peanut butter: 90 g, butter: 40 g", {"peanut butter"}),
        ("Butter buns", "peanut butter: 9 g, butter: 40 g", {"peanut butter", "unsalted butter"}),
        ("Cream cheese buns", "cream cheese: 90 g, cheddar: 9 g, cream: 9 g", {"cream cheese"}),
        ("Coconut milk buns", "coconut milk: 90 g, milk: 40 g", set()),  # no drink is special
        ("Cheese buns", "mozzarella: 90 g, hard cheese: 10 g", {"mozzarella", "hard cheese"}),
        ("Nut bread", "walnuts: 50 g, raisins: 50 g", {"walnuts"}),
        ("Fruit loaf", "walnuts: 50 g, raisins: 50 g", {"raisins"}),
        ("White bread", "water: 300 g, salt: 10 g, egg: 50 g", set()),
        ("Salt and flour", "salt: 10 g, egg: 50 g", set()),
        ("Eggplant bread", "egg: 50 g", set()),
        ("Other bread of my own", "cocoa: 10 g, ham: 40 g", set()),
    ],
)
def test_the_name_promises_what_it_names(
    solve: Solve, title: str, lines: str, promised: set[str]
) -> None:
    assert named(solve, title, lines).keys() == promised


def test_what_is_like_a_named_ingredient_is_one(solve: Solve) -> None:
    own = "Olga’s best: {like: walnuts}"
    assert named(solve, "Walnut bread", "Olga’s best: 60 g", own) == {
        "olga’s best": pytest.approx(0.060)
    }


def test_the_baker_s_own_words_may_be_asked_for(solve: Solve) -> None:
    lines = "milk powder (whole): 30 g"  # the table's plain milk powder is the skimmed one
    found = named(solve, "Bread", lines, also=("milk powder",))
    assert found == {"whole milk powder": pytest.approx(0.030)}


def test_all_of_a_named_ingredient_counts_wherever_it_goes_in(solve: Solve) -> None:
    formula = solve("""
    doughwright: formula/1
    name: Egg buns
    yield: {pieces: 10, piece: 60 g, spare: 0 %}
    preparations:
      dough:
        kind: dough
        ingredients: {strong white flour: 100 %, egg: 40 %, egg (second): 10 %}
      wash: {kind: glaze, each: 5 g, ingredients: {eggs: 1 part}}
    """)
    assert named_in_title(formula, ()) == {"egg": pytest.approx(0.6 * 50 / 150 + 0.050)}


def test_only_what_is_baked_counts(solve: Solve) -> None:
    spared = solve("""
    doughwright: formula/1
    name: Butter buns
    yield: {pieces: 10, piece: 60 g, spare: 10 %}
    preparations:
      dough: {kind: dough, ingredients: {strong white flour: 100 %, water: 50 %, butter: 50 %}}
    """)
    assert named_in_title(spared, ()) == {"unsalted butter": pytest.approx(0.6 / 4)}


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("curd", {"ricotta"}),
        ("Curds", {"ricotta"}),
        ("ricotta", {"ricotta"}),
        ("butter", {"unsalted butter"}),
        ("Butter, unsalted", {"unsalted butter"}),
        ("whole milk", {"whole milk"}),
        ("milk", {"whole milk"}),
        ("flour", {"strong white flour"}),
        ("cheese", {"ricotta"}),
    ],
)
def test_a_quantity_is_asked_for_by_any_word(
    pockets: tuple[ResolvedFormula, BakeHere], asked: str, found: set[str]
) -> None:
    assert named_in_title(pockets[0], (asked,)).keys() == {"leek", "ricotta"} | found


def test_a_word_that_is_a_name_is_not_taken_for_the_end_of_another(solve: Solve) -> None:
    lines = "milk: 90 g, skimmed milk: 40 g, coconut milk: 30 g"
    assert named(solve, "Bread", lines, also=("milk",)).keys() == {"whole milk"}
    lines = "skimmed milk: 40 g, coconut milk: 30 g"
    both = named(solve, "Bread", lines, also=("milk",))
    assert both.keys() == {"skimmed milk", "coconut milk"}


def test_what_the_formula_does_not_use_has_no_quantity(
    pockets: tuple[ResolvedFormula, BakeHere],
) -> None:
    with pytest.raises(DocumentError) as caught:
        named_in_title(pockets[0], ("honey", "leek", "ricota", ""))
    found = caught.value.problems
    assert [(p.code, p.values["name"]) for p in found] == [
        ("not-in-formula", "honey"),
        ("not-in-formula", "ricota"),
        ("not-in-formula", ""),
    ]
    assert "ricotta" in hint(found[1])

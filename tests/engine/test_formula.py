"""The algebra: graphs of preparations in percent and weight, solved or refused.

Masses in kg. Flour, water and salt here are made up so that sums can be done in the head.
"""

from dataclasses import replace
from typing import Any

import pytest

from doughwright.engine.formula import (
    PERCENT_SLACK,
    Batch,
    Line,
    Preparation,
    SolvedFormula,
    Use,
    final_dough,
    solved,
    working_order,
)
from doughwright.engine.ingredients import ingredient_table
from doughwright.engine.ranges import corners
from doughwright.errors import ImpossibleInput, Notice

TABLE = ingredient_table()
KILO = Batch(flour=1.0)


def line(name: str, amount: float, *, percent: bool = False, **more: Any) -> Line:
    known = {"flour": "strong white flour", "rye": "medium rye flour"}.get(name, name)
    fixed, ratio = (0.0, amount) if percent else (amount, 0.0)
    return Line(name, TABLE[known], fixed, ratio, **more)


def weighed(
    name: str, kind: str = "dough", uses: tuple[Use, ...] = (), **lines: float
) -> Preparation:
    return Preparation(name, kind, tuple(line(n, m) for n, m in lines.items()), uses)


def percent(
    name: str, kind: str = "dough", uses: tuple[Use, ...] = (), **lines: float
) -> Preparation:
    made = tuple(line(n, r / 100, percent=True) for n, r in lines.items())
    return Preparation(name, kind, made, uses)


def problem(*preparations: Preparation, batch: Batch = KILO) -> Notice:
    with pytest.raises(ImpossibleInput) as caught:
        solved(preparations, batch)
    (found,) = caught.value.problems
    return found


def masses(formula: SolvedFormula, name: str) -> dict[str, float]:
    p = formula.named(name)
    return {ln.name: m for ln, m in zip(p.preparation.lines, p.masses, strict=True)} | dict(p.taken)


# --- the scale ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("batch", "flour"),
    [
        (Batch(flour=2.0), 2.0),
        (Batch(dough=1.7), 1.0),
        (Batch(pieces=17, piece=0.1), 1.0),
        (Batch(pieces=17, piece=0.1, spare=0.15), 1 / 0.85),
        (Batch(pieces=17, piece=0.1, dough=3.4), 2.0),  # dough is the stronger word
    ],
)
def test_percentages_take_their_scale_from_the_batch(batch: Batch, flour: float) -> None:
    found = solved([percent("dough", flour=100, water=68, salt=2)], batch)
    assert found.total_flour == pytest.approx(flour)
    assert masses(found, "dough") == pytest.approx(
        {"flour": flour, "water": 0.68 * flour, "salt": 0.02 * flour}
    )


def test_flour_in_weight_gives_the_scale_to_the_percentages() -> None:
    dough = Preparation("dough", "dough", (line("flour", 0.6), line("water", 0.7, percent=True)))
    assert masses(solved([dough], Batch()), "dough") == pytest.approx({"flour": 0.6, "water": 0.42})


def test_flour_partly_in_weight_partly_in_percent() -> None:
    # 0.4 kg are what 80 % leave: 2 kg in all
    lines = (line("flour", 0.8, percent=True), line("rye", 0.4), line("water", 0.6, percent=True))
    found = solved([Preparation("dough", "dough", lines)], Batch())
    assert found.total_flour == pytest.approx(2.0)
    assert masses(found, "dough") == pytest.approx({"flour": 1.6, "rye": 0.4, "water": 1.2})


def test_weights_among_percentages_come_off_the_wanted_dough() -> None:
    # 20 pieces of 70 g: 1.4 kg, of which 0.12 are egg: the rest is 160 % of 0.8 kg
    lines = (line("flour", 1.0, percent=True), line("water", 0.6, percent=True), line("egg", 0.12))
    found = solved([Preparation("dough", "dough", lines)], Batch(pieces=20, piece=0.07))
    assert found.total_flour == pytest.approx(0.8)
    assert found.dough == pytest.approx(1.4)


def test_the_spread_of_a_range_does_not_move_its_middle() -> None:
    wet = replace(line("water", 0.65, percent=True), spread=(60 / 65, 70 / 65))
    dough = Preparation("dough", "dough", (line("flour", 1.0, percent=True), wet))
    assert solved([dough], KILO).dough == pytest.approx(1.65)
    ends = [solved(corner, KILO).dough for corner in corners([dough])]
    assert ends == pytest.approx([1.60, 1.70])


def test_corners_are_every_combination_of_ends() -> None:
    lines = tuple(replace(line("flour", m), spread=(0.9, 1.1)) for m in (1.0, 2.0, 4.0))
    found = [
        tuple(round(ln.fixed, 3) for ln in p[0].lines)
        for p in corners([Preparation("dough", "dough", lines)])
    ]
    assert len(set(found)) == 8
    assert {one for one, _, _ in found} == {0.9, 1.1}
    (plain,) = corners([weighed("dough", flour=1.0)])
    assert plain == (weighed("dough", flour=1.0),)


# --- graphs of preparations -----------------------------------------------------------------------


def test_a_preferment_is_part_of_the_whole() -> None:
    found = solved(
        [
            percent("poolish", "preferment", flour=30, water=30),
            percent("dough", uses=(Use("poolish"),), flour=70, water=38, salt=2),
        ],
        KILO,
    )
    assert masses(found, "dough") == pytest.approx(
        {"flour": 0.7, "water": 0.38, "salt": 0.02, "poolish": 0.6}
    )
    assert found.dough == pytest.approx(1.70)
    assert [p.used for p in found.preparations] == [1.0, 1.0]


@pytest.mark.parametrize("use", [Use("poolish", share=0.8), Use("poolish", mass=0.48)])
def test_what_is_not_taken_is_not_in_the_whole(use: Use) -> None:
    # 0.6 kg made, 0.48 taken: 0.24 of flour and water each, on 0.76 more flour
    found = solved(
        [
            weighed("poolish", "preferment", flour=0.3, water=0.3),
            weighed("dough", uses=(use,), flour=0.76, water=0.4),
        ],
        Batch(),
    )
    assert found.total_flour == pytest.approx(1.0)
    assert found.named("poolish").used == pytest.approx(0.8)
    assert found.named("poolish").mass == pytest.approx(0.6)
    assert found.dough == pytest.approx(0.48 + 0.76 + 0.4)


def test_percentages_are_of_the_flour_that_is_used() -> None:
    # a poolish of 40 % flour, half of it taken, and 80 % more
    found = solved(
        [
            percent("poolish", "preferment", flour=40, water=40),
            percent("dough", uses=(Use("poolish", share=0.5),), flour=80, water=40),
        ],
        KILO,
    )
    assert found.total_flour == pytest.approx(1.0)
    assert found.named("poolish").mass == pytest.approx(0.8)
    assert masses(found, "dough")["poolish"] == pytest.approx(0.4)


def test_a_chain_of_three() -> None:
    found = solved(
        [
            weighed("second dough", uses=(Use("first dough"),), flour=0.055, egg=0.025),
            weighed("first dough", "preferment", (Use("leaven", share=0.5),), flour=0.2, water=0.1),
            weighed("leaven", "preferment", flour=0.1, water=0.05),
        ],
        Batch(),
    )
    assert [p.name for p in found.preparations] == ["leaven", "first dough", "second dough"]
    assert found.total_flour == pytest.approx(0.055 + 0.2 + 0.05)
    assert found.named("leaven").used == pytest.approx(0.5)
    assert found.dough == pytest.approx(0.08 + 0.3 + 0.075)


def test_one_preparation_into_two() -> None:
    # of 2 kg poolish 0.5 kg go into the old dough and 1.5 kg into the new one, all by weight
    for uses in (
        (Use("poolish", 0.25), Use("poolish", 0.75)),
        (Use("poolish", mass=0.5), Use("poolish", mass=1.5)),
    ):
        found = solved(
            [
                weighed("poolish", "preferment", flour=1.0, water=1.0),
                weighed("old dough", "preferment", (uses[0],), flour=0.5),
                weighed("dough", uses=(uses[1], Use("old dough")), flour=1.0),
            ],
            Batch(),
        )
        assert found.total_flour == pytest.approx(2.5)
        assert found.named("poolish").used == pytest.approx(1.0)
        assert found.dough == pytest.approx(3.5)


def test_nearly_all_of_a_large_preferment_by_weight() -> None:
    # nine tenths of the dough is the first dough, 10 g of it stay in the bowl
    found = solved(
        [
            weighed("first dough", "preferment", flour=0.9, water=0.6),
            weighed("dough", uses=(Use("first dough", mass=1.49),), flour=0.1, water=0.05),
        ],
        Batch(),
    )
    assert found.dough == pytest.approx(1.64)
    assert found.named("first dough").used == pytest.approx(1.49 / 1.5)


def test_percentages_and_a_preferment_taken_by_weight() -> None:
    found = solved(
        [
            percent("biga", "preferment", flour=90, water=50),
            percent("dough", uses=(Use("biga", mass=1.4),), flour=10, water=10),
        ],
        Batch(dough=1.6),
    )
    assert found.total_flour == pytest.approx(1.0)
    assert found.named("biga").used == pytest.approx(1.0)


@pytest.mark.parametrize(("flour", "taken"), [(80, 0.125), (50, 0.150), (50, 0.05)])
def test_flour_in_weight_and_a_poolish_in_percent_taken_by_weight(flour: int, taken: float) -> None:
    # the poolish is part flour, part water; what is taken of it decides what 100 % is
    found = solved(
        [
            percent("poolish", "preferment", flour=flour, water=100 - flour),
            weighed("dough", uses=(Use("poolish", mass=taken),), flour=0.1, water=0.06),
        ],
        Batch(),
    )
    total = 0.1 + taken * flour / 100
    assert found.total_flour == pytest.approx(total)
    assert found.named("poolish").mass == pytest.approx(total)
    assert found.named("poolish").used == pytest.approx(taken / total)


def test_nearly_all_flour_in_a_preferment_in_percent_taken_by_weight() -> None:
    found = solved(
        [
            percent("poolish", "preferment", flour=90, water=10),
            weighed("dough", uses=(Use("poolish", mass=0.5),), flour=0.06, water=0.06),
        ],
        Batch(),
    )
    assert found.total_flour == pytest.approx(0.06 + 0.45)


LEVAIN = percent("levain", "preferment", flour=20, water=20)


@pytest.mark.parametrize("batch", [Batch(flour=1.0), Batch(dough=1.6), Batch()])
def test_three_quarters_of_a_levain_in_percent_by_its_weight(batch: Batch) -> None:
    # 300 g of 400 g: 15 % of the flour, and 85 % more; 300 g alone say what 100 % is
    dough = percent("dough", uses=(Use("levain", mass=0.3),), flour=85, water=45)
    found = solved([LEVAIN, dough], batch)
    assert found.total_flour == pytest.approx(1.0)
    assert found.named("levain").used == pytest.approx(0.75)
    assert found.dough == pytest.approx(1.6)
    assert found.notices == ()


def test_a_levain_of_percent_and_weight_taken_by_weight() -> None:
    # 200 g and 20 % of 1 kg flour, 0.2 kg water: 0.3 kg of it hold 0.2 kg of flour
    lines = (line("rye", 0.2), line("flour", 0.2, percent=True), line("water", 0.2))
    levain = Preparation("levain", "preferment", lines)
    found = solved([levain, percent("dough", uses=(Use("levain", mass=0.3),), flour=80)], Batch())
    assert found.total_flour == pytest.approx(1.0)
    assert found.named("levain").used == pytest.approx(0.5)


def test_another_weight_of_levain_than_the_percentages_leave_room_for() -> None:
    # 300 g of the 800 g of a 2 kg batch are 7.5 %, with 85 % more
    dough = percent("dough", uses=(Use("levain", mass=0.3),), flour=85)
    found = problem(LEVAIN, dough, batch=Batch(flour=2.0))
    assert (found.code, found.values["sum"]) == ("flour-percent-sum", pytest.approx(0.925))
    whole = percent("dough", uses=(Use("levain", mass=0.3),), flour=100)
    full = problem(LEVAIN, whole, batch=Batch())
    assert (full.code, full.values["weight"]) == (
        "flour-percent-and-weight",
        pytest.approx(0.15),
    )


def test_a_soaker_without_flour_adds_water_only() -> None:
    found = solved(
        [
            weighed("soaker", "soaker", water=0.3),
            weighed("dough", uses=(Use("soaker"),), flour=1.0, water=0.4),
        ],
        Batch(),
    )
    assert found.total_flour == pytest.approx(1.0)
    assert found.dough == pytest.approx(1.7)


def test_what_goes_beside_is_no_part_of_the_dough() -> None:
    found = solved([weighed("dough", flour=1.0), weighed("filling", "filling", flour=5.0)], Batch())
    assert found.total_flour == pytest.approx(1.0)
    assert found.named("filling").used == 0.0


def test_order_of_writing_is_kept_where_it_can_be() -> None:
    order = working_order(
        [percent("c", uses=(Use("a"),)), percent("b"), percent("a"), percent("d", uses=(Use("b"),))]
    )
    assert [p.name for p in order] == ["b", "a", "c", "d"]


# --- refusals -------------------------------------------------------------------------------------


def test_a_preparation_that_is_not_there() -> None:
    found = problem(weighed("dough", uses=(Use("spong"),), flour=1.0))
    assert (found.code, found.where) == ("unknown-preparation", ("preparations", "dough", "from"))
    assert found.values["read"] == "spong"


@pytest.mark.parametrize("size", [1, 2, 3])
def test_circles(size: int) -> None:
    names = "abc"[:size]
    ring = [
        weighed(name, uses=(Use(names[(i + 1) % size]),), flour=1.0) for i, name in enumerate(names)
    ]
    found = problem(*ring, weighed("dough", flour=1.0))
    assert (found.code, found.values["names"]) == ("goes-in-circles", ", ".join(names))


def test_two_doughs_that_do_not_meet() -> None:
    found = problem(weighed("sponge", "preferment", flour=1.0), weighed("dough", flour=1.0))
    assert (found.code, found.values["names"]) == ("several-final-doughs", "sponge, dough")
    assert (found.where, found.values["left"]) == (("preparations", "dough"), ["sponge"])


@pytest.mark.parametrize(
    ("kind", "names"), [("preferment", "end"), ("soaker", "end"), ("filling", "none")]
)
def test_no_dough_at_the_end(kind: str, names: str) -> None:
    found = problem(weighed("end", kind, flour=1.0))
    assert (found.code, found.values["names"]) == ("no-dough", names)
    with pytest.raises(ImpossibleInput):
        final_dough([])


def test_more_taken_than_made_in_shares() -> None:
    found = problem(
        weighed("poolish", "preferment", flour=1.0),
        weighed("old dough", "preferment", (Use("poolish", share=0.7),), flour=1.0),
        weighed("dough", uses=(Use("poolish", share=0.5), Use("old dough")), flour=1.0),
    )
    assert (found.code, found.where) == ("takes-more-than-made", ("preparations", "poolish"))
    assert found.values["share"] == pytest.approx(1.2)


def test_more_taken_than_made_in_weight() -> None:
    found = problem(
        weighed("poolish", "preferment", flour=0.2, water=0.2),
        weighed("dough", uses=(Use("poolish", mass=0.5),), flour=1.0),
    )
    assert found.code == "takes-more-weight-than-made"
    assert found.where == ("preparations", "dough", "from", "poolish")
    assert (found.values["wanted"], found.values["made"]) == pytest.approx((0.5, 0.4))


def test_two_that_take_more_weight_than_made_between_them() -> None:
    found = problem(
        weighed("poolish", "preferment", flour=0.5, water=0.5),
        weighed("old dough", "preferment", (Use("poolish", mass=0.6),), flour=1.0),
        weighed("dough", uses=(Use("poolish", mass=0.6), Use("old dough")), flour=1.0),
    )
    assert found.code == "takes-more-than-made"
    assert found.values["share"] == pytest.approx(1.2)


def test_weight_taken_of_nothing() -> None:
    found = problem(
        Preparation("poolish", "preferment", ()),
        weighed("dough", uses=(Use("poolish", mass=0.1),), flour=1.0),
    )
    assert (found.code, found.values["made"]) == ("takes-more-weight-than-made", 0.0)


def test_nothing_that_counts_as_flour() -> None:
    assert problem(weighed("dough", water=1.0)).code == "no-flour"
    assert problem(percent("dough", water=100)).code == "no-flour"
    assert problem(percent("dough", flour=0, water=100)).code == "no-flour"


@pytest.mark.parametrize("sums", [95.0, 99.4, 100.6, 105.0])
def test_percentages_of_flour_that_do_not_add(sums: float) -> None:
    found = problem(
        percent("sponge", "preferment", rye=20),
        percent("dough", uses=(Use("sponge"),), flour=sums - 20, water=70),
    )
    assert found.code == "flour-percent-sum"
    assert found.values["sum"] == pytest.approx(sums / 100)


def test_one_dough_of_more_flour_than_the_whole() -> None:
    found = problem(percent("dough", flour=60, rye=45, water=70))
    assert found.code == "more-flour-than-whole"
    assert found.values["share"] == pytest.approx(1.05)


@pytest.mark.parametrize("sums", [99.6, 99.9, 100.4])
def test_percentages_rounded_in_print_are_taken_as_the_whole(sums: float) -> None:
    found = solved([percent("dough", flour=60, rye=sums - 60, water=70)], KILO)
    (notice,) = found.notices
    assert (notice.code, notice.weight) == ("flour-percent-rounded", "note")
    assert notice.values["sum"] == pytest.approx(sums / 100)
    assert found.total_flour == pytest.approx(1.0)


def test_a_third_and_two_thirds_need_no_notice() -> None:
    found = solved([percent("dough", flour=100 / 3, rye=200 / 3, water=70)], KILO)
    assert found.notices == ()


def test_flour_in_percent_and_weight_that_leaves_no_room() -> None:
    lines = (line("flour", 1.0, percent=True), line("rye", 0.2))
    found = problem(Preparation("dough", "dough", lines))
    assert found.code == "flour-percent-and-weight"
    assert (found.values["sum"], found.values["weight"]) == pytest.approx((1.0, 0.2))


def test_a_preferment_with_more_flour_than_the_whole() -> None:
    # the slip of writing a preferment in its own percentages
    found = problem(
        percent("poolish", "preferment", flour=110, water=110),
        percent("dough", uses=(Use("poolish"),), flour=70, water=38),
    )
    assert (found.code, found.where) == ("more-flour-than-whole", ("preparations", "poolish"))
    assert found.values["share"] == pytest.approx(1.10)


def test_a_preferment_in_its_own_percentages_shows_in_the_sum() -> None:
    found = problem(
        percent("poolish", "preferment", flour=100, water=100),
        percent("dough", uses=(Use("poolish"),), flour=70, water=38),
    )
    assert (found.code, found.values["sum"]) == ("flour-percent-sum", pytest.approx(1.70))


@pytest.mark.parametrize("batch", [Batch(), Batch(pieces=8), Batch(piece=0.1)])
def test_percentages_without_a_size(batch: Batch) -> None:
    found = problem(percent("dough", flour=100, water=70), batch=batch)
    assert (found.code, found.where) == ("scale-open", ("yield",))


def test_a_yield_smaller_than_what_is_weighed() -> None:
    lines = (line("flour", 1.0, percent=True), line("egg", 0.2))
    found = problem(Preparation("dough", "dough", lines), batch=Batch(dough=0.15))
    assert (found.code, found.where) == ("yield-too-small", ("yield",))
    assert (found.values["wanted"], found.values["fixed"]) == pytest.approx((0.15, 0.2))


def test_the_slack_is_that_of_printed_rounding() -> None:
    # three printed tenths of a percent may each miss by 0.05 points
    assert 0.0015 <= PERCENT_SLACK <= 0.01

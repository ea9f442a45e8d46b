"""The sentences of a bake: what a baker reads before opening the oven."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from doughwright.render.bake_phrases import (
    altitudes_differ,
    basis,
    binding_sentence,
    colour_words,
    criterion_time,
    goal_words,
    heat_words,
    in_order_of_time,
    last_sign,
    loss_band,
    loss_words,
    outcome_sentence,
    oven_words,
    probe_sentence,
    row_name,
    staying_sentence,
    wanted_sentence,
    weight_band,
)
from doughwright.sheets.bake import BakeSheet, WantedWeight
from doughwright.sheets.cells import Cell

Never = Callable[[BakeSheet], BakeSheet]


def test_signs_stand_in_the_order_they_come(bake: BakeSheet, never: Never) -> None:
    said = [(criterion_time(c), goal_words(c)) for c in in_order_of_time(bake.rows[0])]
    assert said == [
        ("18 min", "filling 72 °C"),
        ("20 min", "brown enough"),
        ("22 min", "crumb set (starch)"),
        ("24 min", "core 92 °C"),
    ]
    assert criterion_time(in_order_of_time(never(bake).rows[0])[-1]) == "not reached"


def test_the_last_sign_is_named_and_how_long_before_it_the_others_come(bake: BakeSheet) -> None:
    assert binding_sentence(bake.rows[0]) == (
        "Done when the core is warm enough. The crumb is set 2 min before, "
        "the crust is brown enough 4 min before, the filling is hot 6 min before."
    )
    assert last_sign(bake.rows[0]) == "core"


def test_signs_of_one_moment_are_not_told_apart(bake: BakeSheet) -> None:
    row = bake.rows[0]
    core = row.criteria[1].time.value
    assert core is not None
    together = tuple(
        replace(c, time=replace(c.time, value=core - 20.0)) if not c.binding else c
        for c in row.criteria
    )
    said = binding_sentence(replace(row, criteria=together))
    assert "0 min" not in said
    assert said.count("at about the same time") == 1
    assert said.count(" too") == 2


def test_a_bake_that_goes_on_after_its_last_sign_says_so(bake: BakeSheet) -> None:
    row = bake.rows[0]
    assert staying_sentence(row) == ""
    longer = replace(row, lasts=replace(row.lasts, value=2100.0, low=1980.0, high=2220.0))
    assert binding_sentence(longer).endswith("It stays in longer, as the one noted did.")


def test_what_is_never_reached_is_named(bake: BakeSheet, never: Never) -> None:
    row = never(bake).rows[0]
    assert binding_sentence(row) == "By the model the crust never gets brown enough."
    assert last_sign(row) == "not done"
    assert (loss_band(row.loss), weight_band(row.baked)) == ("not known", "not known")
    assert (outcome_sentence(row), heat_words(row), staying_sentence(row)) == ("", "", "")


@pytest.mark.parametrize(
    ("heating", "said"),
    [
        (0.92, "; by it the oven it was tested in heats about 8 % slower than usual."),
        (1.15, "; by it the oven it was tested in heats about 15 % faster than usual."),
        (1.01, "noted in."),
        (None, "noted in."),
    ],
)
def test_whose_time_it_is(bake: BakeSheet, heating: float | None, said: str) -> None:
    text = basis(replace(bake, heating=Cell(heating, "1", "model")))
    assert text.startswith(
        "The time is the one noted, moved to an oven like the one it was noted in"
    )
    assert text.endswith(said)


def test_a_time_of_the_model_alone_says_how_to_better_it(bake: BakeSheet) -> None:
    said = basis(replace(bake, noted=None, heating=None))
    # the sheet's band is the middle four fifths of many ovens (engine.doneness)
    assert "one oven in five falls outside" in said
    assert "`took:`" in said


def test_bands_are_rounded_and_name_their_unit_once(bake: BakeSheet) -> None:
    row = bake.rows[0]
    assert loss_band(row.loss) == "6–10 %"
    assert weight_band(row.baked) == "126–132 g"
    assert weight_band(replace(row.baked, low=0.1287, high=0.1291)) == "129 g"


def test_a_filled_piece_says_what_its_dough_loses(bake: BakeSheet) -> None:
    row = bake.rows[0]
    assert "9–13 % of its dough" in loss_words(row)
    assert "dough" not in loss_words(replace(row, filling=None))


@pytest.mark.parametrize(
    ("share", "said"),
    [
        (1.0, "as brown as yours"),
        (1.04, "as brown as yours"),
        (0.78, "about 22 % paler than yours"),
        (1.3, "about 30 % browner than yours"),
    ],
)
def test_colour_is_told_against_the_bakers_own(share: float, said: str) -> None:
    assert colour_words(Cell(share, "1", "model")) == said


def test_crust_and_colour_are_one_sentence(bake: BakeSheet) -> None:
    row = bake.rows[0]
    assert outcome_sentence(row) == "Crust about 1 mm, about 20 % paler than yours."
    assert outcome_sentence(replace(row, colour=None)) == "Crust about 1 mm."


def test_the_probe_goes_into_dough_and_the_filling_is_told_apart(bake: BakeSheet) -> None:
    assert bake.probe is not None
    assert probe_sentence(bake.probe) == (
        "Put the probe under the filling, about 15 mm above the base: it reads 92 °C when done. "
        "In the middle of the piece it would read 85 °C: that is filling, not dough."
    )


def test_of_a_plain_piece_the_middle_is_enough(bake: BakeSheet) -> None:
    assert bake.probe is not None
    plain = replace(bake.probe, place="in the middle", up=Cell(0.035, "m", "model"))
    said = "Put the probe in the middle, about 3.5 cm above the base: it reads 92 °C when done."
    assert probe_sentence(plain) == said


def test_beside_a_filling_both_distances_are_told(bake: BakeSheet) -> None:
    assert bake.probe is not None
    far = replace(bake.probe, place="beside the filling", across=Cell(0.021, "m", "model"))
    said = probe_sentence(far)
    assert "beside the filling, about 2.1 cm from the middle and 15 mm above the base" in said


def test_heat_is_told_for_a_piece_and_for_a_kilogram(bake: BakeSheet) -> None:
    # 63 kJ into 140 g: 63 / 0.14 = 450
    assert heat_words(bake.rows[0]) == "about 63 kJ a piece, 450 kJ for each kg"


def test_a_bake_is_named_by_what_may_differ(bake: BakeSheet) -> None:
    row = bake.rows[0]
    assert oven_words(row) == "160 °C fan, then 140 °C fan"
    assert oven_words(replace(row, then=None)) == "160 °C fan"
    assert row_name(row) == "8 × 100 g, 160 °C fan, then 140 °C fan"
    high = replace(row, then=None, cold_start=True, altitude=Cell(2500.0, "m", "stated"))
    assert row_name(high, altitude=True) == "8 × 100 g, 160 °C fan, from cold, at 2500 m"
    assert not altitudes_differ(bake)
    assert altitudes_differ(replace(bake, rows=(row, high)))


def test_how_much_dough_a_wanted_weight_takes(bake: BakeSheet, never: Never) -> None:
    scaled = Cell(0.11, "kg", "model", 0.107, 0.113)
    wanted = WantedWeight(Cell(0.1, "kg", "stated"), scaled, bake.rows[0])
    said = "For a piece of 100 g when baked (160 °C fan, then 140 °C fan), scale 107–113 g of dough"
    # a filled piece of 140 g with 100 g of dough: its filling is the rest
    assert wanted_sentence(wanted) == f"{said} and about 40 g of filling."
    plain = replace(wanted, row=replace(bake.rows[0], filling=None))
    assert wanted_sentence(plain) == f"{said}."
    unbaked = replace(wanted, row=never(bake).rows[0])
    assert "never done" in wanted_sentence(unbaked)

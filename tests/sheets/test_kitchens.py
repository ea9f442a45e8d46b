"""Several kitchens side by side, and how they are laid out."""

from collections.abc import Callable
from dataclasses import replace

from doughwright.errors import Notice
from doughwright.render.comparison import column_groups, column_titles, kitchens_text
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from, with_changes
from doughwright.sheets.cells import Cell
from doughwright.sheets.kitchens import Change, SharedNotice, Variant, kitchen_comparison

TWICE_RISEN = """
    yield: {flour: 1 kg}
    preparations:
      dough:
        kind: dough
        aim: 25 °C
        ingredients: {strong white flour: 100 %, water: 65 %, salt: 2 %, instant yeast: 0.7 %}
    process:
      - mix: dough
        by: hand
        for: 8 min
      - ferment: dough
        until: double
      - punch: dough
      - ferment: dough
        until: 1.5x
      - bake: dough
        for: 30 min
"""


def variant(celsius: float) -> Variant:
    room = celsius + 273.15
    kitchen = with_changes(kitchen_from(None), room=room)
    return Variant(kitchen, (Change("room", Cell(room, "K", "stated")),))


def test_rows_follow_the_process_and_steps_alike_are_numbered(
    solve: Callable[..., ResolvedFormula],
) -> None:
    formula = solve(TWICE_RISEN)
    sheet = kitchen_comparison(formula, formula, [variant(18), variant(26)])
    labels = ["ferment dough 1", "ferment dough 2", "bake dough"]
    assert [wait.label for wait in sheet.waits] == labels
    assert all(len(wait.times) == 2 for wait in sheet.waits)
    assert [mixed.preparation for mixed in sheet.mixes] == ["dough"]
    colder, warmer = sheet.mixes[0].mixes
    # water is the lever: a warmer room with warmer flour asks for colder water
    assert colder.levers[0].names == warmer.levers[0].names == ("water",)
    assert (colder.levers[0].temperature.value or 0) > (warmer.levers[0].temperature.value or 0)


def test_a_notice_that_is_the_same_everywhere_is_kept_once(
    solve: Callable[..., ResolvedFormula],
) -> None:
    formula = solve(TWICE_RISEN.replace("salt: 2 %", "salt: 4 %"))
    sheet = kitchen_comparison(formula, formula, [variant(20), variant(24)])
    salty = [shared for shared in sheet.notices if shared.notice.code == "salt-high"]
    assert [shared.kitchens for shared in salty] == [(0, 1)]
    assert kitchens_text(sheet).count("Salt is 4.00 %") == 1


def test_notices_alike_but_for_their_figures_are_said_once(
    solve: Callable[..., ResolvedFormula],
) -> None:
    formula = solve(TWICE_RISEN)
    sheet = kitchen_comparison(formula, formula, [variant(20), variant(24)])
    position = sheet.waits[0].position

    def outside(name: str, value: float) -> Notice:
        ends = {"low": 277.15, "high": 318.15, "limit": 277.15, "unit": "K"}
        values = {"model": "Rise", "input": name, "value": value, **ends}
        return Notice("outside-model-range", ("process", position), values)

    notices = (
        SharedNotice(outside("air temperature", 275.15), (0,)),
        SharedNotice(outside("air temperature", 276.15), (1,)),
        SharedNotice(outside("dough temperature", 276.15), (1,)),
    )
    shown = " ".join(kitchens_text(replace(sheet, notices=notices)).split())
    than = "than the model was checked with"
    assert f"! ferment dough 1: Colder air {than} (2 °C; checked from 4 °C)" in shown
    assert f"Colder air {than} (3 °C" not in shown
    assert f"! room 24 °C: ferment dough 1: A colder dough {than} (3 °C" in shown
    assert shown.count("(The figures are those of the first.)") == 1


def test_two_kitchens_of_one_name_are_told_apart(solve: Callable[..., ResolvedFormula]) -> None:
    formula = solve(TWICE_RISEN)
    same = Variant(kitchen_from(None))
    sheet = kitchen_comparison(formula, formula, [same, same])
    assert column_titles(sheet.kitchens) == ("1.", "2.")


def test_columns_go_on_in_another_table_before_the_line_is_full() -> None:
    rows = [("", ("a" * 18,) * 7)]
    groups = list(column_groups(rows, 80))
    assert [i for first, last in groups for i in range(first, last)] == list(range(7))
    assert all(22 + 20 * (last - first) <= 80 for first, last in groups)

"""The baker's own times moved to another kitchen, and the model's alone, against the trade."""

from pathlib import Path

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import Kitchen, kitchen_from, tested_kitchen, with_changes
from doughwright.resolving.rises import settled
from doughwright.resolving.settling import Rise, Settled

EXAMPLES = Path(__file__).parents[2] / "examples"
ANCHORED = sorted(
    p
    for p in EXAMPLES.glob("*.yaml")
    if "." not in p.stem and "flatbread" not in p.name  # the flatbread has no times
)
POCKETS = (EXAMPLES / "leek-and-curd-pockets.yaml").read_text(encoding="utf-8")


def read(text: str) -> FormulaDocument:
    document = read_document(text).document
    assert isinstance(document, FormulaDocument)
    return document


def kitchen(celsius: float = 22.0) -> Kitchen:
    return with_changes(kitchen_from(None), room=celsius + 273.15)


def planned(formula: ResolvedFormula, place: Kitchen) -> Settled:
    return settled(formula, formula, place)


def of_verb(found: Settled, verb: str, of: str) -> Rise:
    positions = {t.position for t in found.steps if t.step.verb == verb and t.step.of == of}
    return next(rise for rise in found.rises if rise.position in positions)


def unanchored(text: str) -> str:
    """The same formula without its own times and without where it was tested."""
    lines = [x for x in text.splitlines() if "took:" not in x and not x.startswith("tested in")]
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("path", ANCHORED, ids=lambda p: p.stem)
def test_planned_where_it_was_tested_a_bread_takes_what_it_took(path: Path) -> None:
    """The law of anchoring: A to A gives the baker's own times back."""
    formula = resolved_formula(read(path.read_text(encoding="utf-8")))
    found = planned(formula, tested_kitchen(kitchen(), formula.document.tested_in))
    steps = {t.position: t for t in found.steps}
    noted = [r for r in found.rises if r.kind == "anchored"]
    assert noted
    for rise in noted:
        took = steps[rise.position].step.took
        assert took is not None
        assert rise.time is not None
        assert rise.time.best == pytest.approx(took.best, rel=0.01)


def test_the_trade_s_times_lie_in_the_wide_band_of_the_model_alone() -> None:
    """Common practice, no source: sponge 45–60 min, dough ~60 min, pieces ~60 min at 22 °C."""
    formula = resolved_formula(read(unanchored(POCKETS)))
    found = planned(formula, kitchen(22.0))
    assert not found.anchored
    for verb, of, usual in (
        ("ferment", "sponge", 52.5),
        ("ferment", "dough", 60.0),
        ("proof", "dough", 60.0),
    ):
        time = of_verb(found, verb, of).time
        assert time is not None
        assert time.high is not None
        assert time.low / 60 <= usual <= time.high / 60, (verb, of, time)


def test_anchored_on_the_spot_the_bands_are_narrower_than_the_model_s_alone() -> None:
    wide = planned(resolved_formula(read(unanchored(POCKETS))), kitchen(22.0))
    narrow = planned(resolved_formula(read(POCKETS)), kitchen(22.0))
    for verb, of in (("ferment", "sponge"), ("ferment", "dough"), ("proof", "dough")):
        one, other = of_verb(wide, verb, of).time, of_verb(narrow, verb, of).time
        assert one is not None
        assert other is not None
        assert one.high is not None
        assert other.high is not None
        assert (other.high - other.low) / other.best < (one.high - one.low) / one.best


def test_a_warmer_kitchen_is_never_slower_from_17_to_30_degrees() -> None:
    formula = resolved_formula(read(POCKETS))
    proofs = [
        of_verb(planned(formula, kitchen(room)), "proof", "dough").time
        for room in (17.0, 19.5, 22.0, 24.5, 27.0, 30.0)
    ]
    best = [time.best / 60 for time in proofs if time is not None]
    assert len(best) == 6
    assert best == sorted(best, reverse=True)
    # believable: a proof of 55 min at 22 °C neither vanishes nor lasts all day
    assert 30 < best[-1] < best[0] < 100


def test_times_that_cannot_both_be_true_are_reported_at_their_step() -> None:
    twice = POCKETS.replace("took: 55 min", "took: 2 h")
    found = planned(resolved_formula(read(twice)), kitchen(22.0))
    codes = {n.code: n for n in found.notices}
    assert "took-contradicts" in codes
    path, position = codes["took-contradicts"].where
    assert path == "process"
    steps = {t.position: t.step for t in found.steps}
    assert steps[int(position)].verb == "proof"


@pytest.mark.parametrize("room", [12.0, 17.0, 22.0, 28.0, 33.0])
@pytest.mark.parametrize("path", ANCHORED, ids=lambda p: p.stem)
def test_the_first_rise_starts_as_warm_as_the_mix_comes_out(path: Path, room: float) -> None:
    """What the heat balance gives is what the rise begins with, whichever lever was pulled."""
    formula = resolved_formula(read(path.read_text(encoding="utf-8")))
    found = planned(formula, kitchen(room))
    final = formula.solution.final
    first = next(r for r in found.rises if r.position in of_dough(found, final))
    assert first.start == pytest.approx(found.mixed[final].temperature, abs=0.15)


def of_dough(found: Settled, name: str) -> set[int]:
    return {t.position for t in found.steps if t.step.of == name and t.step.verb != "mix"}


MEASURED = POCKETS.replace("from: [sponge]", "from: {sponge: {share: 100 %, at: 20 °C}}")


def test_a_measured_preferment_goes_before_the_model_s() -> None:
    found = planned(resolved_formula(read(MEASURED)), kitchen(22.0))
    bulk = of_verb(found, "ferment", "dough")
    assert bulk.start == pytest.approx(found.mixed["dough"].temperature, abs=0.15)


def test_a_night_in_the_fridge_noted_in_hours_stays_a_night() -> None:
    text = LEVAIN.replace(
        "starter: {amount: 100 g, hydration: 100 %}", "instant yeast: 2 g"
    ).replace(
        "    until: 1.7x\n    took: 5 h\n",
        "    until: 1.5x\n    took: 2 h\n  - retard: dough\n    took: 14 h\n",
    )
    found = planned(resolved_formula(read(text)), kitchen(21.0))
    night = next(t for t in found.steps if t.step.verb == "retard")
    assert night.lasts.best == pytest.approx(14 * 3600)


def test_a_time_noted_as_a_range_is_never_narrowed() -> None:
    wide = POCKETS.replace("took: 60–65 min", "took: 40–120 min")
    formula = resolved_formula(read(wide))
    found = planned(formula, tested_kitchen(kitchen(), formula.document.tested_in))
    time = of_verb(found, "ferment", "dough").time
    assert time is not None
    assert time.high is not None
    assert time.low / 60 <= 40.4
    assert time.high / 60 >= 119.0


def test_without_a_tested_room_a_time_is_kept_and_that_is_said() -> None:
    nowhere = POCKETS.replace("room: 22 °C, ", "")
    found = planned(resolved_formula(read(nowhere)), kitchen(30.0))
    assert not found.anchored
    assert "took-without-kitchen" in {n.code for n in found.notices}
    time = of_verb(found, "ferment", "sponge").time
    assert time is not None
    assert time.best == pytest.approx(50 * 60)


def test_a_dough_left_cold_rises_longer() -> None:
    found = planned(resolved_formula(read(POCKETS)), kitchen(21.0))
    assert found.delay is not None
    assert found.delay > 5 * 60


def test_a_larger_batch_keeps_the_baker_s_anchor() -> None:
    own = resolved_formula(read(POCKETS))
    larger = resolved_formula(read(POCKETS), Wish(pieces=24))
    one, three = settled(own, own, kitchen(18.0)), settled(larger, own, kitchen(18.0))
    assert three.anchor is not None
    assert one.anchor is not None
    assert three.anchor.multipliers == one.anchor.multipliers
    bulk, more = of_verb(one, "ferment", "dough"), of_verb(three, "ferment", "dough")
    # a larger dough keeps its warmth: per hour it loses less
    assert bulk.time is not None
    assert more.time is not None
    one_loss = (bulk.start - bulk.end.best) / bulk.time.best
    assert (more.start - more.end.best) / more.time.best < one_loss


LEVAIN = """\
doughwright: formula/1
name: Levain loaf
yield: {pieces: 1}
preparations:
  dough:
    kind: dough
    aim: 25 °C
    ingredients:
      strong white flour: 450 g
      water: 300 g
      starter: {amount: 100 g, hydration: 100 %}
      salt: 10 g
process:
  - mix: dough
  - ferment: dough
    until: 1.7x
    took: 5 h
tested in: {room: 24 °C}
"""


def test_a_levain_s_time_is_moved_by_temperature_alone_and_that_is_said() -> None:
    formula = resolved_formula(read(LEVAIN))
    found = planned(formula, kitchen(19.0))
    assert [n.code for n in found.notices] == ["levain-by-temperature"]
    ferment = next(t for t in found.steps if t.step.verb == "ferment")
    assert ferment.lasts.kind == "moved"
    assert 5.5 < ferment.lasts.best / 3600 < 9
    assert ferment.lasts.low < ferment.lasts.best < ferment.lasts.high


def test_without_yeast_or_levain_nothing_is_made_up() -> None:
    flat = LEVAIN.replace("      starter: {amount: 100 g, hydration: 100 %}\n", "")
    found = planned(resolved_formula(read(flat)), kitchen(24.0))
    assert found.rises == ()
    assert not found.anchored
    assert [n.code for n in found.notices] == ["nothing-rises"]


def test_a_night_in_the_fridge_runs_by_the_clock_and_cools_the_dough() -> None:
    text = (EXAMPLES / "cold-retarded-tin-loaf.yaml").read_text(encoding="utf-8")
    found = planned(resolved_formula(read(text)), kitchen(21.0))
    night = of_verb(found, "proof", "dough")
    assert night.kind == "stated"
    assert night.end.best - 273.15 < 7
    assert night.size.best > 1.2  # it still rises while it cools (evidence series: fridge volumes)

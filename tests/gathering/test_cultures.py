"""Cultures: the water their lines say, their flour in the whole, percentages of their own flour."""

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import read_document
from doughwright.engine.overall import prefermented_flour_ratio
from doughwright.gathering.drafted import Draft, DraftLine
from doughwright.gathering.drafts import draft
from doughwright.gathering.gathered import Doubt
from doughwright.gathering.lines.cultures import hydration_in
from doughwright.gathering.pages.sections import text_gathered
from doughwright.gathering.writing import formula_text
from doughwright.resolving.formulas import Wish, resolved_formula, sized_wish

# All recipes here are ours; each is worked out by hand beside its test.


def drafted(text: str, **answers: str) -> Draft:
    return draft(text_gathered(text, "a recipe"), None, answers)


def lines(made: Draft) -> list[DraftLine]:
    return [line for part in made.preparations for line in part.lines]


def the(made: Draft, code: str) -> Doubt:
    (doubt,) = [doubt for doubt in made.doubts if doubt.notice.code == code]
    return doubt


def solved(made: Draft) -> FormulaDocument:
    document = read_document(formula_text(made)).document
    assert isinstance(document, FormulaDocument)
    return document


@pytest.mark.parametrize(
    ("line", "name", "hydration"),
    [
        ("100 g levain (125 % hydration)", "levain", 1.25),
        ("100 g liquid starter, 1:1", "liquid starter", 1.0),
        ("100 g stiff starter (50% hydration)", "stiff starter", 0.5),
        ("100 g active sourdough starter at 100% hydration", "sourdough starter", 1.0),
        ("100 g ripe rye starter (hydration 80%)", "rye starter", 0.8),
        ("100 g 100%-hydration levain", "levain", 1.0),
        ("100 g starter (equal parts flour and water)", "starter", 1.0),
        ("100 g starter (50 g flour and 50 g water)", "starter", 1.0),
        ("100 g sourdough starter (1:2:2)", "sourdough starter", 1.0),
        ("100 g sourdough starter, TA 180", "sourdough starter", 0.8),
    ],
)
def test_a_culture_s_water_is_taken_where_its_line_says_it(
    line: str, name: str, hydration: float
) -> None:
    made = drafted(f"Loaf\n\n500 g bread flour\n330 g water\n{line}\n10 g salt\n")
    culture = lines(made)[2]
    assert (culture.name, culture.hydration) == (name, pytest.approx(hydration))
    assert made.doubts == ()
    assert [line.name for line in lines(made)].count("water") == 1


@pytest.mark.parametrize(
    "line",
    [
        "100 g starter",
        "100 g stiff starter",
        "100 g starter (1:5:3)",
        "100 g levain, 60-65% hydration",
    ],
)
def test_a_culture_s_water_is_asked_where_its_line_leaves_it_open(line: str) -> None:
    made = drafted(f"Loaf\n\n500 g bread flour\n330 g water\n{line}\n10 g salt\n")
    assert [doubt.notice.code for doubt in made.doubts] == ["gather-culture"]


def test_what_is_said_twice_and_not_alike_is_not_taken() -> None:
    assert hydration_in("100 % hydration, 1:1") == 1.0
    assert hydration_in("50 % hydration, 1:1") is None


@pytest.mark.parametrize("heading", ["Levain", "Levain:", "For the levain"])
def test_a_starter_with_its_share_is_the_first_line_of_its_part(heading: str) -> None:
    made = drafted(f"{heading}\nStarter 20 % (100% hydration)\nbread flour 100 %\nwater 100 %\n")
    assert [line.name for line in lines(made)] == ["Starter", "bread flour", "water"]
    assert lines(made)[0].hydration == 1.0


# --- Percentages of a levain's own flour ----------------------------------------------------------

OWN = """\
Sourdough

Levain
20 % starter{said}
100 % bread flour
100 % water

Dough
100 % bread flour
65 % water
2 % salt
30 % levain
"""


@pytest.mark.parametrize(
    ("said", "more"), [(" (100 % hydration)", {}), ("", {"4:starter:hydration": "100%"})]
)
def test_a_levain_s_share_counts_the_flour_of_its_starter(said: str, more: dict[str, str]) -> None:
    # 30 % of a levain of 220 parts: 13.64 of flour and 2.73 of starter, of which 1.36 is flour;
    # with the dough's 100 that is 115, of which the levain has 15: 13.04 %, not 13.64/115
    text = OWN.format(said=said)
    doubt = the(drafted(text, **more), "gather-own-shares")
    assert doubt.notice.values["share"] == pytest.approx(15 / 115)
    made = drafted(text, **more, **{doubt.key: "own flour"})
    assert not made.is_blocked
    shares = [line.share and 100 * line.share for line in lines(made)]
    parts = [30 / 11, 150 / 11, 150 / 11, 100, 65, 2]
    assert shares == pytest.approx([part / 1.15 for part in parts])
    document = solved(made)
    solution = resolved_formula(document, sized_wish(document, Wish())).solution
    assert prefermented_flour_ratio(solution) == pytest.approx(15 / 115, abs=1e-4)


def test_while_the_starter_s_water_is_not_said_its_flour_is_left_out_and_that_is_told() -> None:
    doubt = the(drafted(OWN.format(said="")), "gather-own-shares")
    assert doubt.notice.values["share"] == pytest.approx(0.12)  # 13.64 of 113.64
    assert doubt.notice.values["beside"] == ", without that of its culture"


def test_a_levain_in_percent_is_weighed_by_the_line_that_takes_it() -> None:
    # 220 g of 220 parts; flour 100 + 10 of 900 + 110 g
    text = (
        "Country bread\n\nLevain:\n- starter (100% hydration) 20 %\n- bread flour 100 %\n"
        "- water 100 %\n\nFinal dough:\n- 900 g bread flour\n- 600 g water\n- 20 g salt\n"
        "- 220 g levain\n"
    )
    doubt = the(drafted(text), "gather-own-shares")
    assert doubt.notice.values["share"] == pytest.approx(110 / 1010)
    made = drafted(text, **{doubt.key: "own flour"})
    masses = [1000 * line.mass[1] for line in lines(made) if line.mass]
    assert masses == pytest.approx([20, 100, 100, 900, 600, 20])


def test_two_parts_of_a_hundred_percent_are_asked_for_one_share_and_nothing_else() -> None:
    # with a third of the flour in the poolish: water 33 + 0.67 × 52, salt 0.67 × 2
    text = (
        "Baguette\n\nPoolish\n100 % bread flour\n100 % water\n0.1 % instant yeast\n\n"
        "Final dough\n100 % bread flour\n52 % water\n1 % instant yeast\n2 % salt\n"
    )
    (doubt,) = drafted(text).doubts
    assert (doubt.notice.code, doubt.blocks) == ("gather-which-share", True)
    assert "50%" in {choice.key for choice in doubt.choices}
    made = drafted(text, **{doubt.key: "33 %"})
    assert [100 * (line.share or 0) for line in lines(made)] == pytest.approx(
        [33, 33, 0.033, 67, 34.84, 0.67, 1.34]
    )
    assert [doubt.answer for doubt in made.doubts] == ["33 %"]


def test_a_share_that_is_no_share_is_no_answer() -> None:
    text = "Biga\n100 % bread flour\n50 % water\n\nDough\n100 % bread flour\n70 % water\n2 % salt\n"
    (doubt,) = drafted(text).doubts
    for words in ("120 %", "0 %", "200 g", "some"):
        assert drafted(text, **{doubt.key: words}).is_blocked


def test_a_line_that_takes_the_preferment_leaves_one_question() -> None:
    text = (
        "Baguette\n\nPoolish\n100 % bread flour\n100 % water\n\nFinal dough\n100 % bread flour\n"
        "52 % water\n3 % salt\n104 % poolish\n"
    )
    assert [doubt.notice.code for doubt in drafted(text).doubts] == ["gather-own-shares"]


def test_what_the_other_parts_leave_of_the_flour_is_the_levain_s() -> None:
    # rye 100 and 10 % of a culture at 80 % (5.56 of flour) are the 20 % that the dough leaves
    text = (
        "Country bread\n\nLevain\n100 % medium rye flour\n80 % water\n"
        "10 % culture (80 % hydration)\n\nDough\n80 % bread flour\n58 % water\n2 % salt\n"
    )
    doubt = the(drafted(text), "gather-rest-share")
    assert doubt.notice.values["share"] == pytest.approx(0.2)
    made = drafted(text, **{doubt.key: "own flour"})
    assert not made.is_blocked
    rye = lines(made)[0].share
    assert rye == pytest.approx(0.2 * 100 / (100 + 10 / 1.8))


def test_percentages_that_leave_the_starter_s_flour_out_say_so() -> None:
    # 100 + 10: each times 1/1.1
    text = "Loaf\n\n100 % bread flour\n72 % water\n20 % levain (100% hydration)\n2 % salt\n"
    doubt = the(drafted(text), "gather-percent-culture")
    assert doubt.notice.values == {"name": "levain", "found": pytest.approx(1.1)}
    made = drafted(text, **{doubt.key: "of the flour"})
    assert lines(made)[0].share == pytest.approx(1 / 1.1)

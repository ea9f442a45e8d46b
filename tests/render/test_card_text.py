"""A card as plain text and as a page: the same words, laid out for each."""

import re
from collections.abc import Callable
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest

from doughwright.render.card_page import card_page
from doughwright.render.card_parts import written_card
from doughwright.render.card_phrases import alike_words, counted, form_words, measure_words
from doughwright.render.card_text import card_text
from doughwright.render.numbers import mass
from doughwright.render.parts import Ledger, Part
from doughwright.render.phrases import CAUTIONS
from doughwright.resolving.formulas import ResolvedFormula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.card import CardSheet, card
from doughwright.sheets.card_steps import FormCell
from doughwright.sheets.cells import Cell
from doughwright.sheets.ovens import AlikeCell

EXAMPLES = Path(__file__).parents[2] / "examples"
FORMULAS = sorted(
    p.stem for p in EXAMPLES.glob("*.yaml") if "doughwright: formula/1" in p.read_text("utf-8")
)
KITCHENS = ("harbour-lane", "home-in-the-hills")
Cards = Callable[..., CardSheet]

each_example = pytest.mark.parametrize("name", FORMULAS)
each_kitchen = pytest.mark.parametrize("kitchen", KITCHENS)


class Page(HTMLParser):
    """What of a page a test asks for: its words, ids, links, headings, and open tags."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.links: list[str] = []
        self.headings: list[int] = []
        self.attributes: set[str] = set()
        self.words: list[str] = []
        self.inside: list[str] = []
        self.feed(html)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        said = dict(attrs)
        self.attributes |= said.keys()
        self.ids += [said["id"] or ""] if "id" in said else []
        self.links += [said["href"] or ""] if "href" in said else []
        self.headings += [int(tag[1])] if re.fullmatch("h[1-6]", tag) else []
        if tag not in {"meta", "col", "br"}:
            self.inside.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.inside.pop() == tag, f"</{tag}> at {self.getpos()}"

    def handle_data(self, data: str) -> None:
        if self.inside and self.inside[-1] not in {"style", "script", "title"}:
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).replace("\N{NO-BREAK SPACE}", " ").split())


def ledgers(part: Part) -> list[Ledger]:
    own = [block for block in part.blocks if isinstance(block, Ledger)]
    return own + [ledger for inner in part.parts for ledger in ledgers(inner)]


def parts(sheet: CardSheet) -> dict[str, Part]:
    return {part.key: part for part in written_card(sheet).parts}


# Plain text


@each_kitchen
@each_example
def test_the_text_says_every_weight_and_every_caution(
    card_of: Cards, name: str, kitchen: str
) -> None:
    sheet = card_of(name, kitchen)
    lines = card_text(sheet).splitlines()
    for p in sheet.preparations:
        for line in p.plan.lines:
            said = f"{mass(line.weight.value or 0.0, line.step.value or 0.001)} {line.name}"
            assert any(each.startswith(said) for each in lines), said
    for caution in CAUTIONS:
        assert f"- {caution}" in lines
    assert not re.search(r"\bsafe\b", card_text(sheet), re.IGNORECASE)


@each_example
def test_the_text_is_plain(card_of: Cards, name: str) -> None:
    said = card_text(card_of(name))
    assert not re.search(r"[`*_#|]|</?[a-z]|\N{NO-BREAK SPACE}", said)
    assert "None" not in said
    assert said.endswith("\n")
    assert not any(line != line.rstrip() for line in said.splitlines())


@pytest.mark.parametrize("width", [40, 60, 80])
@each_example
def test_lines_are_torn_but_never_between_number_and_unit(
    card_of: Cards, name: str, width: int
) -> None:
    torn = card_text(card_of(name), width=width)
    for line in torn.splitlines():
        assert len(line) <= width or " " not in line.strip()
        assert not re.search(r"^\s*(°C|g|kg|min|ml|cm|%)\b", line), line
    unspaced = re.sub(r"\s+", "", card_text(card_of(name)))
    assert re.sub(r"\s+", "", torn) == unspaced


@each_example
def test_no_time_with_a_band_is_told_as_a_bare_minute(card_of: Cards, name: str) -> None:
    sheet = card_of(name)
    steps = [step for section in sheet.sections for step in section.steps]
    said = [step.said for part in parts(sheet)["method"].parts for step in part.blocks[0].rows]  # type: ignore[union-attr]
    for step, sentences in zip(steps, said, strict=True):
        lasts = step.row.lasts
        if lasts.banded and lasts.high - lasts.low > 90:  # type: ignore[operator]
            bare = rf"(?<![–\d])\b{round((lasts.value or 0) / 60)} min"
            first = str(sentences[0])  # type: ignore[index]
            assert not re.search(bare, first), first


def test_spoons_stand_on_a_line_of_their_own(card_of: Cards) -> None:
    lines = card_text(card_of("leek-and-curd-pockets")).splitlines()
    spooned = [line for line in lines if re.search(r"\b(cups?|tbsp|tsp)$", line)]
    assert len(spooned) > 5
    assert not any(re.search(r"°C|°F|\d g\b", line) for line in spooned)


def test_the_baker_is_quoted(card_of: Cards) -> None:
    said = card_text(card_of("leek-and-curd-pockets"))
    for words in (
        "Third evening of the class.",
        "domed and full of small holes, just about to sink",
        "The butter goes in last, in three lots.",
        "Press a wide well with the bottom of a glass and fill at once",
        "rims deep gold; measure the core in the dough beneath the filling",
    ):
        assert words in said


def test_the_steps_are_numbered_through(card_of: Cards) -> None:
    said = card_text(card_of("rye-and-wheat-hearth-loaf"))
    numbers = [int(n) for n in re.findall(r"^(\d+)\. ", said, re.MULTILINE)]
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(numbers) == 14


def test_what_was_assumed_is_said_only_where_it_was(card_of: Cards) -> None:
    tested = card_text(card_of("leek-and-curd-pockets"))
    assert "Not noted, so taken as usual" not in tested
    assert "Some times are worked out" not in tested
    assert "Some times are worked out" in card_text(card_of("seeded-flatbread"))  # none was noted


# Words


@pytest.mark.parametrize(
    ("form", "said"),
    [
        (FormCell("round", None, Cell(0.11, "m"), Cell(0.025, "m"), None), "round, 11 cm across"),
        (FormCell("oval", Cell(0.26, "m"), Cell(0.14, "m"), None, None), "oval, 26 cm × 14 cm"),
        (FormCell("tin", None, None, None, Cell(0.0014, "m**3")), "for the tin, which holds 1.4 l"),
    ],
)
def test_a_form_in_words(form: FormCell, said: str) -> None:
    assert form_words(form).startswith(said)


def test_a_converted_dial_is_told_in_fives_with_its_band() -> None:
    cell = Cell(273.15 + 226.1, "K", "model", 273.15 + 221.1, 273.15 + 231.1)
    assert alike_words(AlikeCell(cell)) == "225 °C (220–230)"
    assert alike_words(AlikeCell(Cell(273.15 + 246.1, "K", "stated"))) == "246 °C"
    assert alike_words(AlikeCell(cell, "5", ("4", "5", "6"))) == "mark 5 (4–6)"
    assert alike_words(AlikeCell(None)) == "no mark is near"


def test_a_measure_of_nothing_is_silent() -> None:
    assert measure_words(None) == ""
    assert counted(0.0) == "0"


# The page


@each_kitchen
@each_example
def test_the_page_says_what_the_text_says(card_of: Cards, name: str, kitchen: str) -> None:
    sheet = card_of(name, kitchen)
    page = Page(card_page(sheet))
    assert page.inside == []
    for part in written_card(sheet).parts:
        assert part.title in page.text
        for ledger in ledgers(part):
            for row in ledger.rows:
                said = " ".join((row.amount, row.what, *row.beside, row.measure)).split()
                assert " ".join(said) in page.text
    for step in (step for section in sheet.sections for step in section.steps):
        assert step.row.note in page.text


@each_example
def test_the_page_stands_by_itself_and_can_be_found_through(card_of: Cards, name: str) -> None:
    html = card_page(card_of(name))
    page = Page(html)
    assert len(set(page.ids)) == len(page.ids)
    assert {link.removeprefix("#") for link in page.links} <= set(page.ids)
    assert page.headings[0] == 1
    assert all(
        later - before <= 1 for before, later in zip(page.headings, page.headings[1:], strict=False)
    )
    assert "style" not in page.attributes
    assert not any(name.startswith("on") for name in page.attributes)
    assert not re.search(r"\bsrc=|@import|url\(", html)
    assert html.count("<script") == 1  # the recipe for machines, which runs nothing


def test_the_page_escapes_what_the_baker_wrote(card_of: Cards) -> None:
    sheet = replace(card_of("potato-rolls"), name="Rolls <b>&</b> more", note="</script><i>")
    html = card_page(sheet)
    assert "Rolls &lt;b&gt;&amp;&lt;/b&gt; more" in html
    assert "<b>&" not in html
    assert html.count("</script>") == 1


def test_the_page_has_the_language_of_the_bread(card_of: Cards) -> None:
    assert '<html lang="lv">' in card_page(replace(card_of("potato-rolls"), language="lv"))


def test_another_kitchen_is_one_line_that_reads_by_itself(card_of: Cards) -> None:
    sheet = card_of("leek-and-curd-pockets")
    lines = [line for line in card_text(sheet).splitlines() if line.startswith("At ")]
    assert len(lines) == len(sheet.elsewhere.places)
    cool = lines[0]
    assert cool.startswith("At 18 °C: ferment sponge ")
    assert "; proof dough " in cool
    assert "; dough comes out at 25 °C with " in cool
    assert "the sponge's liquid at 43 °C." in cool
    assert " / " not in cool


def test_after_the_dividing_the_pieces_are_spoken_of(card_of: Cards) -> None:
    said = card_text(card_of("leek-and-curd-pockets"))
    for words in (
        "Divide the dough into 8 pieces of 105 g.",
        "Pre-shape the pieces.",
        "Fill each with 40 g of the filling.",
        "Brush each with 4 g of the egg wash.",
        "Bake the pieces at 165 °C fan",
        "Cool the pieces",
    ):
        assert words in said
    assert "Bake the dough" not in said


def test_a_loaf_in_one_piece_is_the_piece(solve: Callable[..., ResolvedFormula]) -> None:
    loaf = """
yield: {pieces: 1, piece: 500 g}
preparations:
  dough: {kind: dough, ingredients: {strong white flour: 100 %, water: 65 %, salt: 2 %}}
  seeds: {kind: topping, each: 20 g, ingredients: {sesame seed: 1 part}}
process:
  - mix: dough
  - shape: dough
  - top: seeds
  - bake: dough
    oven: 220 °C fan
"""
    said = card_text(card(solve(loaf), kitchen_from(None)))
    assert "Shape the dough." in said
    assert "Top it with 20 g of the seeds." in said
    assert "Bake the piece at 220 °C fan" in said

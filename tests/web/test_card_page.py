"""The card in the web app: asked for, shown, taken away in each form."""

import json
import re
from io import BytesIO
from pathlib import Path

import pytest
from django.test import Client
from django.utils import timezone
from pypdf import PdfReader

from doughwright.store import library
from doughwright.web.carding import sizes_in

EXAMPLES = Path(__file__).parents[2] / "examples"

pytestmark = pytest.mark.django_db


@pytest.fixture
def pockets(paired: Client) -> Client:
    for name in ("leek-and-curd-pockets", "harbour-lane.kitchen"):
        text = (EXAMPLES / f"{name}.yaml").read_text("utf-8")
        key = "pockets" if name.startswith("leek") else "harbour-lane"
        library.save(text, key=key, expected=0, message="", now=timezone.now())
    return paired


def test_a_card_is_shown_with_what_is_asked(pockets: Client) -> None:
    answer = pockets.get("/breads/pockets/card", {"sizes": "6, 8, 10", "measures": "yes"})
    said = answer.content.decode()
    assert answer.status_code == 200
    assert "Leek and curd pockets" in said
    assert "tbsp" in said or "tsp" in said
    assert 'id="sizes"' in said
    assert "Gas" in said
    ids = re.findall(r' id="([^"]+)"', said)
    assert len(ids) == len(set(ids))
    assert "style=" not in said
    assert "<script type" not in said


def test_a_card_is_taken_away_as_pdf_text_page_and_for_machines(pockets: Client) -> None:
    pdf = PdfReader(BytesIO(pockets.get("/breads/pockets/card.pdf").content))
    assert "Leek and curd pockets" in pdf.pages[0].extract_text()
    text = pockets.get("/breads/pockets/card.txt")
    assert text.headers["Content-Type"].startswith("text/plain")
    assert "strong white flour" in text.content.decode()
    page = pockets.get("/breads/pockets/card.html")
    assert 'filename="pockets-card.html"' in page.headers["Content-Disposition"]
    recipe = json.loads(pockets.get("/breads/pockets/card.json").content)
    assert recipe["@type"] == "Recipe"


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"sizes": "six"}, "sizes"),
        ({"sizes": "1,2,3,4,5,6,7"}, "sizes"),
        ({"pieces": "-3"}, "pieces"),
        ({"kitchen": "no-such"}, "kitchen"),
        ({"codes": "XX"}, "codes"),
        ({"sizes": "<script>alert(1)</script>"}, "sizes"),
    ],
)
def test_what_is_not_understood_is_said_beside_its_field(
    pockets: Client, asked: dict[str, str], field: str
) -> None:
    answer = pockets.get("/breads/pockets/card", asked)
    said = answer.content.decode()
    assert answer.status_code == 422
    assert f'aria-describedby="{field}-wrong" aria-invalid="true"' in said
    assert "<script>alert" not in said
    assert pockets.get("/breads/pockets/card.pdf", asked).status_code in {404, 422}


def test_a_bread_that_is_not_there_is_said_so(paired: Client) -> None:
    assert paired.get("/breads/none/card").status_code == 404
    assert paired.get("/breads/none/card.pdf").status_code == 404


def test_sizes_are_read_as_a_baker_writes_them() -> None:
    assert sizes_in("") is None
    assert sizes_in("6, 8;10 12") == (6, 8, 10, 12)


def test_what_its_author_is_to_mend_stands_before_the_card_and_not_on_it(pockets: Client) -> None:
    text = library.newest("formula", "pockets").text
    unsaid = re.sub(r"(oven: \d+ °C) (?:fan|conventional)", r"\1", text)
    unsaid = re.sub(r"(?m)^( *)oven: (?:fan|conventional)\n", "", unsaid)
    unsaid = re.sub(r"oven: fan, |, oven: fan", "", unsaid)
    assert unsaid != text
    library.save(unsaid, key="unsaid", expected=0, message="", now=timezone.now())
    page = pockets.get("/breads/unsaid/card").content.decode()
    before, _, card = page.partition('class="card-leaf"')
    assert "Before you give it away" in before
    assert "does not say for which kind of oven" in before
    assert "Before you give it away" not in card
    assert "the oven one without a fan" in card
    given = pockets.get("/breads/unsaid/card.html").content.decode()
    assert "Before you give it away" not in given

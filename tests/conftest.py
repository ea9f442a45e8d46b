"""Inline documents: what a baker writes, solved or refused."""

from collections.abc import Callable
from functools import cache
from pathlib import Path
from textwrap import dedent

import pytest
from hypothesis import settings

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Reading, read_document
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.kitchens import kitchen_from
from doughwright.sheets.card import CardSheet, card

settings.register_profile("untimed", deadline=None)  # no test measures time
settings.load_profile("untimed")

HEADER = "doughwright: formula/1\nname: A bread to test\n"

EXAMPLES = Path(__file__).parents[1] / "examples"

AS_WRITTEN = Wish()


def _read(text: str) -> Reading:
    body = dedent(text).lstrip("\n")
    return read_document(body if body.startswith("doughwright:") else HEADER + body)


def _solve(text: str, wish: Wish = AS_WRITTEN) -> ResolvedFormula:
    document = _read(text).document
    assert isinstance(document, FormulaDocument)
    return resolved_formula(document, wish)


def _problems(text: str, wish: Wish = AS_WRITTEN) -> tuple[Notice, ...]:
    with pytest.raises(DocumentError) as caught:
        _solve(text, wish)
    return caught.value.problems


@pytest.fixture(scope="session")
def read() -> Callable[[str], Reading]:
    """Read a document; a formula's first two lines may be left out."""
    return _read


@pytest.fixture(scope="session")
def solve() -> Callable[..., ResolvedFormula]:
    """Read and solve a formula document, for a wished size if one is given."""
    return _solve


@pytest.fixture(scope="session")
def problems() -> Callable[..., tuple[Notice, ...]]:
    """Return why a formula document is refused."""
    return _problems


@cache
def _card_of(name: str, kitchen: str = "harbour-lane") -> CardSheet:
    files = (EXAMPLES / f"{kitchen}.kitchen.yaml", EXAMPLES / f"{name}.yaml")
    place, formula = (read_document(file.read_text("utf-8")).document for file in files)
    assert isinstance(place, KitchenDocument)
    assert isinstance(formula, FormulaDocument)
    return card(resolved_formula(formula), kitchen_from(place), measures=True)


@pytest.fixture(scope="session")
def card_of() -> Callable[..., CardSheet]:
    """Write an example up, in Harbour Lane unless another kitchen is named; each once."""
    return _card_of

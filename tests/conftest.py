"""Inline documents: what a baker writes, solved or refused."""

from collections.abc import Callable
from textwrap import dedent

import pytest

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import Reading, read_document
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula

HEADER = "doughwright: formula/1\nname: A bread to test\n"

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

"""Laws of several sources side by side: neither their order nor their size may matter."""

from collections.abc import Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.reading import document_from
from doughwright.engine.formula import Batch, solved
from doughwright.engine.groups import parts
from doughwright.engine.overall import hydration
from doughwright.resolving.formulas import ResolvedFormula, Wish, resolved_formula
from doughwright.resolving.lines import Lookup
from doughwright.reworking.middle import Named, middle_document, middle_text
from doughwright.reworking.rework import solved_document
from doughwright.sheets.sources import Source, SourceRow, sources_sheet

OTHERS = ("whole milk", "egg", "sugar", "honey", "unsalted butter", "olive oil", "raisins")
YEASTS = ("fresh yeast", "active dry yeast", "instant yeast")
ROUNDING = 2e-5
"""An amount is written to a thousandth of a percent."""

Shares = dict[str, float]


@st.composite
def shares(draw: st.DrawFn) -> Shares:
    """Percents of one dough."""
    rye = draw(st.integers(0, 40))
    found: Shares = {"strong white flour": 100.0 - rye, "medium rye flour": float(rye)}
    found |= {"water": draw(st.integers(20, 80)), "salt": draw(st.floats(1.5, 2.2))}
    found |= {n: draw(st.floats(1, 20)) for n in draw(st.sets(st.sampled_from(OTHERS)))}
    found[draw(st.sampled_from(YEASTS))] = draw(st.floats(0.3, 3.0))
    return {name: round(share, 2) for name, share in found.items() if share}


def document(found: Shares) -> FormulaDocument:
    lines = {name: f"{share:g} %" for name, share in found.items()}
    tree = {
        "doughwright": "formula/1",
        "name": "A dough",
        "yield": {"flour": "1 kg"},
        "preparations": {"dough": {"kind": "dough", "ingredients": lines}},
    }
    made = document_from(tree)
    assert isinstance(made, FormulaDocument)
    return made


def solve(found: Shares) -> ResolvedFormula:
    return solved_document(document(found))


def named(formulas: Sequence[ResolvedFormula]) -> list[Source]:
    return [Source(f"source {i}", formula) for i, formula in enumerate(formulas)]


def rows(sources: Sequence[Source]) -> list[SourceRow]:
    return [row for table in sources_sheet(sources).tables for row in table.rows]


def by_source(row: SourceRow, sources: Sequence[Source]) -> dict[str, object]:
    """What a row says, by the names of the sources and not by their places."""
    return {
        "name": row.name,
        "cells": {s.name: cell.value for s, cell in zip(sources, row.cells, strict=True)},
        "middle": row.middle,
        "counted": {sources[i].name for i in row.counted},
        "apart": {sources[i].name for i in row.apart},
    }


@given(st.lists(shares(), min_size=2, max_size=5), st.randoms())
def test_the_order_of_sources_changes_nothing(found: list[Shares], random: object) -> None:
    sources = named(list(map(solve, found)))
    shuffled = sources.copy()
    random.shuffle(shuffled)  # type: ignore[attr-defined]  # a Random, which hypothesis shrinks
    one = [by_source(row, sources) for row in rows(sources)]
    other = [by_source(row, shuffled) for row in rows(shuffled)]
    assert one == other
    texts = {middle_text([Named(s.name, s.formula) for s in some]) for some in (sources, shuffled)}
    assert len(texts) == 1


@given(st.lists(shares(), min_size=2, max_size=4), st.floats(0.1, 50))
def test_how_much_a_source_makes_changes_nothing(found: list[Shares], flour: float) -> None:
    sources = named(list(map(solve, found)))
    larger = [*sources[:-1], Source(sources[-1].name, _sized(found[-1], flour))]
    for one, other in zip(rows(sources), rows(larger), strict=True):
        assert one.name == other.name
        assert one.apart == other.apart
        assert [c.value for c in one.cells] == pytest.approx([c.value for c in other.cells])


def _sized(found: Shares, flour: float) -> ResolvedFormula:
    return resolved_formula(document(found), Wish(flour=flour))


@given(st.lists(shares(), min_size=3, max_size=6), st.integers(0, 5))
def test_ten_times_the_salt_stands_apart(found: list[Shares], which: int) -> None:
    index = which % len(found)
    slipped = [f | {"salt": 10 * f["salt"]} if i == index else f for i, f in enumerate(found)]
    salt = next(row for row in rows(named(list(map(unchecked, slipped)))) if row.name == "salt")
    assert index in salt.apart
    assert salt.middle.value == pytest.approx(0.0185, abs=0.0036)  # where the others are


def unchecked(found: Shares) -> ResolvedFormula:
    """A formula no baker could mean, solved as if one did: from 5 % salt on it is refused."""
    made = document(found)
    preparations = Lookup(made).preparations(made)
    return ResolvedFormula(made, preparations, solved(preparations, Batch(flour=1.0)), ())


@given(shares(), st.integers(2, 5))
def test_the_middle_of_equal_sources_is_that_source(found: Shares, count: int) -> None:
    formula = solve(found)
    middle = solved_document(middle_document([Named(str(i), formula) for i in range(count)]))
    was, now = ({p.name: p.ratio for p in parts(f.solution)} for f in (formula, middle))
    assert now == pytest.approx(was, abs=5 * ROUNDING)
    assert hydration(middle.solution) == pytest.approx(hydration(formula.solution), abs=ROUNDING)


@given(st.lists(shares(), min_size=2, max_size=6))
def test_the_middle_is_a_formula_of_all_flour(found: list[Shares]) -> None:
    middle = solved_document(
        middle_document([Named(str(i), solve(f)) for i, f in enumerate(found)])
    )
    flour = sum(p.ratio for p in parts(middle.solution) if p.group == "flour")
    assert flour == pytest.approx(1.0, abs=1e-9)
    assert sum(p.group == "yeast, as fresh" for p in parts(middle.solution)) == 1

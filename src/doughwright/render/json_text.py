"""Sheets as JSON; the schema is generated from the same dataclasses."""

import json
from typing import Any

from pydantic import TypeAdapter

from doughwright.errors import Notice
from doughwright.render.messages import remedy, words
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.formula import FormulaSheet
from doughwright.sheets.ingredients import IngredientRow
from doughwright.sheets.kitchens import KitchenComparison
from doughwright.sheets.yeast import YeastSheet

Sheet = BenchPlan | FormulaSheet | KitchenComparison | YeastSheet | tuple[IngredientRow, ...]


def sheet_json(sheet: Sheet) -> str:
    """A sheet as JSON: SI values with their units, notices in words too."""
    adapter: TypeAdapter[Any] = TypeAdapter(type(sheet))
    if isinstance(sheet, tuple):
        adapter = TypeAdapter(tuple[IngredientRow, ...])
    return adapter.dump_json(sheet, indent=2, fallback=str).decode()


def problems_json(problems: tuple[Notice, ...]) -> str:
    """Problems as a JSON list of code, words, remedy, path and place."""
    return json.dumps([_problem(p) for p in problems], indent=2, ensure_ascii=False)


def _problem(problem: Notice) -> dict[str, Any]:
    place = problem.place
    return {
        "code": problem.code,
        "says": words(problem),
        "remedy": remedy(problem),
        "where": list(problem.where),
        "file": place.file if place else None,
        "line": place.line if place else None,
        "column": place.column if place else None,
    }


def sheet_schema(kind: type) -> dict[str, Any]:
    """JSON schema of a sheet."""
    return TypeAdapter(kind).json_schema(mode="serialization")

"""Sheets as JSON; the schema is generated from the same dataclasses."""

import json
from typing import Any

from pydantic import TypeAdapter

from doughwright.errors import Notice
from doughwright.render.messages import remedy, words
from doughwright.sheets.bake import BakeSheet
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.card import CardSheet
from doughwright.sheets.cost import CostSheet
from doughwright.sheets.formula import FormulaSheet
from doughwright.sheets.ingredients import IngredientRow
from doughwright.sheets.kitchens import KitchenComparison
from doughwright.sheets.label import LabelSheet
from doughwright.sheets.safety_rows import SafetySheet
from doughwright.sheets.sources import SourcesSheet
from doughwright.sheets.yeast import YeastSheet

Sheet = (
    BakeSheet
    | BenchPlan
    | CardSheet
    | CostSheet
    | FormulaSheet
    | KitchenComparison
    | LabelSheet
    | SafetySheet
    | SourcesSheet
    | YeastSheet
    | tuple[IngredientRow, ...]
)


NOTICE = frozenset({"code", "where", "values", "place"})
"""The keys of a notice as its dataclass has them."""


def sheet_json(sheet: Sheet) -> str:
    """A sheet as JSON: SI values with their units, notices in words too."""
    kind = tuple[IngredientRow, ...] if isinstance(sheet, tuple) else type(sheet)
    adapter: TypeAdapter[Any] = TypeAdapter(kind)
    tree = _spoken(adapter.dump_python(sheet, mode="json", fallback=str))
    return json.dumps(tree, indent=2, ensure_ascii=False)


def _spoken(tree: Any) -> Any:
    """The same tree with what each notice says, and what to do, beside its code."""
    if isinstance(tree, list):
        return [_spoken(item) for item in tree]
    if not isinstance(tree, dict):
        return tree
    if tree.keys() != NOTICE:
        return {key: _spoken(value) for key, value in tree.items()}
    notice = Notice(tree["code"], tuple(tree["where"]), tree["values"])
    return {**tree, "says": words(notice), "remedy": remedy(notice)}


def sheet_schema(kind: Any) -> dict[str, Any]:
    """JSON schema of a sheet as :func:`sheet_json` writes it."""
    schema = TypeAdapter(kind).json_schema(mode="serialization")
    notice = schema.get("$defs", {}).get("Notice")
    if notice is not None:
        notice["properties"] |= {"says": {"type": "string"}, "remedy": {"type": "string"}}
    return schema

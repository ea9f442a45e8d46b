"""The published JSON Schemas accept what the program accepts, and refuse slips.

The few keywords our schemas use are checked here by hand; another keyword in a schema
fails, so that nothing is passed over silently.
"""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from ruamel.yaml import YAML

ROOT = Path(__file__).parents[2]
ABOUT = {"$defs", "$schema", "default", "description", "examples", "title"}
KINDS = {"array": list, "integer": int, "object": dict, "string": str}
FORMULA = """
doughwright: formula/1
name: Plain rolls
yield: {pieces: 8, piece: 70 g}
preparations:
  poolish:
    kind: preferment
    ingredients: {strong white flour: 30 %, water: {amount: 30 %, at: 24 °C}}
  dough:
    kind: dough
    from: [poolish]
    ingredients: {strong white flour: 70 %, water: 35 %, salt: 1.9 %}
process:
  - mix: dough
    for: 8 min
  - proof: dough
    until: 1.7x
"""


def schema(kind: str) -> dict[str, Any]:
    return json.loads((ROOT / f"docs/reference/{kind}.schema.json").read_text("utf-8"))


def refusals(node: Any, rule: dict[str, Any], parts: dict[str, Any]) -> list[str]:
    """What a schema finds wrong with a value."""
    found: list[str] = []
    for keyword, wanted in rule.items():
        if keyword not in ABOUT:
            found += CHECKS[keyword](node, wanted, rule, parts)
    return found


def of_a_kind(node: Any, wanted: Any, *_: Any) -> list[str]:
    kinds = [wanted] if isinstance(wanted, str) else wanted
    return [] if any(isinstance(node, KINDS[kind]) for kind in kinds) else [f"{node!r}: {wanted}"]


def one_of_these(node: Any, wanted: Any, *_: Any) -> list[str]:
    return [] if node in wanted else [f"{node!r} not in {wanted}"]


def matching(node: Any, wanted: str, *_: Any) -> list[str]:
    return [] if re.search(wanted, str(node)) else [f"{node!r} !~ {wanted}"]


def any_of(node: Any, wanted: Any, _: Any, parts: Any) -> list[str]:
    tried = [refusals(node, each, parts) for each in wanted]
    return [] if [] in tried else [f"{node!r}: nothing fits"]


def referred(node: Any, wanted: str, _: Any, parts: Any) -> list[str]:
    return refusals(node, parts[wanted.rpartition("/")[2]], parts)


def with_keys(node: Any, wanted: Any, _: Any, parts: Any) -> list[str]:
    known = [key for key in wanted if isinstance(node, dict) and key in node]
    return [slip for key in known for slip in refusals(node[key], wanted[key], parts)]


def needing(node: Any, wanted: Any, *_: Any) -> list[str]:
    return [f"{key} is missing" for key in wanted if isinstance(node, dict) and key not in node]


def otherwise(node: Any, wanted: Any, rule: Any, parts: Any) -> list[str]:
    others = [key for key in node if key not in rule.get("properties", {})]
    if wanted is False:
        return [f"{key} is unknown" for key in others]
    return [slip for key in others for slip in refusals(node[key], wanted, parts)]


def each_item(node: Any, wanted: Any, _: Any, parts: Any) -> list[str]:
    return [slip for item in node for slip in refusals(item, wanted, parts)]


CHECKS = {
    "$ref": referred,
    "additionalProperties": lambda node, *a: otherwise(node, *a) if isinstance(node, dict) else [],
    "anyOf": any_of,
    "const": lambda node, wanted, *_: one_of_these(node, [wanted]),
    "enum": one_of_these,
    "items": lambda node, *a: each_item(node, *a) if isinstance(node, list) else [],
    "pattern": matching,
    "properties": with_keys,
    "required": needing,
    "type": of_a_kind,
}


def checked(text: str) -> list[str]:
    document = YAML(typ="safe").load(text)
    rules = schema(document["doughwright"].partition("/")[0])
    return refusals(document, rules, rules.get("$defs", {}))


def test_the_schema_accepts_a_formula() -> None:
    assert checked(FORMULA) == []


@pytest.mark.parametrize(
    ("written", "slip"),
    [
        ("salt: 1.9 %", "salt: 1.9"),
        ("kind: dough", "kind: doug"),
        ("proof: dough", "proove: dough"),
        ("until: 1.7x", "core: 92 °C"),
        ("name: Plain rolls", "nome: Plain rolls"),
        ("pieces: 8", "pieces: eight"),
    ],
)
def test_the_schema_refuses_a_slip(written: str, slip: str) -> None:
    assert written in FORMULA
    assert checked(FORMULA.replace(written, slip)) != []


@pytest.mark.parametrize("path", sorted(ROOT.glob("examples/*.yaml")), ids=lambda path: path.name)
def test_the_schema_accepts_every_example(path: Path) -> None:
    assert checked(path.read_text("utf-8")) == []

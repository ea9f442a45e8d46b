"""Who may import whom (docs/reference/architecture.md)."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

PURE = {"numpy", "scipy", "numba", "llvmlite"}
BELOW_ENGINE = ("doughwright.engine", "doughwright.sources", "doughwright.units")
ERRORS = "doughwright.errors"
OUTSIDE_WORLD = {
    "asyncio": "waits for something outside",
    "datetime": "a clock time comes in as an argument",
    "getpass": "asks a person",
    "locale": "a number looks alike everywhere",
    "logging": "notices travel on the result",
    "os": "the engine does not ask the machine",
    "random": "a seed comes in as an argument",
    "socket": "opens a connexion",
    "subprocess": "starts a program",
    "sys": "the engine does not ask the machine",
    "tempfile": "writes files",
    "threading": "runs beside the caller",
    "time": "the clock comes in as an argument",
    "urllib": "opens a connexion",
}
"""Parts of the standard library that a pure function has no use for."""


def imported(tree: ast.Module) -> Iterator[str]:
    """Names of all imported modules, those inside functions too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def may_be_imported_by_the_engine(name: str) -> bool:
    top = name.partition(".")[0]
    if top == "doughwright":
        return name.startswith((*BELOW_ENGINE, ERRORS)) or top == name
    return top in PURE or (top in sys.stdlib_module_names and top not in OUTSIDE_WORLD)


def test_the_layers_hold(root: Path) -> None:
    program = Path(sys.executable).with_name("lint-imports")
    checked = subprocess.run(
        [program, "--no-logo", "--no-cache"], cwd=root, capture_output=True, text=True, check=False
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr


def test_the_engine_imports_only_numbers_even_inside_functions(engine_module: Any) -> None:
    names = set(imported(engine_module.tree))
    assert {name for name in names if not may_be_imported_by_the_engine(name)} == set()


def test_imports_are_absolute(module: Any) -> None:
    froms = [node for node in ast.walk(module.tree) if isinstance(node, ast.ImportFrom)]
    assert [node.lineno for node in froms if node.level] == []

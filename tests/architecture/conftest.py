"""What the architecture tests look at: the product's modules, read but not run."""

import ast
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src"


@dataclass(frozen=True, slots=True)
class Module:
    """One file of the product."""

    name: str
    path: Path
    text: str
    tree: ast.Module

    @property
    def functions(self) -> list[ast.FunctionDef | ast.AsyncFunctionDef]:
        """Every function, method and nested function."""
        kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
        return [node for node in ast.walk(self.tree) if isinstance(node, kinds)]

    @property
    def classes(self) -> list[ast.ClassDef]:
        """Every class."""
        return [node for node in ast.walk(self.tree) if isinstance(node, ast.ClassDef)]

    @property
    def public_functions(self) -> list[ast.FunctionDef]:
        """The functions other modules may call."""
        return [
            node
            for node in self.tree.body
            if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
        ]


def read(path: Path) -> Module:
    text = path.read_text("utf-8")
    parts = path.relative_to(SOURCE).with_suffix("").parts
    name = ".".join(part for part in parts if part != "__init__")
    return Module(name, path, text, ast.parse(text))


MODULES = [read(path) for path in sorted(SOURCE.rglob("*.py"))]
ENGINE = [module for module in MODULES if module.name.startswith("doughwright.engine")]


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run a test once for each module of the product or of the engine."""
    for fixture, modules in {"module": MODULES, "engine_module": ENGINE}.items():
        if fixture in metafunc.fixturenames:
            metafunc.parametrize(fixture, modules, ids=lambda m: m.name)


@pytest.fixture(scope="session")
def root() -> Path:
    return ROOT


@pytest.fixture(scope="session")
def modules() -> list[Module]:
    return MODULES

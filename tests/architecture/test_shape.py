"""How long, how many and what it is called (docs/reference/architecture.md)."""

import re
import statistics
from typing import Any

MOST_LINES = 400
MOST_METHODS = 10
FORBIDDEN_WORDS = {
    "base",
    "common",
    "helper",
    "helpers",
    "manager",
    "misc",
    "service",
    "services",
    "util",
    "utils",
}
"""Words that say where something was put instead of what it is."""
FORBIDDEN_PREFIXES = ("get_", "calculate_", "compute_", "process_")
"""A function is named for the quantity it returns."""
NAMED_BY_A_LIBRARY = {
    "get_command": "click asks a group for its commands by this name",
    "get_value": "string.Formatter asks for a field's value by this name",
    "process_exception": "Django hands a view's error to middleware by this name",
}


def words(name: str) -> set[str]:
    """Split ``two_words`` and ``TwoWords``."""
    return {word.lower() for word in re.findall(r"[A-Z]?[a-z]+|[A-Z]+|\d+", name)}


def body_lines(function: Any) -> int:
    """Lines of the body; neither the signature nor the docstring counts."""
    first, *rest = function.body
    is_docstring = first.__class__.__name__ == "Expr" and isinstance(
        getattr(first.value, "value", None), str
    )
    body = rest if is_docstring else function.body
    return body[-1].end_lineno - body[0].lineno + 1 if body else 0


def test_a_name_is_split_into_its_words() -> None:
    assert words("LoafBase") == {"loaf", "base"}
    assert words("_bench_plan") == {"bench", "plan"}


def test_a_module_can_be_read_in_one_sitting(module: Any) -> None:
    assert len(module.text.splitlines()) <= MOST_LINES


def test_no_class_has_more_than_ten_methods(module: Any) -> None:
    methods = {
        cls.name: sum(node.__class__.__name__.endswith("FunctionDef") for node in cls.body)
        for cls in module.classes
    }
    assert {name: n for name, n in methods.items() if n > MOST_METHODS} == {}


def test_nothing_is_named_for_the_place_it_was_put(module: Any) -> None:
    names = [module.path.stem, module.path.parent.name, *(cls.name for cls in module.classes)]
    assert [name for name in names if words(name) & FORBIDDEN_WORDS] == []


def test_a_function_is_named_for_what_it_returns(module: Any) -> None:
    names = {function.name.lstrip("_") for function in module.functions}
    assert {n for n in names if n.startswith(FORBIDDEN_PREFIXES)} <= NAMED_BY_A_LIBRARY.keys()


def test_functions_are_short(modules: list[Any]) -> None:
    lengths = sorted(
        (body_lines(function), f"{module.name}.{function.name}")
        for module in modules
        for function in module.functions
    )
    sizes = [size for size, _ in lengths]
    assert statistics.median(sizes) <= 10
    under_thirty = sum(size < 30 for size in sizes) / len(sizes)
    assert under_thirty >= 0.9, lengths[-20:]

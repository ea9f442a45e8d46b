"""Each public engine function says its units, its meaning and an example."""

import ast
from typing import Any

COMPILED = {
    "doughwright.engine.bake_kernel": "numba takes rows of records, and no annotations",
    "doughwright.engine.bake_walls": "numba takes rows of records, and no annotations",
    "doughwright.engine.compiling": "types of the compiler, which may not be imported early",
    "doughwright.engine.gas": "numba takes rows of records, and no annotations",
    "doughwright.engine.stages": "numba takes rows of records, and no annotations",
}
"""Modules of compiled kernels, tested through the functions that call them."""

WITHOUT_EXAMPLE: dict[str, str] = {}
"""Public engine functions that cannot show an example, with the reason."""


def unannotated(function: Any) -> list[str]:
    arguments = function.args
    every = [*arguments.posonlyargs, *arguments.args, *arguments.kwonlyargs]
    every += [extra for extra in (arguments.vararg, arguments.kwarg) if extra]
    missing = [argument.arg for argument in every if argument.annotation is None]
    return missing + (["return"] if function.returns is None else [])


def test_every_argument_and_result_carries_its_unit(engine_module: Any) -> None:
    if engine_module.name in COMPILED:
        return
    found = {function.name: unannotated(function) for function in engine_module.public_functions}
    assert {name: missing for name, missing in found.items() if missing} == {}


def test_every_public_function_says_what_it_returns(engine_module: Any) -> None:
    silent = [f.name for f in engine_module.public_functions if not ast.get_docstring(f)]
    assert silent == []


def test_every_public_function_shows_an_example(engine_module: Any) -> None:
    missing = {
        f"{engine_module.name}.{function.name}"
        for function in engine_module.public_functions
        if ">>> " not in (ast.get_docstring(function) or "") and engine_module.name not in COMPILED
    }
    assert missing <= WITHOUT_EXAMPLE.keys()


def test_the_list_of_functions_without_an_example_is_up_to_date(modules: list[Any]) -> None:
    known = {f"{m.name}.{f.name}" for m in modules for f in m.public_functions}
    assert known >= WITHOUT_EXAMPLE.keys()

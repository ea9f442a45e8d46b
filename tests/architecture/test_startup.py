"""Asking for help loads nothing that the help does not need."""

import subprocess
import sys

import pytest

HEAVY = {"jinja2", "numba", "numpy", "pydantic", "rich", "ruamel", "scipy"}
PROGRAM = """
import sys
sys.argv = ["doughwright", *sys.argv[1:]]
from doughwright.cli import main
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
finally:
    print("loaded:", *sorted({name.partition(".")[0] for name in sys.modules}))
"""


@pytest.mark.parametrize("arguments", [["--help"], ["--version"]], ids=" ".join)
def test_help_is_light(arguments: list[str]) -> None:
    run = subprocess.run(
        [sys.executable, "-c", PROGRAM, *arguments], capture_output=True, text=True, check=True
    )
    said, _, loaded = run.stdout.partition("loaded: ")
    assert "doughwright" in said.lower()
    assert HEAVY.isdisjoint(loaded.split())

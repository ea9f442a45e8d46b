"""What the guide shows is what the program prints.

The guide is followed from top to bottom, in a folder that holds the examples: captioned
blocks are written to their file, ``console`` blocks are run. ``…`` stands for any text.
"""

import re
import shlex
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
BLOCK = re.compile(r"^```(?:\{code-block\} )?(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)
CAPTION = re.compile(r"^:caption: (.+)\n(?::.*\n)*\n")
GUIDES = sorted((ROOT / "docs/guide").glob("*.md"))


def run(command: str, folder: Path) -> str:
    """What a command line of the guide prints, errors after the rest."""
    program, *arguments = shlex.split(command)
    assert program == "doughwright"
    ran = subprocess.run(
        [sys.executable, "-m", "doughwright", *arguments],
        cwd=folder,
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    return ran.stdout + ran.stderr


def matches(shown: str, printed: str) -> bool:
    """Whether the text is what was shown, with any text for an ellipsis."""
    parts = (re.escape(part) for part in shown.strip().split("…"))
    return re.fullmatch(".*".join(parts), printed.strip(), re.DOTALL) is not None


def test_an_ellipsis_stands_for_any_text_and_nothing_else_does() -> None:
    assert matches("a\n…\nd …", "a\nb\nc\nd e")
    assert not matches("a\nc", "a\nb\nc")


@pytest.mark.parametrize("guide", GUIDES, ids=lambda path: path.stem)
def test_the_program_prints_what_the_guide_shows(guide: Path, tmp_path: Path) -> None:
    for example in ROOT.glob("examples/*.yaml"):
        shutil.copy(example, tmp_path)
    for language, text in BLOCK.findall(guide.read_text("utf-8")):
        caption = CAPTION.match(text)
        if caption:
            (tmp_path / caption[1]).write_text(text[caption.end() :], "utf-8")
        elif language == "console":
            command, _, shown = text.removeprefix("$ ").partition("\n")
            printed = run(command, tmp_path)
            assert matches(shown, printed), f"{command}\n{printed}"

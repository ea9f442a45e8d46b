"""The documentation builds, and what it repeats from the code is what the code says."""

import subprocess
import sys
from pathlib import Path


def test_the_documentation_builds_without_a_warning(root: Path, tmp_path: Path) -> None:
    build = [sys.executable, "-m", "sphinx", "-q", "-W", "-n", "-E", "-b", "html"]
    built = subprocess.run(
        [*build, "-d", str(tmp_path / "doctrees"), "docs", str(tmp_path / "html")],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )
    assert built.returncode == 0, built.stdout + built.stderr
    assert (tmp_path / "html/index.html").is_file()


def test_generated_pages_are_fresh(root: Path) -> None:
    checked = subprocess.run(
        [sys.executable, "docs/generate.py", "--check"],
        cwd=root,
        capture_output=True,
        text=True,
        check=False,
    )
    assert checked.returncode == 0, checked.stdout + checked.stderr

"""What has no place in any file of the tree.

Words are put together here, so that this file does not find itself.
"""

import re
import subprocess
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest

REGISTRIES = [
    "pypi" + r"\.org",
    "python" + r"hosted\.org",
    "npm" + r"js\.(org|com)",
    "ana" + r"conda\.org",
    "arti" + r"factory",
    r"\bjf" + r"rog\b",
    r"/simple" + r"/",
    r"(extra-)?index" + r"-url\s*[= ]\s*http",
]
"""Where a package was fetched from is the installer's business."""
MACHINE_PATHS = [
    r"(?<![\w./-])/" + folder + r"/\w"
    for folder in ("home", "root", "Users", "work", "tmp", "mnt", "opt", "workspace")
] + [r"\b[A-Z]:\\" + r"\w"]
"""A path that exists on one machine only."""
MAKING_OF = [
    r"\b" + word + r"\b"
    for word in (
        "trans" + "cripts?",
        "seed" + r"[ -]documents?",
        "cl" + "aude",
        "anth" + "ropic",
        "chat" + "gpt",
        "open" + "ai",
        "co" + "pilot",
        "language" + r"[ -]models?",
        "LL" + "Ms?",
        "AI" + r"[ -](assistant|agent|generated)s?",
        "sub" + "agents?",
        "pro" + "mpted by",
        "shared" + "/(design|science|cases|data|rules|evidence)",
    )
]
"""The tree is about bread, not about how the tree came to be."""
BINARY = {".png", ".pdf", ".ico", ".woff2", ".gz"}


@pytest.fixture(scope="session")
def texts(root: Path) -> dict[Path, str]:
    listed = subprocess.run(
        ["git", "ls-files", "-co", "--exclude-standard"],  # noqa: S607 - git is found on the path
        cwd=root,
        capture_output=True,
        text=True,
        check=True,
    ).stdout.splitlines()
    paths = [root / name for name in listed]
    return {
        path.relative_to(root): path.read_text("utf-8")
        for path in paths
        if path.is_file() and path.suffix not in BINARY
    }


def found(texts: Mapping[Any, str], patterns: list[str], flags: int = 0) -> list[str]:
    wanted = re.compile("|".join(patterns), flags)
    return [
        f"{path}:{number}: {line.strip()[:120]}"
        for path, text in texts.items()
        for number, line in enumerate(text.splitlines(), 1)
        if wanted.search(line)
    ]


def test_the_tree_is_read(texts: dict[Path, str]) -> None:
    assert len(texts) > 10


def test_no_registry_is_named(texts: dict[Path, str]) -> None:
    assert found(texts, REGISTRIES, re.IGNORECASE) == []


def test_no_path_of_one_machine(texts: dict[Path, str]) -> None:
    assert found(texts, MACHINE_PATHS) == []


def test_no_word_on_how_it_was_made(texts: dict[Path, str]) -> None:
    assert found(texts, MAKING_OF, re.IGNORECASE) == []


def test_requirements_hold_no_addresses(texts: dict[Path, str]) -> None:
    requirements = {path: text for path, text in texts.items() if path.parts[0] == "requirements"}
    assert requirements
    assert found(requirements, [r"\w+://", r"@ ?file:", r"^-[-\w]+ "]) == []


def test_the_patterns_find_what_they_should() -> None:
    sample = {
        "a": "see https://pypi" + ".org/project",
        "b": "in /ho" + "me/baker/bread.yaml",
        "c": "as the trans" + "cript says",
    }
    hits = found(sample, [*REGISTRIES, *MACHINE_PATHS, *MAKING_OF])
    assert [hit[0] for hit in hits] == ["a", "b", "c"]

"""The catalogue, its page in the reference and the program say the same."""

import re
import string
from pathlib import Path
from typing import Any

import pytest

from doughwright.errors import Notice, catalogue
from doughwright.render.messages import remedy, words

CODES = sorted(catalogue())


def notice(code: str) -> Notice:
    return Notice.of(code, **catalogue()[code].sample)


def test_every_message_has_its_anchor_and_every_anchor_its_message(root: Path) -> None:
    page = (root / "docs/reference/messages.md").read_text("utf-8")
    assert sorted(re.findall(r"^\((.+)\)=$", page, flags=re.MULTILINE)) == CODES


@pytest.mark.parametrize("code", CODES)
def test_a_message_can_be_said(code: str) -> None:
    said = words(notice(code))
    assert said.strip()
    assert not re.search(r"\bnan\b|\[\w+\]", f"{said} {remedy(notice(code))}")


@pytest.mark.parametrize("code", CODES)
def test_a_sample_gives_what_the_words_need(code: str) -> None:
    entry = catalogue()[code]
    fields = string.Formatter().parse(entry.template + entry.remedy)
    assert {name for _, name, _, _ in fields if name} <= entry.sample.keys()


@pytest.mark.parametrize("code", CODES)
def test_a_message_has_a_weight_and_its_words_end(code: str) -> None:
    entry = catalogue()[code]
    assert entry.weight in {"note", "care", "stop"}
    assert entry.template.rstrip()[-1] in ".?!"
    assert not entry.remedy or entry.remedy.rstrip()[-1] in ".?!"


def test_every_message_is_given_somewhere(modules: list[Any]) -> None:
    program = "\n".join(module.text for module in modules)
    assert [code for code in CODES if f'"{code}"' not in program] == []


def test_an_unknown_code_is_refused_at_once() -> None:
    with pytest.raises(KeyError, match="no-such-code"):
        Notice.of("no-such-code")

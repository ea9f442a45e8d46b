"""Cards and plans as tagged PDF (PDF/UA-1): the same bytes for the same sheet, whenever made.

Words are made here; what is in ``typst/`` only lays them out. Fonts are those that come with
the typesetter, so a page looks alike on every machine.
"""

import json
from dataclasses import asdict
from functools import cache
from importlib.resources import as_file, files
from typing import Any, Literal

from doughwright.render.card_parts import written_card
from doughwright.render.parts import Written
from doughwright.render.plan_parts import written_plan
from doughwright.render.templating import unbroken
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.card import CardSheet

STANDARD: Literal["ua-1"] = "ua-1"
"""Tagged for screen readers, checked by the typesetter: a heading skipped is an error."""

NOT_TYPESET = frozenset({"svg", "kind", "key", "language"})
"""What is no text to read: no blank in it is made unbreakable."""


def card_pdf(card: CardSheet) -> bytes:
    """A card as PDF."""
    return typeset(written_card(card), "card")


def plan_pdf(plan: BenchPlan) -> bytes:
    """A bench plan as PDF."""
    return typeset(written_plan(plan), "plan")


def typeset(written: Written, layout: str) -> bytes:
    """A written sheet, laid out by one of the layouts in ``typst/``."""
    return _compiled(json.dumps(_held(asdict(written)), ensure_ascii=False), layout)


@cache
def _folder() -> Any:
    return files("doughwright.render") / "typst"


def _compiled(data: str, layout: str) -> bytes:
    # a compiled extension of some size: only those who ask for a PDF load it
    import typst  # noqa: PLC0415

    with as_file(_folder()) as folder:
        made = typst.compile(
            str(folder / f"{layout}.typ"),
            root=str(folder),
            sys_inputs={"data": data},
            ignore_system_fonts=True,
            pdf_standards=STANDARD,
        )
    assert isinstance(made, bytes)
    return made


def _held(tree: Any, key: str = "") -> Any:
    """The same tree with no line to end between a number and its unit."""
    if isinstance(tree, dict):
        return {name: _held(value, name) for name, value in tree.items()}
    if isinstance(tree, list | tuple):
        return [_held(value, key) for value in tree]
    return unbroken(tree) if isinstance(tree, str) and key not in NOT_TYPESET else tree

"""Every model says what it rests on and how far it may be trusted."""

import math
import re
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

from doughwright.engine import properties
from doughwright.sources import UNSOURCED, ModelCard

ROOT = Path(__file__).parents[2]


def generator() -> ModuleType:
    spec = spec_from_file_location("generate", ROOT / "docs/generate.py")
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


CARDS = generator().model_cards()
each_card = pytest.mark.parametrize("card", CARDS, ids=lambda card: card.key)


def test_no_two_models_share_a_key() -> None:
    keys = [card.key for card in CARDS]
    assert len(keys) == len(set(keys))


@each_card
def test_a_card_says_what_how_wrong_and_how_that_is_known(card: ModelCard) -> None:
    assert re.fullmatch(r"[a-z][a-z0-9-]*", card.key)
    assert card.name
    assert card.predicts
    assert card.expected_error
    assert card.known_from


@each_card
def test_a_card_cites_sources_that_exist(card: ModelCard) -> None:
    assert card.sources
    assert set(card.sources) <= properties.known_sources().keys() | UNSOURCED


@each_card
def test_a_card_bounds_each_input(card: ModelCard) -> None:
    assert card.inputs
    for name, allowed in card.inputs.items():
        assert allowed.low <= allowed.high, name
        assert math.isfinite(allowed.low), name
        assert not math.isnan(allowed.high), name
        assert allowed.unit, name
        assert allowed.beyond in {"notice", "refuse"}, name


def test_every_card_has_its_anchor_and_every_anchor_its_card() -> None:
    page = (ROOT / "docs/science/model-cards.md").read_text("utf-8")
    anchors = re.findall(r"^\((.+)\)=$", page, flags=re.MULTILINE)
    assert sorted(anchors) == sorted(card.key for card in CARDS)

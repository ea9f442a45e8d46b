"""Where a sheet's numbers come from: the models behind it, how far off they may be."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from doughwright.engine.anchoring import ANCHORING
from doughwright.engine.baking import BAKING
from doughwright.engine.chilling import CHILLING
from doughwright.engine.classic_rule import CLASSIC_RULE
from doughwright.engine.cooling import COOLING
from doughwright.engine.doneness import DONENESS
from doughwright.engine.fermentation import FERMENTATION
from doughwright.engine.food_history import COURSE
from doughwright.engine.mixing import MIXING
from doughwright.engine.nutrition import AS_SOLD
from doughwright.engine.oven import OVEN_HEAT_TRANSFER, OVEN_SETTINGS
from doughwright.engine.pathogens import GROWTH, LETHALITY
from doughwright.engine.properties import known_sources
from doughwright.engine.rise import RISE
from doughwright.sources import ModelCard, Source

CARDS: Mapping[str, ModelCard] = MappingProxyType(
    {
        card.key: card
        for card in (
            MIXING,
            CHILLING,
            CLASSIC_RULE,
            COOLING,
            FERMENTATION,
            RISE,
            ANCHORING,
            BAKING,
            DONENESS,
            OVEN_SETTINGS,
            OVEN_HEAT_TRANSFER,
            AS_SOLD,
            COURSE,
            GROWTH,
            LETHALITY,
        )
    }
)
"""Model cards by the names a sheet lists under ``models``."""


@dataclass(frozen=True, slots=True)
class ModelRow:
    """One model: what it predicts, how far off it may be, how that is known, on what it rests."""

    name: str
    predicts: str
    expected_error: str
    known_from: str
    sources: tuple[Source, ...]


def model_rows(names: Iterable[str]) -> tuple[ModelRow, ...]:
    """The models of a sheet, in the order it lists them."""
    return tuple(_row(CARDS[name]) for name in names)


def _row(card: ModelCard) -> ModelRow:
    known = known_sources()
    return ModelRow(
        name=card.name,
        predicts=card.predicts,
        expected_error=card.expected_error,
        known_from=card.known_from,
        sources=tuple(known.get(key, Source(key, key, "")) for key in card.sources),
    )

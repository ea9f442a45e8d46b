"""What a formula is in a kitchen once its rises are settled."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from doughwright.engine.anchoring import Anchor
from doughwright.engine.kitchens import Band
from doughwright.errors import Notice
from doughwright.resolving.mixes import Mix
from doughwright.resolving.process import TimedStep
from doughwright.resolving.stages import Staged
from doughwright.units import Kelvin, Ratio, Second


@dataclass(frozen=True, slots=True)
class Rise:
    """One waiting step of the dough in this kitchen.

    ``time`` is None when the goal is not reached; ``usable`` is from when to when the stage
    may end (None: still rising at the limit). Curves are over the stage's own start, in s,
    K and times the volume at the start.
    """

    position: int
    kind: str
    time: Band | None
    usable: tuple[Second, Second | None]
    start: Kelvin
    end: Band
    size: Band
    times: tuple[Second, ...]
    temperatures: tuple[Kelvin, ...]
    sizes: tuple[Ratio, ...]
    assumed_goal: bool


@dataclass(frozen=True, slots=True)
class Settled:
    """A formula in a kitchen, settled: steps with their times, mixes, rises.

    ``anchored`` says whether the times are the baker's own moved; ``delay`` is how much
    longer the dough's first rise takes when nothing is done about its temperature;
    ``loaded`` is how warm the dough goes into the oven; ``there`` is the same where the times
    were noted, at the document's own size.
    """

    steps: tuple[TimedStep, ...]
    mixed: Mapping[str, Mix]
    rises: tuple[Rise, ...]
    anchor: Anchor | None
    delay: Second | None
    notices: tuple[Notice, ...] = field(default=())
    loaded: Kelvin | None = None
    there: "Settled | None" = None

    @property
    def anchored(self) -> bool:
        """Whether the baker's own times were there to be moved."""
        return self.anchor is not None


@dataclass(frozen=True, slots=True)
class Setting:
    """A formula's stages in one kitchen, its mixes settled with its preferment."""

    steps: tuple[TimedStep, ...]
    mixed: Mapping[str, Mix]
    staged: Staged | None

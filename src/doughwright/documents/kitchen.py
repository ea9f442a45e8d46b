"""The document ``kitchen/1``: where the bread is made."""

from typing import Literal

from pydantic import Field

from doughwright.documents.formula import Tap
from doughwright.documents.scalars import (
    Count,
    Duration,
    EnergyPrice,
    IngredientPrice,
    Length,
    Mass,
    MixingPower,
    Name,
    Power,
    Size,
    Strict,
    Temperature,
    TemperatureStep,
    Wage,
    Words,
    one_of,
)


class OvenDocument(Strict):
    """The oven: its kind, trays, how its dial reads and how fast it heats."""

    kind: one_of("fan", "conventional", "gas") = "fan"  # type: ignore[valid-type]  # made from words
    trays: Count | None = None
    tray: Size | None = None
    reads: TemperatureStep | None = None
    heats_in: Duration | None = Field(default=None, alias="heats in")
    power: Power | None = None


class ScaleDocument(Strict):
    """The kitchen scale's smallest step, and that of a fine scale for small things."""

    reads: Mass | None = None
    fine: Mass | None = None


class KitchenDocument(Strict):
    """A kitchen as a baker describes it."""

    doughwright: Literal["kitchen/1"]
    name: Name
    room: Temperature | None = None
    fridge: Temperature | None = None
    freezer: Temperature | None = None
    proofer: Temperature | None = None
    flour: Temperature | None = None
    tap: Tap | None = None
    altitude: Length | None = None
    bowl: one_of("steel", "ceramic", "plastic") | None = None  # type: ignore[valid-type]  # words
    mixer: dict[str, MixingPower] = Field(default_factory=dict)
    oven: OvenDocument | None = None
    scale: ScaleDocument | None = None
    codes: one_of("eu", "uk", "us") | None = None  # type: ignore[valid-type]  # made from words
    currency: Words | None = None
    energy: EnergyPrice | None = None
    labour: Wage | None = None
    may_contain: list[Words] = Field(default_factory=list, alias="may contain")
    prices: dict[str, IngredientPrice] = Field(default_factory=dict)
    note: Words | None = None

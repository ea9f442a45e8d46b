"""A kitchen with its gaps filled, and the kitchen a formula was tested in."""

from collections.abc import Callable

import pytest

from doughwright.documents.formula import TestedIn
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Reading
from doughwright.errors import DocumentError
from doughwright.resolving import kitchens
from doughwright.resolving.kitchens import Kitchen, kitchen_from, with_changes
from doughwright.units import ICE_POINT

Read = Callable[[str], Reading]

HARBOUR_LANE = """
doughwright: kitchen/1
name: Harbour Lane community kitchen
room: 70 °F
fridge: 5 °C
tap: {cold: 12 °C}
altitude: 1000 ft
mixer: {Hand: 1.0 °C, stand mixer: 20 W/kg}
oven: {kind: fan, trays: 2, tray: 38 x 32 cm, reads: +9 °F, heats in: 15 min, power: 2.4 kW}
scale: {reads: 1 g, fine: 0.1 g}
codes: UK
currency: GBP
"""


@pytest.fixture(scope="module")
def kitchen(read: Read) -> Kitchen:
    document = read(HARBOUR_LANE).document
    assert isinstance(document, KitchenDocument)
    return kitchen_from(document)


def test_what_is_said_is_taken(kitchen: Kitchen) -> None:
    assert kitchen.room == pytest.approx(294.261, abs=0.001)  # 70 °F
    assert kitchen.altitude == pytest.approx(304.8)
    assert (kitchen.codes, kitchen.currency, kitchen.bowl) == ("UK", "GBP", "steel")
    assert kitchen.oven.reads == pytest.approx(5.0)
    assert (kitchen.oven.heats_in, kitchen.oven.power, kitchen.oven.trays) == (900.0, 2400.0, 2)
    assert (kitchen.scale.reads, kitchen.scale.fine) == pytest.approx((0.001, 0.0001))


def test_warming_and_power_are_told_apart(kitchen: Kitchen) -> None:
    assert kitchen.mixers["hand"].warming == 1.0
    assert kitchen.mixers["hand"].power is None
    assert kitchen.mixers["stand mixer"].power == 20.0
    assert kitchen.mixers["stand mixer"].warming is None


def test_what_is_not_said_is_assumed_and_remembered(kitchen: Kitchen) -> None:
    assert kitchen.assumed == {"freezer", "proofer", "flour", "tap_hot"}
    assert kitchen.flour == kitchen.room
    assert kitchen.freezer == pytest.approx(ICE_POINT - 18)


def test_no_kitchen_at_all_is_an_ordinary_one() -> None:
    ordinary = kitchen_from(None)
    assert ordinary.room == pytest.approx(ICE_POINT + 21)
    assert {"room", "fridge", "oven_heats_in", "scale_reads", "altitude"} <= ordinary.assumed
    assert (ordinary.oven.kind, ordinary.oven.reads, ordinary.scale.fine) == (
        "conventional",
        None,
        None,
    )
    assert (ordinary.codes, ordinary.currency) == ("EU", "EUR")


@pytest.mark.parametrize(
    ("said", "code", "where"),
    [
        ("room: 70 °C", "not-in-a-kitchen", ("room",)),
        ("room: -11 °C", "not-in-a-kitchen", ("room",)),
        ("fridge: 41 °C", "not-in-a-kitchen", ("fridge",)),
        ("fridge: -18 °C", "not-in-a-kitchen", ("fridge",)),
        ("tap: {cold: 50 °C, hot: 12 °C}", "hot-tap-colder", ("tap", "hot")),
        ("tap: {hot: 4 °C}", "hot-tap-colder", ("tap", "hot")),
        ("tap: {cold: 60 °C}", "hot-tap-colder", ("tap", "cold")),
        ("scale: {reads: 1 g, fine: 5 g}", "fine-scale-coarser", ("scale", "fine")),
        ("mixer: {big one: 2000 W/kg}", "not-a-mixer", ("mixer", "big one")),
        ("mixer: {hand: -2 °C}", "not-a-mixer", ("mixer", "hand")),
        ("mixer: {hand: 31 °C}", "not-a-mixer", ("mixer", "hand")),
    ],
)
def test_a_figure_no_kitchen_has(read: Read, said: str, code: str, where: tuple[str, ...]) -> None:
    document = read(f"doughwright: kitchen/1\nname: x\n{said}\n").document
    assert isinstance(document, KitchenDocument)
    with pytest.raises(DocumentError) as caught:
        kitchen_from(document)
    (found,) = caught.value.problems
    assert (found.code, found.where) == (code, where)


def test_every_such_figure_at_once(read: Read) -> None:
    said = "room: 70 °C\nfridge: 41 °C\nmixer: {hand: 90 °F}"
    document = read(f"doughwright: kitchen/1\nname: x\n{said}\n").document
    assert isinstance(document, KitchenDocument)
    with pytest.raises(DocumentError) as caught:
        kitchen_from(document)
    assert [p.where[0] for p in caught.value.problems] == ["room", "fridge", "mixer"]


def test_the_ends_of_what_a_kitchen_may_be_are_kitchens(read: Read) -> None:
    said = "room: -10 °C\nfridge: 15 °C\nmixer: {a: 400 W/kg, b: 30 °C, c: 0 °C}\n"
    said += "tap: {cold: 20 °C, hot: 20 °C}\nscale: {reads: 1 g, fine: 1 g}"
    document = read(f"doughwright: kitchen/1\nname: x\n{said}\n").document
    assert isinstance(document, KitchenDocument)
    assert kitchen_from(document).room == pytest.approx(ICE_POINT - 10)


def test_a_room_asked_for_or_tested_in_is_held_to_the_same(kitchen: Kitchen) -> None:
    with pytest.raises(DocumentError) as asked:
        with_changes(kitchen, room=ICE_POINT + 70)
    assert [p.where for p in asked.value.problems] == [("room",)]
    tested = TestedIn.model_validate({"room": "22 °F", "fridge": "40 °C"})
    with pytest.raises(DocumentError) as seen:
        kitchens.tested_kitchen(kitchen, tested)
    assert [p.where for p in seen.value.problems] == [("tested in", "fridge")]


def test_places_a_baker_names(kitchen: Kitchen) -> None:
    assert kitchen.temperature_of("fridge") == kitchen.fridge == ICE_POINT + 5
    assert kitchen.temperature_of("tap") == kitchen.tap_cold
    assert kitchen.temperature_of("room") == kitchen.room


def test_flour_of_no_stated_temperature_follows_the_room(kitchen: Kitchen) -> None:
    warm = with_changes(kitchen, room=301.15)
    assert (warm.room, warm.flour) == (301.15, 301.15)
    assert "flour" in warm.assumed
    cold_flour = with_changes(kitchen, flour=278.15)
    assert (cold_flour.room, cold_flour.flour) == (kitchen.room, 278.15)


def test_flour_of_stated_temperature_stays(kitchen: Kitchen) -> None:
    stated = kitchen_from(
        KitchenDocument.model_validate(
            {"doughwright": "kitchen/1", "name": "x", "room": "21 °C", "flour": "15 °C"}
        )
    )
    assert with_changes(stated, room=301.15).flour == pytest.approx(ICE_POINT + 15)
    assert kitchen.flour != stated.flour


def test_what_is_changed_is_no_longer_assumed(kitchen: Kitchen) -> None:
    assert "proofer" not in with_changes(kitchen, proofer=303.15).assumed
    assert "room" not in with_changes(kitchen_from(None), room=303.15).assumed


def test_the_tested_kitchen_takes_the_rest_from_the_one_at_hand(kitchen: Kitchen) -> None:
    tested = TestedIn.model_validate({"room": "22 °C", "fridge": "4 °C"})
    found = kitchens.tested_kitchen(kitchen, tested)
    assert (found.room, found.fridge) == pytest.approx((ICE_POINT + 22, ICE_POINT + 4))
    assert (found.tap_cold, found.bowl) == (kitchen.tap_cold, kitchen.bowl)
    assert found.altitude == 0.0  # not the mountain kitchen's: it would have said so
    assert found.name != kitchen.name
    assert kitchens.tested_kitchen(kitchen, None) is kitchen


def test_what_a_test_notes_is_not_assumed_and_what_it_does_not_is() -> None:
    tested = TestedIn.model_validate({"room": "22 °C", "flour": "21 °C"})
    found = kitchens.tested_kitchen(kitchen_from(None), tested)
    assert not {"room", "flour"} & found.assumed
    assert {"fridge", "altitude"} <= found.assumed

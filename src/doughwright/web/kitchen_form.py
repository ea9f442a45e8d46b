"""Every field of a kitchen, under the headings a baker would look for them."""

from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.reading import Document
from doughwright.resolving.kitchens import kitchen_from
from doughwright.web.fields import Field, Group, Pairs

WARM = "°C or °F"

GROUPS = (
    Group(
        "What it is",
        (
            Field(("name",), "What the kitchen is called"),
            Field(("note",), "Note", long=True),
        ),
    ),
    Group(
        "How warm it is",
        (
            Field(("room",), "The room", f"in {WARM}; in a range, 20–22 °C", "°C"),
            Field(("flour",), "The flour", f"in {WARM}; empty: as warm as the room", "°C"),
            Field(("tap", "cold"), "Cold water from the tap", f"in {WARM}", "°C"),
            Field(("tap", "hot"), "Hot water from the tap", f"in {WARM}", "°C"),
            Field(("fridge",), "The fridge", f"in {WARM}", "°C"),
            Field(("freezer",), "The freezer", f"in {WARM}", "°C"),
            Field(("proofer",), "The proofing box", f"in {WARM}; empty if there is none", "°C"),
            Field(("altitude",), "Height above the sea", "in m or ft", "m"),
        ),
    ),
    Group(
        "Bowls and mixers",
        (
            Field(("bowl",), "What the bowl is made of", choices=("steel", "ceramic", "plastic")),
            Pairs(
                ("mixer",),
                "Mixers",
                "The mixer",
                "How it warms a dough",
                "in °C over a whole mix, or in W/kg of dough",
                "°C",
            ),
        ),
    ),
    Group(
        "The oven",
        (
            Field(("oven", "kind"), "Its kind", choices=("fan", "conventional", "gas")),
            Field(("oven", "trays"), "How many trays fit at once"),
            Field(("oven", "tray"), "A tray", "length x width in cm"),
            Field(("oven", "reads"), "Hotter than its dial by", "in °C; −5 °C if cooler", "°C"),
            Field(
                (
                    "oven",
                    "heats in",
                ),
                "Heats up in",
                "in min",
                "min",
            ),
            Field(("oven", "power"), "Its power", "in kW", "kW"),
        ),
    ),
    Group(
        "Scales",
        (
            Field(("scale", "reads"), "The scale’s smallest step", "in g", "g"),
            Field(("scale", "fine"), "A fine scale’s smallest step", "in g", "g"),
        ),
    ),
    Group(
        "Rules, and what gets in by chance",
        (
            Field(("codes",), "Rules for food and labels", choices=("EU", "UK", "US")),
            Field(
                ("may contain",),
                "What could get into any bread here",
                "for the label; commas between: sesame, walnuts",
                many=True,
            ),
        ),
    ),
    Group(
        "What things cost",
        (
            Field(("currency",), "Currency", "three letters: EUR, GBP, USD"),
            Field(("energy",), "Energy", "such as 0.30 EUR/kWh"),
            Field(("labour",), "An hour of work", "such as 15 EUR/h"),
            Pairs(
                ("prices",),
                "Ingredients",
                "What it is",
                "What it costs",
                "by weight, volume or piece: 1.10 EUR/kg, 3.20 EUR/10 large",
                suggests="known-ingredients",
                spare=3,
            ),
        ),
    ),
)


def check(document: Document) -> None:
    """Refuse a kitchen that cannot be, with every figure that no kitchen has.

    Raises
    ------
    DocumentError
        Their paths lead into the document.
    """
    if isinstance(document, KitchenDocument):
        kitchen_from(document)

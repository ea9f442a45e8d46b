"""The scalars of a document as pydantic types: text in, parsed value, the same text out."""

import difflib
import re
from collections.abc import Callable, Iterable
from typing import Annotated, Any, Literal

from pydantic import (
    BaseModel,
    ConfigDict,
    PlainSerializer,
    PlainValidator,
    WithJsonSchema,
)
from pydantic_core import PydanticCustomError

from doughwright.documents.names import is_seen
from doughwright.documents.prices import PRICE_EXAMPLES, NotAPrice, Price, price, price_examples
from doughwright.documents.quantities import EXAMPLES, NotAQuantity, Quantity, quantity


class Strict(BaseModel):
    """A part of a document: unknown keys are refused, values do not change."""

    model_config = ConfigDict(
        extra="forbid",
        frozen=True,
        arbitrary_types_allowed=True,
        defer_build=True,  # a reader of formulas need not wait for the other documents' validators
    )


def refusal(code: str, **values: object) -> PydanticCustomError:
    """Return one of our own messages as pydantic carries it."""
    return PydanticCustomError("doughwright", "{code}", {"code": code, **values})


def nearest(word: str, allowed: Iterable[str]) -> str:
    """Return the known word most like the one read, or nothing."""
    known = {name.casefold(): name for name in allowed}
    close = difflib.get_close_matches(str(word).casefold(), known, n=1, cutoff=0.6)
    return known[close[0]] if close else ""


LONGEST_TIME = 31 * 86400.0
"""No step of a bread takes longer than a month, in s (assumption)."""


def reader(
    *dimensions: str, positive: bool = False, below_whole: bool = False, to_whole: bool = False
) -> Callable[[Any], Quantity]:
    """Return the function that reads a scalar of one of the dimensions."""

    def read(value: Any) -> Quantity:  # a scalar as YAML or JSON gives it
        if isinstance(value, Quantity):
            return value
        if not isinstance(value, str):
            raise refusal("not-a-scalar", read=str(value), allowed=_examples(dimensions))
        try:
            found = quantity(value, *dimensions)
        except NotAQuantity as error:
            raise refusal(error.code, read=value, allowed=error.allowed) from None
        if positive and found.low <= 0:
            raise refusal("not-above-zero", read=value, allowed=_examples(dimensions))
        if below_whole and found.high >= 1:
            raise refusal("not-below-whole", read=value, allowed="2 %")
        if found.dimension == "duration" and found.high > LONGEST_TIME:
            raise refusal("too-long-a-time", read=value, allowed=_examples(dimensions))
        if to_whole and found.high > 1:
            raise refusal("more-than-whole", read=value, allowed=_examples(dimensions))
        return found

    return read


def _examples(dimensions: Iterable[str]) -> str:
    return "; ".join(EXAMPLES[d] for d in dimensions)


def _text(*dimensions: str, **bounds: bool) -> tuple[Any, ...]:
    examples = [e for d in dimensions for e in EXAMPLES[d].split(", ")]
    schema = {"type": "string", "title": " or ".join(dimensions), "examples": examples}
    return (
        PlainValidator(reader(*dimensions, **bounds)),
        PlainSerializer(str, return_type=str),
        WithJsonSchema(schema),
    )


Temperature = Annotated[Quantity, *_text("temperature")]
TemperatureStep = Annotated[Quantity, *_text("temperature difference")]
Mass = Annotated[Quantity, *_text("mass", positive=True)]
Percent = Annotated[Quantity, *_text("percent")]
Spare = Annotated[Quantity, *_text("percent", below_whole=True)]
Share = Annotated[Quantity, *_text("percent", positive=True, to_whole=True)]
Volume = Annotated[Quantity, *_text("volume", positive=True)]
Duration = Annotated[Quantity, *_text("duration")]
Length = Annotated[Quantity, *_text("length")]
Power = Annotated[Quantity, *_text("power")]
MixingPower = Annotated[Quantity, *_text("temperature difference", "specific power")]
LineAmount = Annotated[Quantity, *_text("percent", "mass", "parts", "volume", "count")]
ShareOrMass = Annotated[Quantity, *_text("percent", "mass", positive=True)]


def _price_of(*dimensions: str) -> tuple[Any, ...]:
    """Make the type of a price of something of one of the dimensions."""

    def read(value: Any) -> Price:
        if isinstance(value, Price):
            return value
        if not isinstance(value, str):
            raise refusal("not-a-price", read=str(value), allowed=price_examples(dimensions))
        try:
            return price(value, *dimensions)
        except NotAPrice as error:
            raise refusal(error.code, read=value, allowed=error.allowed) from None

    examples = [e for d in dimensions for e in PRICE_EXAMPLES[d].split(", ")]
    return (
        PlainValidator(read),
        PlainSerializer(str, return_type=str),
        WithJsonSchema({"type": "string", "title": "price", "examples": examples}),
    )


IngredientPrice = Annotated[Price, *_price_of("mass", "volume", "count")]
EnergyPrice = Annotated[Price, *_price_of("energy")]
Wage = Annotated[Price, *_price_of("duration")]


def _count(value: Any) -> int:
    text = str(value)
    if not re.fullmatch("[0-9]{1,6}", text) or int(text) < 1:
        raise refusal("not-a-count", read=text, allowed="a whole number from 1, such as 8")
    return int(text)


Count = Annotated[
    int,
    PlainValidator(_count),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "pattern": "^[0-9]+$"}),
]


def _yes_or_no(value: Any) -> bool:
    if isinstance(value, bool):
        return value
    if str(value).casefold() not in {"yes", "no"}:
        raise refusal("not-yes-or-no", read=str(value), allowed="yes, no")
    return str(value).casefold() == "yes"


YesNo = Annotated[
    bool,
    PlainValidator(_yes_or_no),
    PlainSerializer(lambda value: "yes" if value else "no", return_type=str),
    WithJsonSchema({"type": "string", "enum": ["yes", "no"]}),
]


def one_of(*words: str) -> Any:
    """Return the type of a scalar that must be one of some words."""

    def read(value: Any) -> str:
        text = " ".join(str(value).casefold().split())
        if text not in words:
            raise refusal(
                "unknown-word", read=str(value), allowed=", ".join(words), like=nearest(text, words)
            )
        return text

    return Annotated[
        str, PlainValidator(read), WithJsonSchema({"type": "string", "enum": list(words)})
    ]


def _words(value: Any) -> str:
    if not isinstance(value, str) or not value.strip():
        raise refusal("no-text", read=str(value or ""), allowed="some words")
    return value


Words = Annotated[str, PlainValidator(_words), WithJsonSchema({"type": "string"})]


def _name(value: Any) -> str:
    words = _words(value)
    if not is_seen(words):
        raise refusal("nothing-to-see", read=words)
    return words


Name = Annotated[str, PlainValidator(_name), WithJsonSchema({"type": "string"})]
"""What a document is called: it stands in lists, and there it has to be seen."""


def _country(value: Any) -> str:
    if not re.fullmatch("[A-Za-z]{2}", str(value)):
        raise refusal("not-a-country", read=str(value), allowed="two letters of ISO 3166-1: LV, GB")
    return str(value).upper()


Country = Annotated[
    str, PlainValidator(_country), WithJsonSchema({"type": "string", "pattern": "^[A-Z]{2}$"})
]

FRIDGE_WORDS = ("room", "fridge", "freezer", "proofer", "tap")
Kept = one_of("room", "fridge", "freezer", "tap")


def _somewhere(value: Any) -> str | Quantity:
    if isinstance(value, Quantity):
        return value
    text = " ".join(str(value).casefold().split())
    if text in FRIDGE_WORDS:
        return text
    try:
        return quantity(str(value), "temperature")
    except NotAQuantity as error:
        raise refusal(
            "not-a-place" if error.code == "not-a-quantity" else error.code,
            read=str(value),
            allowed=f"{', '.join(FRIDGE_WORDS)}; {EXAMPLES['temperature']}",
            like=nearest(text, FRIDGE_WORDS),
        ) from None


Somewhere = Annotated[
    str | Quantity,
    PlainValidator(_somewhere),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["room", "fridge", "28 °C"]}),
]

OvenKind = Literal["fan", "conventional", "gas"]
_GAS = re.compile(r"gas(?: mark)? ([1-9]|10|¼|½|1/4|1/2)")


class OvenSetting:
    """An oven's dial as written: a temperature with its kind, or a gas mark."""

    __slots__ = ("kind", "mark", "temperature", "text")

    def __init__(
        self, text: str, kind: OvenKind | None, temperature: Quantity | None, mark: str
    ) -> None:
        """Keep the words and what they mean."""
        self.text, self.kind, self.temperature, self.mark = text, kind, temperature, mark

    def __str__(self) -> str:
        """Return the author's words."""
        return self.text

    def __eq__(self, other: object) -> bool:
        """Two settings are equal when their words are."""
        return isinstance(other, OvenSetting) and self.text == other.text

    def __hash__(self) -> int:
        """Hash the words."""
        return hash(self.text)


def _oven_setting(value: Any) -> OvenSetting:
    if isinstance(value, OvenSetting):
        return value
    text = " ".join(str(value).casefold().split())
    gas = _GAS.fullmatch(text)
    if gas:
        return OvenSetting(str(value), "gas", None, gas.group(1))
    temperature, _, kind = text.rpartition(" ")
    kinds: dict[str, OvenKind] = {"fan": "fan", "conventional": "conventional"}
    if kind not in kinds:
        temperature, kind = text, ""
    try:
        read = quantity(temperature, "temperature")
    except NotAQuantity as error:
        allowed = "165 °C fan; 190 °C conventional; gas mark 5"
        raise refusal(error.code, read=str(value), allowed=allowed) from None
    return OvenSetting(str(value), kinds.get(kind), read, "")


def read_oven(text: str) -> OvenSetting | None:
    """An oven's setting as a baker writes it; None where it is none."""
    try:
        return _oven_setting(text)
    except PydanticCustomError:
        return None


Oven = Annotated[
    OvenSetting,
    PlainValidator(_oven_setting),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["165 °C fan", "gas mark 5"]}),
]


def _until(value: Any) -> str | Quantity:
    if isinstance(value, Quantity):
        return value
    text = " ".join(str(value).casefold().split())
    if text in {"ripe", "double"}:
        return text
    try:
        return quantity(str(value), "factor", "duration")
    except NotAQuantity as error:
        raise refusal(
            error.code,
            read=str(value),
            allowed="ripe; double; 1.8x; 50 min",
            like=nearest(text, ("ripe", "double")),
        ) from None


Until = Annotated[
    str | Quantity,
    PlainValidator(_until),
    PlainSerializer(str, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["ripe", "double", "1.8x", "50 min"]}),
]


def _tray(value: Any) -> tuple[Quantity, Quantity]:
    if isinstance(value, tuple):
        return value
    ends = re.split(r"\s*[x×]\s*", str(value))
    try:
        unit = re.sub(r"[\d.\s]", "", ends[-1])
        long, wide = (
            quantity(e if re.search(r"[^\d.\s]", e) else f"{e} {unit}", "length") for e in ends
        )
    except (NotAQuantity, ValueError):
        raise refusal("not-a-size", read=str(value), allowed="38 x 32 cm") from None
    return long, wide


def _tray_text(value: tuple[Quantity, Quantity]) -> str:
    return f"{value[0].text} x {value[1].text}"


Size = Annotated[
    tuple[Quantity, Quantity],
    PlainValidator(_tray),
    PlainSerializer(_tray_text, return_type=str),
    WithJsonSchema({"type": "string", "examples": ["38 x 32 cm"]}),
]


def _tin(value: Any) -> Quantity | tuple[Quantity, Quantity]:
    if isinstance(value, Quantity | tuple):
        return value
    try:
        return quantity(str(value), "volume")
    except NotAQuantity:
        return _tray(value)


TinSize = Annotated[
    Quantity | tuple[Quantity, Quantity],
    PlainValidator(_tin),
    PlainSerializer(
        lambda v: str(v) if isinstance(v, Quantity) else _tray_text(v), return_type=str
    ),
    WithJsonSchema({"type": "string", "examples": ["1.4 l", "26 x 12 cm"]}),
]

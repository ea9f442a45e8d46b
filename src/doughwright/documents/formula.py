"""The document ``formula/1``: what a bread is made of and how it is made."""

from typing import Any, Literal

from pydantic import (
    Field,
    SerializerFunctionWrapHandler,
    model_serializer,
    model_validator,
)

from doughwright.documents.scalars import (
    Count,
    Country,
    Duration,
    IngredientPrice,
    Kept,
    Length,
    LineAmount,
    Mass,
    Name,
    Oven,
    Percent,
    Share,
    ShareOrMass,
    Size,
    Somewhere,
    Spare,
    Strict,
    Temperature,
    TinSize,
    Until,
    Volume,
    Words,
    YesNo,
    nearest,
    one_of,
    refusal,
)

PreparationKind = Literal["preferment", "soaker", "dough", "filling", "glaze", "topping"]
KINDS = ("preferment", "soaker", "dough", "filling", "glaze", "topping")

FERMENTING = frozenset({"ferment", "proof", "retard"})
"""Steps in which the yeast works and nobody does."""

PASSIVE = FERMENTING | {"rest", "soak", "bake", "cool"}
"""Steps that run by themselves."""

_TIMED = frozenset({"for", "took", "cue", "note"})
_RISING = _TIMED | {"until", "at", "cover"}
STEP_KEYS: dict[str, frozenset[str]] = {
    "mix": _TIMED | {"by", "during"},
    "ferment": _RISING,
    "fold": _TIMED,
    "punch": _TIMED,
    "divide": _TIMED | {"pieces"},
    "pre-shape": _TIMED,
    "rest": _TIMED | {"at"},
    "shape": _TIMED | {"form"},
    "proof": _RISING,
    "retard": _RISING,
    "fill": _TIMED,
    "glaze": _TIMED,
    "top": _TIMED,
    "make": _TIMED | {"keep", "during"},
    "cook": _TIMED | {"keep", "during"},
    "soak": _TIMED | {"at", "until"},
    "preheat": _TIMED | {"oven", "during"},
    "bake": _TIMED | {"oven", "then", "core", "steam"},
    "cool": _TIMED | {"at"},
}
"""The verbs of a process and the keys each may carry."""


class Line(Strict):
    """One ingredient of a preparation; a plain amount may stand for ``{amount: …}``."""

    amount: LineAmount
    at: Temperature | None = None
    kept: Kept | None = None
    flour: YesNo | None = None
    hydration: Percent | None = None
    note: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _amount_alone(cls, value: Any) -> Any:
        return value if isinstance(value, dict | Line) else {"amount": value}

    @model_serializer(mode="wrap")
    def _as_written(self, handler: SerializerFunctionWrapHandler) -> Any:
        body = handler(self)
        written = {key: value for key, value in body.items() if value is not None}
        return written["amount"] if set(written) == {"amount"} else written


class Use(Strict):
    """How much of another preparation goes in: all of it, a share or a weight."""

    share: ShareOrMass | None = None
    at: Temperature | None = None

    @model_validator(mode="before")
    @classmethod
    def _share_alone(cls, value: Any) -> Any:
        return value if isinstance(value, dict | Use) else {"share": value}

    @model_serializer(mode="wrap")
    def _as_written(self, handler: SerializerFunctionWrapHandler) -> Any:
        written = {key: value for key, value in handler(self).items() if value is not None}
        return written["share"] if set(written) == {"share"} else written


class Preparation(Strict):
    """A preferment, soaker, dough, filling, glaze or topping."""

    kind: one_of(*KINDS)  # type: ignore[valid-type]  # an Annotated type made from the words
    style: Words | None = None
    uses: dict[str, Use] = Field(default_factory=dict, alias="from")
    aim: Temperature | None = None
    each: Mass | None = None
    ingredients: dict[str, Line] = Field(default_factory=dict)
    note: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _names_alone(cls, value: Any) -> Any:
        if isinstance(value, dict) and isinstance(value.get("from"), list | str):
            names = value["from"] if isinstance(value["from"], list) else [value["from"]]
            if all(isinstance(name, str) for name in names):
                return {**value, "from": {name: {} for name in names}}
        return value

    @model_serializer(mode="wrap")
    def _as_written(self, handler: SerializerFunctionWrapHandler) -> Any:
        body = {k: v for k, v in handler(self).items() if v is not None and v != {}}
        uses = body.get("from")
        if uses and not any(uses.values()):
            body["from"] = list(uses)
        return body


class Yield(Strict):
    """How much to make: pieces, dough, flour or a tin's volume."""

    pieces: Count | None = None
    piece: Mass | None = None
    dough: Mass | None = None
    flour: Mass | None = None
    tin: Volume | None = None
    spare: Spare | None = None


OUTLINES = ("round", "oval", "baton", "flat", "ring", "tin")


class Form(Strict):
    """The shape of a piece as it goes into the oven, by its outline and height.

    ``round``, ``flat`` and ``ring`` by their width, ``oval`` and ``baton`` by length and width,
    a tin by its volume or its length and width.
    """

    round: Length | None = None
    oval: Size | None = None
    baton: Size | None = None
    flat: Length | None = None
    ring: Length | None = None
    tin: TinSize | None = None
    high: Length | None = None

    @model_validator(mode="before")
    @classmethod
    def _one_outline(cls, value: Any) -> Any:
        outlines = [key for key in value if key in OUTLINES] if isinstance(value, dict) else []
        if len(outlines) > 1:
            read, allowed = ", ".join(outlines), ", ".join(OUTLINES)
            raise refusal("two-outlines", key=outlines[1], read=read, allowed=allowed)
        return value


class Step(Strict):
    """One step of the process: a verb, what it is done to, and its conditions."""

    verb: str
    of: str
    by: Words | None = None
    lasts: Duration | None = Field(default=None, alias="for")
    until: Until | None = None
    took: Duration | None = None
    at: Somewhere | None = None
    cover: YesNo | None = None
    keep: Kept | None = None
    during: one_of(*sorted(PASSIVE)) | None = None  # type: ignore[valid-type]  # made from words
    form: Form | None = None
    pieces: Count | None = None
    oven: Oven | None = None
    then: Oven | None = None
    core: Temperature | None = None
    steam: YesNo | None = None
    cue: Words | None = None
    note: Words | None = None

    @model_validator(mode="before")
    @classmethod
    def _verb_first(cls, value: Any) -> Any:
        if not isinstance(value, dict):
            return value
        verbs = [key for key in value if key in STEP_KEYS]
        if len(verbs) != 1:
            raise _no_single_verb(value, verbs)
        verb = verbs[0]
        for key in value:
            if key != verb and key not in STEP_KEYS[verb]:
                allowed = sorted(STEP_KEYS[verb])
                raise refusal(
                    "unknown-key",
                    key=key,
                    read=key,
                    allowed=", ".join(allowed),
                    like=nearest(key, allowed),
                )
        if verb in FERMENTING and {"for", "until"} <= value.keys():
            raise refusal("for-and-until", key="for", read=f"{value['for']}; {value['until']}")
        rest = {key: item for key, item in value.items() if key != verb}
        return {"verb": verb, "of": value[verb], **rest}

    @model_serializer(mode="wrap")
    def _as_written(self, handler: SerializerFunctionWrapHandler) -> Any:
        body = {key: value for key, value in handler(self).items() if value is not None}
        verb, of = body.pop("verb"), body.pop("of")
        return {verb: of, **body}


def _no_single_verb(value: dict[str, Any], verbs: list[str]) -> Exception:
    code = "two-verbs" if verbs else "no-verb"
    first = next(iter(value), "")
    return refusal(
        code,
        key=verbs[1] if verbs else first,
        read=", ".join(verbs) or first,
        allowed=", ".join(STEP_KEYS),
        like="" if verbs else nearest(first, STEP_KEYS),
    )


class Tap(Strict):
    """What comes out of the tap."""

    cold: Temperature | None = None
    hot: Temperature | None = None


class TestedIn(Strict):
    """The kitchen in which the formula's own times were seen."""

    __test__ = False  # not a test, whatever pytest thinks of the name

    room: Temperature | None = None
    flour: Temperature | None = None
    fridge: Temperature | None = None
    proofer: Temperature | None = None
    tap: Tap | None = None
    oven: one_of("fan", "conventional", "gas") | None = None  # type: ignore[valid-type]  # words
    altitude: Length | None = None


class OwnIngredient(Strict):
    """The baker's own ingredient, or corrections of the table's values.

    ``edible`` is the share of what is bought that goes into the bowl: a price by weight or
    volume is for what is bought.
    """

    like: Words | None = None
    kind: Words | None = None
    flour: YesNo | None = None
    water: Percent | None = None
    fat: Percent | None = None
    saturates: Percent | None = None
    protein: Percent | None = None
    carbohydrate: Percent | None = None
    sugars: Percent | None = None
    fibre: Percent | None = None
    salt: Percent | None = None
    alcohol: Percent | None = None
    price: IngredientPrice | None = None
    edible: Share | None = None
    allergens: list[Words] | None = None
    note: Words | None = None


MOST_PREPARATIONS, MOST_LINES, MOST_STEPS, MOST_OWN = 30, 200, 100, 200
"""No bread comes near; beyond them a page would take its time over what cannot be meant."""


def excess(tree: dict[str, Any]) -> tuple[str, dict[str, object]] | None:
    """Return what there is too much of in a formula: the key it stands under, and what to say."""
    preparations = tree.get("preparations")
    inside = preparations.values() if isinstance(preparations, dict) else ()
    lines = [p.get(key) for p in inside if isinstance(p, dict) for key in ("ingredients", "from")]
    counts = (
        ("preparations", "preparations", _size(preparations), MOST_PREPARATIONS),
        ("preparations", "lines", sum(map(_size, lines)), MOST_LINES),
        ("process", "steps", _size(tree.get("process")), MOST_STEPS),
        ("ingredients", "ingredients of its own", _size(tree.get("ingredients")), MOST_OWN),
    )
    found = (
        (key, {"count": count, "what": what, "allowed": most})
        for key, what, count, most in counts
        if count > most
    )
    return next(found, None)


def _size(part: Any) -> int:
    return len(part) if isinstance(part, dict | list) else 0


class FormulaDocument(Strict):
    """A bread formula as a baker writes it."""

    doughwright: Literal["formula/1"]
    name: Name
    place: Country | None = None
    language: Words | None = None
    tags: list[Words] = Field(default_factory=list)
    note: Words | None = None
    makes: Yield | None = Field(default=None, alias="yield")
    preparations: dict[str, Preparation]
    process: list[Step] = Field(default_factory=list)
    tested_in: TestedIn | None = Field(default=None, alias="tested in")
    ingredients: dict[str, OwnIngredient] = Field(default_factory=dict)

    @model_validator(mode="before")
    @classmethod
    def _within_reason(cls, value: Any) -> Any:
        found = excess(value) if isinstance(value, dict) else None
        if found is not None:
            raise refusal("too-many", key=found[0], **found[1])
        return value

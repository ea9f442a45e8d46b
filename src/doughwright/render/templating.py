"""The one environment of all HTML pages: their templates, what they may say, how it is set."""

import re
from collections.abc import Callable, Sequence
from functools import cache
from importlib.resources import files

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup, escape

from doughwright.render import bake_phrases, food_phrases, phrases, selling_phrases, timings
from doughwright.render.messages import hint, remedy, where, words
from doughwright.render.numbers import duration_band, fine_mass, mass, percent

SAID: tuple[Callable[..., object], ...] = (
    selling_phrases.allergen_lines,
    phrases.aside,
    bake_phrases.basis,
    phrases.classic_sentence,
    bake_phrases.cut_caption,
    bake_phrases.colour_words,
    selling_phrases.cost_sums,
    bake_phrases.criterion_time,
    timings.dough_course,
    phrases.figure_value,
    food_phrases.food_findings,
    food_phrases.food_title,
    bake_phrases.goal_words,
    phrases.heading,
    bake_phrases.heat_words,
    phrases.how_warm,
    selling_phrases.ingredient_line,
    timings.instruction,
    food_phrases.kept_sentence,
    phrases.kitchen_line,
    selling_phrases.label_notes,
    timings.lasting,
    bake_phrases.last_sign,
    phrases.left_over_sentence,
    phrases.lever_sentence,
    bake_phrases.loss_band,
    bake_phrases.loss_words,
    selling_phrases.missing_sentences,
    phrases.mix_summary,
    phrases.mixed_band,
    selling_phrases.money,
    selling_phrases.nutrition_heads,
    selling_phrases.nutrition_rows,
    bake_phrases.outcome_sentence,
    bake_phrases.oven_words,
    phrases.pieces_line,
    bake_phrases.probe_sentence,
    timings.rise_basis,
    food_phrases.safety_basis,
    bake_phrases.row_name,
    timings.size_band,
    selling_phrases.sold_sentence,
    food_phrases.standing_course,
    food_phrases.standing_words,
    bake_phrases.staying_sentence,
    timings.time_of,
    timings.usable,
    bake_phrases.sizes_sentence,
    bake_phrases.wanted_sentence,
    phrases.weight,
    bake_phrases.weight_band,
    hint,
    duration_band,
    fine_mass,
    mass,
    percent,
    remedy,
    where,
    words,
)
"""What templates may say, under the name it has in Python."""


@cache
def templates() -> Environment:
    """The environment; what serves pages may lay another loader over it."""
    made = Environment(
        loader=PackageLoader("doughwright.render"),
        autoescape=True,
        undefined=StrictUndefined,
        finalize=unbroken,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters |= {function.__name__: function for function in SAID}
    made.filters |= {"number_and_unit": number_and_unit, "with_code": with_code}
    made.globals |= {
        "division_sentences": phrases.division_sentences,
        "total_sentences": timings.total_sentences,
        "warming_caption": bake_phrases.WARMING_CAPTION,
        "notice_words": phrases.NOTICE_WORDS,
        "estimates": food_phrases.ESTIMATES,
        "label_rules": selling_phrases.RULES,
        "before_printing": selling_phrases.BEFORE_PRINTING,
    }
    return made


@cache
def style(names: Sequence[str]) -> Markup:
    """Style sheets of a page in one, in this order."""
    folder = files("doughwright.render") / "styles"
    sheets = [(folder / name).read_text("utf-8") for name in names]
    return Markup("\n".join(sheets))  # noqa: S704 - our own files


UNIT = re.compile(r"(?<=\d) (?=(?:°C|°F|K|kg|g|mm|cm|m|kJ|min|h|%)(?!\w))|(?<=\d h) (?=\d+ min)")
"""The space before a unit, and between hours and minutes."""


def unbroken(value: object) -> object:
    r"""Text in which no line ends between a number and its unit.

    >>> unbroken("32–34 °C, 8 min, 8 pieces")
    '32–34\xa0°C, 8\xa0min, 8 pieces'
    """
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    return UNIT.sub("\N{NO-BREAK SPACE}", value)


def number_and_unit(quantity: str) -> Markup:
    """A quantity with its number and unit marked apart, so that the number can be large.

    >>> number_and_unit("143 g")
    Markup('<b>143</b> <span class="unit">g</span>')
    """
    number, _, unit = quantity.rpartition(" ")
    return Markup('<b>{}</b> <span class="unit">{}</span>').format(number, unit)


def with_code(text: str) -> Markup:
    """A message with what stands between backticks set as code.

    >>> with_code("shorten it with `for:` & wait")
    Markup('shorten it with <code>for:</code> &amp; wait')
    """
    plain = [escape(part) for part in UNIT.sub("\N{NO-BREAK SPACE}", text).split("`")]
    coded = [Markup("<code>{}</code>").format(p) if i % 2 else p for i, p in enumerate(plain)]
    return Markup().join(coded)

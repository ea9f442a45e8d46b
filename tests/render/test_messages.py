"""Messages as a baker reads them: what is the matter and what to do, before any syntax."""

import pytest

from doughwright.errors import Notice, catalogue
from doughwright.render.messages import remedy, words


def beyond(name: str, unit: str, value: float, low: float, high: float) -> str:
    ends = {"low": low, "high": high, "limit": high if value > high else low}
    values = {"model": "Some model", "input": name, "unit": unit, "value": value, **ends}
    return words(Notice("outside-model-range", (), values))


@pytest.mark.parametrize(
    ("found", "said"),
    [
        (
            ("fresh yeast", "kg/kg", 0.1313, 0.0005, 0.06),
            "More yeast than the model was checked with (13.1 % of this flour; checked up to 6 %).",
        ),
        (
            ("piece mass", "kg", 0.0255, 0.03, 150.0),
            "Smaller pieces than the model was checked with (25.5 g; checked from 30 g).",
        ),
        (
            ("dough temperature", "K", 357.761, 273.15, 323.15),
            "A warmer dough than the model was checked with (84.6 °C; checked up to 50 °C).",
        ),
        (
            ("salt", "kg/kg", 0.05, 0.0, 0.03),
            "More salt than the model was checked with (5 % of this flour; checked up to 3 %).",
        ),
    ],
)
def test_what_lies_outside_a_model_is_said_in_plain_words(
    found: tuple[str, str, float, float, float], said: str
) -> None:
    assert beyond(*found) == said


def test_two_wishes_are_told_by_their_names() -> None:
    said = words(Notice.of("two-wishes", "ready", read="start, ready"))
    assert said == "Start and ready together ask for two things: give one."


def test_a_missing_kind_says_which_there_are() -> None:
    kind = Notice.of("missing-key", "preparations", "dough", read="kind")
    assert remedy(kind).startswith("Say its kind: preferment, soaker, dough, filling")
    assert remedy(Notice.of("missing-key", read="name")) == "Say its name (`name: …`)."


@pytest.mark.parametrize("code", sorted(catalogue()))
def test_no_message_has_two_colons_in_a_row(code: str) -> None:
    # what stands between backticks is set as code: its colon meets the sentence's
    notice = Notice(code, (), catalogue()[code].sample)
    assert "::" not in f"{words(notice)} {remedy(notice)}".replace("`", "")

"""Columns of one table against each other: the same batch twice, another batch, or a misprint."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

from doughwright.engine.ingredients import ingredient_named
from doughwright.errors import Notice
from doughwright.gathering.asking import Asked, key_of
from doughwright.gathering.gathered import Amount, Choice, Doubt, Gathered, Item

IN_KILOGRAM: Mapping[str, float] = {
    "g": 1e-3,
    "kg": 1.0,
    "mg": 1e-6,
    "oz": 0.028349523125,  # exact (NIST Handbook 44)
    "lb": 0.45359237,  # exact
}
SAME_BATCH = 0.01
"""Two columns of weights this near to each other are one batch (assumption)."""

MOST_TRIED = 100
"""Rows by which the factor between two columns is looked for: no recipe has more."""

MOST_OUTLIERS = 0.5
"""Beyond this share of its rows a column is no other view of the first (assumption)."""


@dataclass(frozen=True, slots=True)
class Compared:
    """A column beside the first one: how many of it one of the first is, and where that fails."""

    key: str
    factor: float
    rows: tuple[tuple[Item, Amount], ...]
    outliers: tuple[tuple[Item, Amount], ...]


def one_batch(gathered: Gathered, answers: Mapping[str, str]) -> tuple[Gathered, list[Asked]]:
    """What was gathered by one column of its tables, and what their columns leave open.

    A column is never filled up from one of another batch: an answer takes another whole column,
    or another amount of one row.
    """
    rows = [item for section in gathered.sections for item in section.items if item.columns]
    asked: list[Asked] = []
    taken = gathered
    for compared in _compared(rows):
        if len(compared.outliers) > MOST_OUTLIERS * len(compared.rows):
            doubt = _which_column(compared, rows, answers, "gather-columns-differ", blocks=True)
        elif compared.outliers:
            taken, told = _rows_settled(taken, compared, answers)
            asked += told
            continue
        elif _is_other_batch(compared):
            doubt = _which_column(compared, rows, answers, "gather-two-batches", blocks=False)
        else:
            continue
        asked.append(Asked(doubt))
        if doubt.answer == compared.key:
            taken = _by_column(taken, compared.key)
    return taken, asked


def _compared(rows: Sequence[Item]) -> Iterator[Compared]:
    """Every other column against the one whose amounts were taken."""
    keys = dict.fromkeys(key for item in rows for key, _ in item.columns)
    for key in keys:
        pairs = tuple(
            (item, amount)
            for item in rows
            for named, amount in item.columns
            if named == key and item.amount and amount != item.amount
            if item.amount.best > 0 and amount.best > 0
        )
        if len(pairs) > 1:
            factor = _factor(pairs, rows)
            yield Compared(key, factor, pairs, tuple(_outliers(pairs, factor)))


def _factor(pairs: Sequence[tuple[Item, Amount]], items: Sequence[Item]) -> float:
    """How much of the other column one of the first is, by the rows that agree best.

    Among equals a percentage is of the flour.
    """
    on_flour = _on_flour(pairs, items)
    if on_flour and len(list(_outliers(pairs, on_flour))) <= min(
        len(list(_outliers(pairs, ratio))) for ratio in _ratios(pairs)
    ):
        return on_flour
    best = min(_ratios(pairs), key=lambda ratio: len(list(_outliers(pairs, ratio))))
    out = [amount for _, amount in _outliers(pairs, best)]
    kept = [(_value(i.amount), _value(a)) for i, a in pairs if a not in out and i.amount]
    return sum(other for _, other in kept) / sum(one for one, _ in kept) if kept else best


def _ratios(pairs: Sequence[tuple[Item, Amount]]) -> list[float]:
    found = (_value(amount) / _value(item.amount) for item, amount in pairs if item.amount)
    return list(dict.fromkeys(islice(found, MOST_TRIED)))


def _value(amount: Amount) -> float:
    """The number of an amount: of grams where it is a weight, in whatever unit."""
    return amount.best * _grams(amount)


def _grams(amount: Amount) -> float:
    return 1000 * IN_KILOGRAM.get(amount.unit, 1e-3)


def _on_flour(pairs: Sequence[tuple[Item, Amount]], items: Sequence[Item]) -> float | None:
    """Percent of the flour that one of the first column is; None where that is not asked."""
    if any(amount.unit != "%" for _, amount in pairs):
        return None
    rows = [(_value(item.amount), ingredient_named(item.name)) for item in items if item.amount]
    flour = sum(best * found.flour for best, found in rows if found)
    return 100 / flour if flour > 0 else None


def _outliers(pairs: Sequence[tuple[Item, Amount]], factor: float) -> Iterator[tuple[Item, Amount]]:
    """Rows whose amounts disagree by more than both of them may be rounded."""
    for item, amount in pairs:
        assert item.amount is not None, "rows without an amount are not compared"
        rounded = _last_digit(amount) + factor * _last_digit(item.amount)
        if abs(_value(amount) - factor * _value(item.amount)) > rounded:
            yield item, amount


def _last_digit(amount: Amount) -> float:
    """What the last digit written is worth, of a weight in grams.

    >>> [_last_digit(Amount(8.45, 8.45, 8.45, unit, "8.45")) for unit in ("g", "kg", "%")]
    [0.01, 10.0, 0.01]
    """
    _, point, decimals = amount.words.replace(",", ".").partition(".")
    digits = len(decimals) - len(decimals.lstrip("0123456789"))
    return (10**-digits if point else 1.0) * _grams(amount)


def _is_other_batch(compared: Compared) -> bool:
    """Whether two columns of weights are to each other as two sizes of one formula."""
    item, amount = compared.rows[0]
    weighed = item.amount is not None and item.amount.unit in IN_KILOGRAM
    if not weighed or amount.unit not in IN_KILOGRAM:
        return False
    return abs(compared.factor - 1) > SAME_BATCH


def _which_column(
    compared: Compared,
    rows: Sequence[Item],
    answers: Mapping[str, str],
    code: str,
    *,
    blocks: bool,
) -> Doubt:
    """The question which column is meant, with what the rows of each add up to."""
    leads = (key for item in rows for key, amount in item.columns if amount == item.amount)
    first = next(leads, "")
    sums = {
        first: [item.amount for item, _ in compared.rows if item.amount],
        compared.key: [amount for _, amount in compared.rows],
    }
    choices = tuple(Choice(key, key, _sum(amounts)) for key, amounts in sums.items())
    answer = answers.get(f"column:{compared.key}", "")
    notice = Notice.of(code, first=first, other=compared.key)
    return Doubt(
        f"column:{compared.key}", notice, choices, answer if answer in sums else "", blocks
    )


def _sum(amounts: Sequence[Amount]) -> tuple[float, float, float] | None:
    if any(amount.unit not in IN_KILOGRAM for amount in amounts):
        return None
    weights = [(amount, IN_KILOGRAM[amount.unit]) for amount in amounts]
    return (
        sum(amount.low * weight for amount, weight in weights),
        sum(amount.best * weight for amount, weight in weights),
        sum(amount.high * weight for amount, weight in weights),
    )


def _by_column(gathered: Gathered, key: str) -> Gathered:
    """The same with the amounts of another column; a row that has none there keeps none."""

    def moved(item: Item) -> Item:
        return replace(item, amount=dict(item.columns).get(key)) if item.columns else item

    sections = (replace(s, items=tuple(map(moved, s.items))) for s in gathered.sections)
    return replace(gathered, sections=tuple(sections))


def _rows_settled(
    gathered: Gathered, compared: Compared, answers: Mapping[str, str]
) -> tuple[Gathered, list[Asked]]:
    """Single rows in which a column disagrees: asked, and changed where that was the answer."""
    asked, changed = [], dict[int, Item]()
    for item, amount in compared.outliers:
        assert item.amount is not None, "rows without an amount are not compared"
        meant = _times(item.amount, _value(amount) / compared.factor / _value(item.amount))
        key = f"{key_of(item)}:{_plain(compared.key)}"
        choices = (
            Choice("this", item.amount.words, _sum([item.amount])),
            Choice("other", f"{amount.words} ({meant.best:.4g} {meant.unit})", _sum([meant])),
        )
        given = answers.get(key, "")
        answer = given if given in ("this", "other") else ""
        notice = Notice.of(
            "gather-row-differs", name=item.name, read=item.amount.words, other=amount.words
        )
        asked.append(Asked(Doubt(key, notice, choices, answer, blocks=True)))
        if answer == "other":
            changed[id(item)] = replace(item, amount=meant)
    sections = (
        replace(s, items=tuple(changed.get(id(item), item) for item in s.items))
        for s in gathered.sections
    )
    return replace(gathered, sections=tuple(sections)), asked


def _plain(key: str) -> str:
    return " ".join(key.casefold().replace("=", " ").replace(":", " ").split())


def _times(amount: Amount, factor: float) -> Amount:
    low, best, high = (end * factor for end in (amount.low, amount.best, amount.high))
    return replace(amount, low=low, best=best, high=high)

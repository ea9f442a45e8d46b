"""The breads of the library as a list: found by words, tag and series, each with its figures."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from itertools import accumulate
from time import monotonic

from doughwright.documents.reading import read_document
from doughwright.documents.series import SeriesBread, SeriesDocument
from doughwright.errors import DocumentError
from doughwright.render.numbers import duration_band, mass, ratio_band
from doughwright.sheets.cells import Cell
from doughwright.store.library import Listed, listed, newest
from doughwright.web.figures import Figures, first_kitchen, folded, note, noted, rests_on

PATIENCE = 0.2
"""Seconds a page may spend on figures that are missing; the rest is worked out after it."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of the strip that shows what a dough is made of, in percent of its width."""

    of: str
    begins: str
    width: str


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a bread has come in a series."""

    series: str
    series_name: str
    state: str
    note: str


@dataclass(frozen=True, slots=True)
class Row:
    """One bread of the list, in words; ``waits`` says that its figures are still to come."""

    key: str
    name: str
    number: int
    tags: tuple[str, ...]
    saved: datetime
    standings: tuple[Standing, ...]
    waits: bool
    problem: str
    pieces: str
    piece: str
    said: tuple[str, ...]
    strip: tuple[Stretch, ...]
    strip_said: str


@dataclass(frozen=True, slots=True)
class SeriesNamed:
    """A series of the library with its breads, in order."""

    key: str
    name: str
    breads: tuple[SeriesBread, ...]


@dataclass(frozen=True, slots=True)
class Found:
    """What a search found, out of how many; ``waiting`` is how many figures are to come."""

    rows: tuple[Row, ...]
    out_of: int
    waiting: int
    tags: tuple[str, ...]
    series: tuple[SeriesNamed, ...]
    away: int


def found(words: str = "", tag: str = "", series: str = "", *, away: bool = False) -> Found:
    """The breads that hold all the words, by name, or in a series' order."""
    there, put_away = listed("formula"), listed("formula", dropped=True)
    items = put_away if away else there
    known = all_series()
    standings = _standings(known)
    with_figures = tuple(_with_figures(items))
    wanted = [pair for pair in with_figures if _is_wanted(*pair, words, tag)]
    names = told_apart(items)
    rows = [
        replace(_row(item, fig, fresh, standings), name=names[item.key])
        for item, (fig, fresh) in wanted
    ]
    return Found(
        rows=tuple(_in_series(rows, known, series)),
        out_of=len(items),
        waiting=sum(not fresh for _, (_, fresh) in with_figures),
        tags=tuple(sorted({tag for item in items for tag in item.tags}, key=str.casefold)),
        series=known,
        away=len(put_away),
    )


def told_apart(items: Sequence[Listed]) -> dict[str, str]:
    """The names of documents by their key; those of one name have their key beside it."""
    times = Counter(item.name.casefold() for item in items)
    return {
        item.key: item.name if times[item.name.casefold()] == 1 else f"{item.name} ({item.key})"
        for item in items
    }


def all_series() -> tuple[SeriesNamed, ...]:
    """The series of the library that can be read."""
    return tuple(_readable_series())


def _readable_series() -> Iterator[SeriesNamed]:
    for item in listed("series"):
        try:
            document = read_document(newest("series", item.key).text).document
        except DocumentError:
            continue  # its own page says what is wrong with it
        if isinstance(document, SeriesDocument):
            yield SeriesNamed(item.key, item.name, tuple(document.breads))


def _standings(known: Sequence[SeriesNamed]) -> Mapping[str, tuple[Standing, ...]]:
    by_bread: dict[str, tuple[Standing, ...]] = {}
    for one in known:
        for entry in one.breads:
            standing = Standing(one.key, one.name, entry.state, entry.note or "")
            by_bread[entry.bread] = (*by_bread.get(entry.bread, ()), standing)
    return by_bread


def _in_series(rows: list[Row], known: Sequence[SeriesNamed], series: str) -> list[Row]:
    """Only the breads of a series, in its order."""
    chosen = next((one for one in known if one.key == series), None)
    if chosen is None:
        return [] if series else rows
    order = {entry.bread: position for position, entry in enumerate(chosen.breads)}
    return sorted((row for row in rows if row.key in order), key=lambda row: order[row.key])


def _with_figures(
    items: Sequence[Listed],
) -> Iterator[tuple[Listed, tuple[Figures | None, bool]]]:
    """Each bread with its figures and whether they are of now; those missing while time lasts."""
    kitchen = first_kitchen()
    on, until = rests_on(kitchen), monotonic() + PATIENCE
    for item in items:
        figures = noted(item)
        fresh = figures is not None and figures.rests_on == on
        if not fresh and monotonic() < until:
            figures, fresh = note(item, kitchen, on), True
        yield item, (figures, fresh)


def _is_wanted(item: Listed, known: tuple[Figures | None, bool], words: str, tag: str) -> bool:
    if tag and tag not in item.tags:
        return False
    asked = folded(words).split()
    if not asked:
        return True
    figures, _ = known
    looked_in = figures.looked_in if figures else folded(newest("formula", item.key).text)
    return all(word in looked_in for word in asked)


def _row(
    item: Listed,
    figures: Figures | None,
    fresh: bool,  # noqa: FBT001 - one of a pair
    standings: Mapping[str, tuple[Standing, ...]],
) -> Row:
    shares = figures.shares if figures and figures.shares else {}
    return Row(
        key=item.key,
        name=item.name,
        number=item.number,
        tags=item.tags,
        saved=item.saved,
        standings=standings.get(item.key, ()),
        waits=not fresh,
        problem=figures.problem if figures else "",
        pieces=str(figures.pieces) if figures and figures.pieces else "",
        piece=_piece(figures) if figures else "",
        said=tuple(_said(figures)) if figures else (),
        strip=strip(shares),
        strip_said=strip_said(shares),
    )


def _piece(figures: Figures) -> str:
    if figures.piece is not None:
        return mass(figures.piece)
    return mass(figures.dough) if figures.dough is not None else ""


def _said(figures: Figures) -> Iterator[str]:
    """Hydration and time, as far as they are known."""
    if figures.water is not None:
        low, best, high = figures.water
        yield f"{ratio_band(Cell(best, '1', 'exact', low, high))} hydration"
    if figures.time is not None:
        low, best, high = figures.time
        lasting = duration_band(Cell(best, "s", "model", low, high))
        yield f"{lasting} in all" if figures.whole else f"{lasting} and what has no time yet"
    if figures.unplanned:
        yield f"no time: {figures.unplanned}"


def strip(shares: Mapping[str, float]) -> tuple[Stretch, ...]:
    """The shares as stretches of a strip, side by side.

    >>> [(s.of, s.begins, s.width) for s in strip({"flour": 0.6, "water": 0.4})]
    [('flour', '0.00%', '60.00%'), ('water', '60.00%', '40.00%')]
    """
    ends = list(accumulate(shares.values()))
    return tuple(
        Stretch(name.replace(" ", "-"), f"{(end - share) * 100:.2f}%", f"{share * 100:.2f}%")
        for (name, share), end in zip(shares.items(), ends, strict=True)
        if share >= SMALLEST
    )


SMALLEST = 0.005
"""A share below this is thinner than the line around it."""


def strip_said(shares: Mapping[str, float]) -> str:
    """The shares in words.

    >>> strip_said({"flour": 0.6, "water": 0.4})
    'Of the dough’s weight: flour 60 %, water 40 %.'
    """
    parts = [f"{name} {share * 100:.0f} %" for name, share in shares.items() if share >= SMALLEST]
    return f"Of the dough’s weight: {', '.join(parts)}." if parts else ""

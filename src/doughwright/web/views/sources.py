"""Several breads of the library side by side, and a new one from their middle."""

from collections.abc import Iterator, Sequence

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET, require_POST
from markupsafe import Markup

from doughwright.errors import DoughwrightError, Notice
from doughwright.render.sources_chart import pictured, sources_picture
from doughwright.render.sources_words import (
    RULES,
    TABLE_TITLES,
    apart_sentences,
    care_sentences,
    middle_words,
    numbered_names,
    spread_words,
    value_words,
)
from doughwright.sheets.sources import MOST, SourceRow, SourcesSheet
from doughwright.store.library import listed
from doughwright.web.finding import told_apart
from doughwright.web.pages import page
from doughwright.web.saving import saved
from doughwright.web.sources import Chosen, chosen, middle_of, side_by_side
from doughwright.web.starts import named

NBSP = "\N{NO-BREAK SPACE}"
MIDDLE_NAME = "The middle of {}"


@require_GET
def compare(request: HttpRequest) -> HttpResponse:
    """The breads to choose from, and under them the table and the picture."""
    return _shown(request, chosen(request.GET.getlist("bread")), is_asked="lay" in request.GET)


@require_POST
def start(request: HttpRequest) -> HttpResponse:
    """A new bread from the middle of those chosen; its page, or this one with what is wrong."""
    asked = chosen(request.POST.getlist("bread"))
    try:
        text = named(middle_of(asked), request.POST.get("name", ""))
        return saved(request, "formula", None, text)
    except DoughwrightError as error:
        return _shown(request, asked, error.problems)


def _shown(
    request: HttpRequest,
    asked: Chosen,
    problems: Sequence[Notice] = (),
    *,
    is_asked: bool = True,
) -> HttpResponse:
    sheet: SourcesSheet | None = None
    if asked.keys or is_asked:
        try:
            sheet = side_by_side(asked)
        except DoughwrightError as error:
            problems = problems or error.problems
    names = told_apart(listed("formula"))
    said = {
        "choices": [(key, name, key in asked.keys) for key, name in names.items()],
        "most": MOST,
        "asked": asked,
        "names": names,
        "problems": tuple(problems),
        "name": request.POST.get("name", MIDDLE_NAME.format(f"{len(asked.sources)} breads")),
        "sheet": sheet,
        **(_of_sheet(sheet) if sheet is not None else {}),
    }
    status = 422 if problems or asked.wrong else 200
    return page(request, "sources.html.j2", said, status=status)


def _of_sheet(sheet: SourcesSheet) -> dict[str, object]:
    """What the page says of a sheet."""
    has_picture = bool(pictured(sheet))
    return {
        "numbered": numbered_names(sheet.names),
        "tables": [(TABLE_TITLES[t.about], list(map(_row, t.rows))) for t in sheet.tables],
        "picture": Markup(sources_picture(sheet)) if has_picture else "",  # noqa: S704 - our own
        "apart": tuple(apart_sentences(sheet)),
        "cares": care_sentences(sheet),
        "rules": RULES,
    }


def _row(row: SourceRow) -> dict[str, object]:
    return {
        "name": row.name,
        "part": row.part,
        "middle": middle_words(row).replace("(of ", f"(of{NBSP}"),
        "spread": spread_words(row),
        "cells": tuple(_cells(row)),
    }


def _cells(row: SourceRow) -> Iterator[tuple[str, bool]]:
    """What each source says, and whether it stands apart with it."""
    for index, cell in enumerate(row.cells):
        yield value_words(cell), index in row.apart

"""The JSON API: plan, formula and label of a posted document; the library read and saved.

A document is what it is in a file: its text, or the same keys and words as JSON. Answers are
the sheets of the command line, with the same schemas. A program shows its token with each
request (``Authorization: Bearer …``); its owner makes one under Devices.
"""

import json
from collections.abc import Callable, Mapping
from datetime import datetime
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from ninja import NinjaAPI, Schema
from ninja.errors import HttpError, ValidationError
from ninja.parser import Parser
from pydantic import Field

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.nodes import DEEPEST
from doughwright.documents.reading import (
    Document,
    Reading,
    document_from,
    other_document,
    read_document,
)
from doughwright.errors import DocumentError, DoughwrightError, Notice
from doughwright.render.json_text import Sheet, sheet_json, sheet_schema
from doughwright.resolving.kitchens import kitchen_from
from doughwright.resolving.planning import planned_formula
from doughwright.resolving.selling import loss_of, sold
from doughwright.sheets.bench_plan import BenchPlan, bench_plan
from doughwright.sheets.formula import FormulaSheet, formula_sheet
from doughwright.sheets.label import LabelSheet, label_sheet
from doughwright.store import library
from doughwright.store.errors import Conflict
from doughwright.web.asked import FIELDS, asked
from doughwright.web.breads import bread, plan, sized
from doughwright.web.problems import Problems, problems_of
from doughwright.web.views.refusals import status_of


class OwnParser(Parser):
    """Reads JSON; what is none, or nested beyond the reader's depth, is refused in our words."""

    def parse_body(self, request: HttpRequest) -> Any:
        """Parse the body."""
        try:
            return json.loads(request.body)
        except RecursionError:
            raise DocumentError([Notice.of("too-deep", allowed=DEEPEST)]) from None
        except ValueError as error:
            raise DocumentError([Notice.of("not-json", says=str(error))]) from None


api = NinjaAPI(
    title="Doughwright",
    version="1",
    description="A bread formula and a kitchen in, a bench plan out.",
    docs_url=None,  # it would load scripts from elsewhere; the page /api lists what there is
    parser=OwnParser(),
)

Words = str | dict[str, Any]


class Work(Schema):
    """What is to be worked out: a formula, a kitchen, and what is asked of them."""

    formula: Words = Field(description="A formula/1 document: its text, or its keys as JSON.")
    kitchen: Words | None = Field(
        None, description="A kitchen/1 document; an ordinary one without."
    )
    asked: dict[str, str] = Field({}, description=f"Any of: {', '.join(FIELDS)}.")


class Saving(Schema):
    """A document to be saved over the revision it was made from."""

    text: str
    expected: int = Field(description="The revision it was made from; 0 for a new document.")
    message: str = ""


class Saved(Schema):
    """A revision of a document in the library."""

    kind: str
    key: str
    name: str
    number: int
    text: str
    message: str
    saved: datetime


class Entry(Schema):
    """A document in a list."""

    kind: str
    key: str
    name: str
    number: int
    tags: list[str]
    saved: datetime


class Clash(Problems):
    """Somebody saved meanwhile: their revision stands here, yours was not saved."""

    newest: Saved


def _described(sheet: Any) -> dict[str, Any]:
    """What the OpenAPI description says of an answer that is a sheet."""
    schema = {"application/json": {"schema": sheet_schema(sheet)}}
    return {"responses": {"200": {"description": "The sheet", "content": schema}}}


def _sheet(sheet: Sheet) -> HttpResponse:
    return HttpResponse(sheet_json(sheet), content_type="application/json")


def _read(said: Words, file: str) -> tuple[Document, Reading | None]:
    if isinstance(said, str):
        reading = read_document(said, file)
        return reading.document, reading
    return document_from(said), None


def _worked(work: Work, make: Callable[[Any, Any, Any, Any], Sheet]) -> HttpResponse:
    """Read what was posted, and make a sheet of formula, own size, kitchen and what is asked."""
    document, reading = _read(work.formula, "formula")
    if not isinstance(document, FormulaDocument):
        raise other_document(document, "formula/1")
    place = _read(work.kitchen, "kitchen")[0] if work.kitchen is not None else None
    if not isinstance(place, KitchenDocument | None):
        raise other_document(place, "kitchen/1")
    wanted = asked(work.asked, datetime.now())  # noqa: DTZ005 - the kitchen's own clock
    try:
        formula, own = sized(document, wanted)
        return _sheet(make(formula, own, wanted.in_kitchen(kitchen_from(place)), wanted))
    except DoughwrightError as error:
        raise reading.located(error) if reading else error from None


REFUSED: Mapping[Any, Any] = {422: Problems, 409: Clash, 404: Problems}


@api.post("/plan", openapi_extra=_described(BenchPlan), tags=["work"])
def plan_of_document(request: HttpRequest, work: Work) -> HttpResponse:
    """Plan a posted formula in a posted kitchen."""
    del request
    return _worked(work, lambda f, own, k, a: bench_plan(f, k, own, start=a.start, ready=a.ready))


@api.post("/formula", openapi_extra=_described(FormulaSheet), tags=["work"])
def formula_of_document(request: HttpRequest, work: Work) -> HttpResponse:
    """The percentages of a posted formula."""
    del request
    return _worked(work, lambda f, _own, _k, _a: formula_sheet(f))


@api.post("/label", openapi_extra=_described(LabelSheet), tags=["work"])
def label_of_document(request: HttpRequest, work: Work) -> HttpResponse:
    """The label of a posted formula as it is sold by the kitchen's country's rules."""
    del request

    def made(formula: Any, own: Any, kitchen: Any, _asked: Any) -> LabelSheet:
        baked = planned_formula(formula, own, kitchen).baked
        product = sold(formula, loss_of(formula, baked))
        return label_sheet(formula, product, kitchen.codes, may_contain=kitchen.may_contain)

    return _worked(work, made)


@api.get("/library/{kind}", response=list[Entry], tags=["library"])
def entries(request: HttpRequest, kind: library.Kind) -> list[Entry]:
    """What the library has of a kind."""
    del request
    return [Entry.model_validate(e, from_attributes=True) for e in library.listed(kind)]


@api.get("/library/{kind}/{key}", response={200: Saved, **REFUSED}, tags=["library"])
def entry(
    request: HttpRequest, kind: library.Kind, key: str, number: int | None = None
) -> library.Stored:
    """A document, its newest revision or the one of a number."""
    del request
    return library.newest(kind, key) if number is None else library.revision(kind, key, number)


@api.put("/library/{kind}/{key}", response={200: Saved, **REFUSED}, tags=["library"])
def save(request: HttpRequest, kind: library.Kind, key: str, saving: Saving) -> library.Stored:
    """Save a document; refused with both texts where somebody saved meanwhile."""
    del request
    reading = read_document(saving.text)
    if library.kind_of(reading) != kind:
        raise reading.located(other_document(reading.document, f"{kind}/1"))
    return library.save(
        saving.text,
        key=key,
        expected=saving.expected,
        message=saving.message,
        now=timezone.now(),
    )


@api.get("/library/formula/{key}/plan", openapi_extra=_described(BenchPlan), tags=["library"])
def plan_of_bread(request: HttpRequest, key: str) -> HttpResponse:
    """Plan a bread of the library; the query says kitchen, size and times."""
    now = datetime.now()  # noqa: DTZ005 - the kitchen's own clock
    return _sheet(plan(bread(key), asked(request.GET.dict(), now)))


@api.exception_handler(DoughwrightError)
def refused(request: HttpRequest, error: DoughwrightError) -> HttpResponse:
    """Say what stands in the way."""
    said = problems_of(error)
    if isinstance(error, Conflict):
        newest = Saved.model_validate(error.newest, from_attributes=True)
        said = Clash(problems=said.problems, newest=newest)
    return api.create_response(request, said.model_dump(mode="json"), status=status_of(error))


@api.exception_handler(HttpError)
def unreadable(request: HttpRequest, error: HttpError) -> HttpResponse:
    """Say why a body could not be parsed: the parser's own words are its cause."""
    if not isinstance(error.__cause__, DoughwrightError):
        raise error
    said = problems_of(error.__cause__)
    return api.create_response(request, said.model_dump(mode="json"), status=error.status_code)


@api.exception_handler(ValidationError)
def misshapen(request: HttpRequest, error: ValidationError) -> HttpResponse:
    """Say which key of a body is missing or of another kind."""
    problems = [
        {
            "code": "wrong-shape",
            "where": [str(p) for p in detail["loc"][1:]],
            "says": f"{'.'.join(map(str, detail['loc'][1:]))}: {detail['msg']}.",
            "remedy": "Look at /api for what may be sent.",
            "line": None,
            "column": None,
        }
        for detail in error.errors
    ]
    return api.create_response(request, {"problems": problems}, status=422)

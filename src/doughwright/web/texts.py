"""A document as the text it is: shown, changed, checked, saved."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from django.http import HttpRequest, HttpResponse

from doughwright.documents.editing import Edit, edited
from doughwright.documents.reading import Document, read_document
from doughwright.documents.shelf import ShelfDocument
from doughwright.errors import DocumentError, Notice
from doughwright.resolving.shelf import check_shelf
from doughwright.store.library import Kind, newest
from doughwright.web import kitchen_form
from doughwright.web.pages import page
from doughwright.web.saving import address, expected_number, saved, typed


@dataclass(frozen=True, slots=True)
class Shown:
    """A document as a page shows it: a revision, or one that is still to be made (0)."""

    kind: Kind
    key: str | None
    name: str
    number: int
    text: str
    dropped: bool = False

    @property
    def page(self) -> str:
        """Its page."""
        return address(self.kind, self.key or "")


def checked(text: str, kind: Kind) -> str:
    """The text, if it is a document that can be worked with.

    Raises
    ------
    DocumentError
        With every problem and its place.
    """
    reading = read_document(text, "the text")
    try:
        CHECKS.get(kind, _nothing)(reading.document)
    except DocumentError as error:
        raise reading.located(error) from None
    return text


def changed(text: str, kind: Kind, made: Sequence[Edit], problems: Sequence[Notice] = ()) -> str:
    """A text with edits done, if it is a document that can be worked with then.

    Raises
    ------
    DocumentError
        With every problem: those found before, and those of what the edits make of the text.
    """
    try:
        found = checked(edited(text, made), kind)
    except DocumentError as error:
        raise DocumentError([*problems, *error.problems]) from None
    if problems:
        raise DocumentError(problems)
    return found


def _nothing(document: Document) -> None:
    """Reading it was check enough."""
    del document


def _shelf(document: Document) -> None:
    if isinstance(document, ShelfDocument):
        check_shelf(document)


CHECKS: Mapping[Kind, Callable[[Document], None]] = MappingProxyType(
    {"kitchen": kitchen_form.check, "shelf": _shelf}
)
"""What is looked at beyond the words, for documents on which every bread rests."""


def text_page(
    request: HttpRequest, shown: Shown, problems: tuple[Notice, ...] = ()
) -> HttpResponse:
    """The page that shows a text in a field, and saves what was made of it."""
    text = shown.text
    if request.method == "POST":
        text = typed(request.POST.get("text", ""), shown.text)
        try:
            return saved(request, shown.kind, shown.key, checked(text, shown.kind))
        except DocumentError as error:
            problems = error.problems
    said = {
        "shown": shown,
        "text": text,
        "number": expected_number(request) if request.method == "POST" else shown.number,
        "problems": problems,
        "message": request.POST.get("message", ""),
    }
    refused = bool(problems) and request.method == "POST"
    return page(request, "text.html.j2", said, status=422 if refused else 200)


Form = dict[str, str]
"""What a form's fields say."""

FormPage = Callable[[HttpRequest, Shown, int, Form | None, tuple[Notice, ...]], HttpResponse]
"""Makes the page of a form: over which revision, what was typed, what is wrong with it."""


def document_page(
    request: HttpRequest,
    kind: Kind,
    key: str,
    text_with: Callable[[str, int, Form], str],
    form_page: FormPage,
) -> HttpResponse:
    """A document of the library as a form or as text; what its form changes is saved.

    ``text_with`` gives the text of a key's revision with what a form changes in it.
    """
    stored = newest(kind, key)
    here = Shown(kind, key, stored.name, stored.number, stored.text, stored.dropped)
    if request.GET.get("view") == "text":
        return text_page(request, here)
    if request.method != "POST":
        return form_page(request, here, stored.number, None, ())
    form, number = request.POST.dict(), expected_number(request)
    try:
        return saved(request, kind, key, text_with(key, number, form))
    except DocumentError as error:
        return form_page(request, here, number, form, error.problems)

"""Saving what a page holds, one way for all kinds: over the revision it was made from.

A page's form says which revision it shows (``expected``) and what was done (``message``). Where
somebody saved meanwhile, nothing is saved and nothing is lost: both texts come on one page, with
what each changes. Where script keeps a draft, the form says its name (``draft``), and the address
it leads to once the draft is settled names it again.
"""

import re
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils import timezone

from doughwright.documents.differences import differences
from doughwright.documents.reading import read_document
from doughwright.errors import DocumentError, Notice
from doughwright.render.differences import difference_lines
from doughwright.store.errors import Conflict, NotInLibrary
from doughwright.store.library import Kind, kind_of, newest, revision, save
from doughwright.web.pages import is_part, page

PAGES: dict[Kind, str] = {
    "formula": "/breads",
    "kitchen": "/kitchens",
    "series": "/series",
    "shelf": "/ingredients",
}


def saved(
    request: HttpRequest, kind: Kind, key: str | None, text: str, *, to: str = ""
) -> HttpResponse:
    """Save a text by what the form says beside it; the answer leads to the document's page.

    Without a key it is a new document. ``to`` is another page to go to once it is saved. A
    conflict is answered with its page.

    Raises
    ------
    DocumentError
        The text is none of the kind; nothing was saved, the page shows its form again.
    """
    expected = expected_number(request) if key is not None else 0
    _check_kind(text, kind)
    message = request.POST.get("message", "")
    try:
        stored = save(text, key=key, expected=expected, message=message, now=timezone.now())
    except Conflict as conflict:
        return conflict_page(request, kind, conflict)
    page_address = to or address(kind, stored.key)
    return led_to(request, _settling(request, page_address, saved=stored.number))


def _check_kind(text: str, kind: Kind) -> None:
    reading = read_document(text, "your text")
    found = kind_of(reading)
    if found != kind:
        wrong = Notice.of("other-document", "doughwright", read=f"{found}/1", wanted=f"{kind}/1")
        raise DocumentError([reading.placed(wrong)])


def expected_number(request: HttpRequest) -> int:
    """The revision a form was made from; 0, which is none, where it does not say."""
    said = request.POST.get("expected", "")
    return int(said) if said.isascii() and said.isdigit() and len(said) < 10 else 0


def address(kind: Kind, key: str) -> str:
    """The page of a document."""
    return PAGES[kind] if kind == "shelf" else f"{PAGES[kind]}/{key}"


def typed(text: str, over: str) -> str:
    r"""A form's text with line ends as the text it was made from has them, not as browsers do.

    Where nothing was typed it is that very text; else all lines end as most lines of that do.

    >>> typed("name: Rye\r\n", "name: Rye loaf\n")
    'name: Rye\n'
    >>> typed("name: Rye\r\nnote: dark\r\n", "name: Rye\nnote: dark\r\n")
    'name: Rye\nnote: dark\r\n'
    """
    lines, were = (re.sub("\r\n?", "\n", words) for words in (text, over))
    if lines == were:
        return over
    both = over.count("\r\n")
    ends = {"\n": over.count("\n") - both, "\r\n": both, "\r": over.count("\r") - both}
    return lines.replace("\n", max(ends, key=ends.__getitem__))


def _settling(request: HttpRequest, page_address: str, **said: int) -> str:
    """A page's address that tells its script which draft is settled by going there."""
    draft = request.POST.get("draft", "")
    if not draft:
        return page_address
    joint = "&" if "?" in page_address else "?"
    return page_address + joint + urlencode({"draft": draft, **said})


def led_to(request: HttpRequest, page_address: str) -> HttpResponse:
    """An answer that leads to another page, also where script asked."""
    if is_part(request):
        return HttpResponse(headers={"HX-Redirect": page_address})
    response = HttpResponseRedirect(page_address)
    response.status_code = 303  # a reload asks for the page, it does not save again
    return response


def conflict_page(
    request: HttpRequest,
    kind: Kind,
    conflict: Conflict,
    problems: tuple[Notice, ...] = (),
) -> HttpResponse:
    """Both texts of a conflict, what each changes, and what can be done: nothing is lost."""
    theirs, base = conflict.newest, _base(kind, conflict.newest.key, conflict.expected)
    said = {
        "theirs": theirs,
        "mine": conflict.text,
        "expected": conflict.expected,
        "mine_changes": changes(base or theirs.text, conflict.text),
        "their_changes": changes(base, theirs.text) if base else (),
        "message": request.POST.get("message", ""),
        "draft": request.POST.get("draft", ""),
        "page": _settling(request, address(kind, theirs.key)),
        "problems": problems,
    }
    response = page(request, "conflict.html.j2", said, status=422 if problems else 409)
    response.headers["HX-Retarget"] = response.headers["HX-Reselect"] = "#main"
    response.headers["HX-Reswap"] = "outerHTML"
    return response


def changes(before: str, after: str) -> tuple[str, ...]:
    """What one text changes against another, in the trade's words; nothing if not readable."""
    try:
        was, now = read_document(before).document, read_document(after).document
    except DocumentError:
        return ()
    return difference_lines(differences(was, now)) if type(was) is type(now) else ()


def _base(kind: Kind, key: str | None, number: int) -> str:
    """The text of the revision a form was made from; nothing where there is none."""
    if key is None or not number:
        return ""
    try:
        return revision(kind, key, number).text
    except NotInLibrary:
        return ""


def text_of(kind: Kind, key: str, number: int) -> str:
    """The text a form's changes are made in: that of the revision it shows.

    Raises
    ------
    NotInLibrary
        Where there is no such document.
    """
    return _base(kind, key, number) or newest(kind, key).text

"""Pages that say why something was not done, and what to do instead.

What a form sent stands on the page that could not do it, to be sent again: a browser that goes
back shows a form as it was before anything was typed.
"""

from collections.abc import Mapping

from django.core.exceptions import RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.http import HttpRequest, HttpResponse, HttpResponseBase

from doughwright.errors import DocumentError, DoughwrightError, Notice, SolverFailure
from doughwright.store.errors import LibraryFailure, NotInLibrary
from doughwright.web.formula_edits import typed_into
from doughwright.web.pages import is_part, page
from doughwright.web.problems import is_program, told_to_program


def _refusal(
    request: HttpRequest,
    status: int,
    title: str,
    *sentences: str,
    problems: tuple[Notice, ...] = (),
    sent: Mapping[str, object] | None = None,
) -> HttpResponse:
    said = {"title": title, "sentences": sentences, "problems": problems, "sent": sent}
    return page(request, "refusal.html.j2", said, status=status)


def _sent(request: HttpRequest) -> Mapping[str, object] | None:
    """What a form sent, and where to; none where it cannot be sent again, as files cannot."""
    if request.method != "POST" or is_part(request) or request.FILES:
        return None
    fields = [
        (name, str(value))
        for name, values in request.POST.lists()
        if name != "csrfmiddlewaretoken"
        for value in values
    ]
    return {"to": request.get_full_path(), "fields": fields, "text": _text_typed(dict(fields))}


def _text_typed(form: Mapping[str, str]) -> str:
    """The text a form sent, with what was typed into its fields where it has some."""
    text = form.get("text", "")
    if form.get("view") != "form":
        return text
    try:
        return typed_into(text, form).text
    except DocumentError:
        return text


def other_host(request: HttpRequest) -> HttpResponse:
    """The page was asked for under a name that is not this machine's."""
    del request  # its name is not to be trusted on a page
    said = "This address does not belong to this Doughwright. Use the one it printed when started."
    return HttpResponse(said, status=400, content_type="text/plain; charset=utf-8")


def other_origin(request: HttpRequest) -> HttpResponse:
    """Another site's page asked for a change."""
    return _refusal(
        request,
        403,
        "That came from another page",
        "Only this Doughwright’s own pages may change the library. Nothing was changed.",
        "Open the page here and do it there.",
    )


def form_too_old(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form's token does not hold: the browser was started anew, or it is from elsewhere."""
    del reason
    sent = _sent(request)
    return _refusal(
        request,
        403,
        "This form is too old",
        "It was opened before this browser was last started, or in another one. "
        "Nothing was changed.",
        *(() if sent else ("Open the page anew and do it there.",)),
        sent=sent,
    )


def too_large(request: HttpRequest) -> HttpResponse:
    """More was sent than any document holds."""
    return _refusal(
        request,
        413,
        "That is too much at once",
        "A document may have 262144 characters, all files of one import together 12 MB. "
        "Nothing was changed.",
        "What you sent was not read, so it is not on this page: go back, and keep a copy of it.",
        "Send fewer files, or import a folder with the command `doughwright import`.",
    )


TOO_MUCH = (RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent)
"""What Django says of a form before any page of ours sees it."""


def not_understood(request: HttpRequest, exception: Exception) -> HttpResponse:
    """A request that no browser sends of our pages, or one with more than may be sent."""
    if isinstance(exception, TOO_MUCH):
        return too_large(request)
    return _refusal(
        request,
        400,
        "That could not be read",
        "What was sent is no form of these pages. Nothing was changed.",
        "Open the page here and do it there.",
    )


def not_paired(request: HttpRequest) -> HttpResponse:
    """Who asks is not paired."""
    if is_program(request):
        return told_to_program(DoughwrightError([Notice.of("not-paired")]), 401)
    return page(request, "pair.html.j2", {"code": "", "wrong": ""}, status=401)


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """There is nothing at this address."""
    del exception
    return _refusal(
        request,
        404,
        "There is nothing here",
        "The address is not one of this library’s, or what stood here was put away.",
        "Look among the breads.",
    )


def our_fault(request: HttpRequest) -> HttpResponse:
    """Something went wrong on our side; it is printed where the server runs."""
    return _refusal(
        request,
        500,
        "That went wrong on our side",
        "What you saved before is there. Go back and try again.",
        "If it happens again, report it with what the terminal shows where Doughwright runs.",
    )


STATUSES: tuple[tuple[type[DoughwrightError], int], ...] = (
    (NotInLibrary, 404),
    (DocumentError, 422),
    (SolverFailure, 500),
    (LibraryFailure, 503),
)
"""What an answer's status says of an error; any other is a conflict with what is there."""

TITLES = {404: "There is nothing here", 500: "Our own computation failed"}


def status_of(error: DoughwrightError) -> int:
    """The status of an answer that says why not."""
    return next((status for kind, status in STATUSES if isinstance(error, kind)), 409)


def problems(request: HttpRequest, error: DoughwrightError) -> HttpResponseBase:
    """What stands in the way, each problem with its place."""
    status = status_of(error)
    if is_program(request):
        return told_to_program(error, status)
    title = TITLES.get(status, "That cannot be followed")
    sent = None
    if isinstance(error, LibraryFailure):
        title = "Not saved" if request.method == "POST" else "The library cannot be read"
        sent = _sent(request)
    return _refusal(request, status, title, problems=error.problems, sent=sent)

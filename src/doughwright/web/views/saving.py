"""What is done about a conflict: one's own text on top, or as another document."""

from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_POST

from doughwright.errors import DocumentError
from doughwright.store.errors import Conflict
from doughwright.store.library import KINDS, Kind, newest
from doughwright.web import saving


@require_POST
def resolve(request: HttpRequest, kind: Kind, key: str) -> HttpResponse:
    """Save the text of a conflict's page over the newest revision, or beside it."""
    if kind not in KINDS:
        raise Http404
    number = saving.expected_number(request)
    text = saving.typed(request.POST.get("text", ""), saving.text_of(kind, key, number))
    beside = request.POST.get("as") == "another"
    try:
        return saving.saved(request, kind, None if beside else key, text)
    except DocumentError as error:
        conflict = Conflict(newest(kind, key), text=text, expected=number)
        return saving.conflict_page(request, kind, conflict, error.problems)

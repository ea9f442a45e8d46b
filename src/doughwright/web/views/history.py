"""What a bread was: its revisions, what each changed, and taking an old one up again."""

from dataclasses import dataclass
from itertools import pairwise

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET, require_http_methods

from doughwright.errors import DocumentError
from doughwright.store.library import Stored, newest, revision
from doughwright.store.library import history as revisions_of
from doughwright.web import saving
from doughwright.web.asked import whole_number
from doughwright.web.breads import shelf_text
from doughwright.web.events import announce
from doughwright.web.formula_state import state_of
from doughwright.web.pages import page

SHOWN = 50
"""Revisions whose changes are worked out on one page."""


@dataclass(frozen=True, slots=True)
class Change:
    """A revision and what it changed against the one before."""

    stored: Stored
    changes: tuple[str, ...]


@require_GET
def history(request: HttpRequest, key: str) -> HttpResponse:
    """Every revision of a bread, the newest first, with what it changed."""
    found = revisions_of("formula", key)
    before = whole_number(request.GET.get("before", ""))
    wanted = [s for s in found if not before or s.number < before]
    pairs = [*pairwise(wanted[: SHOWN + 1])]
    rows = [Change(now, saving.changes(was.text, now.text)) for now, was in pairs]
    if len(wanted) <= SHOWN:
        rows += [Change(first, ()) for first in wanted[-1:]]
    older = rows[-1].stored.number if len(wanted) > len(rows) else 0
    said = {"bread": {"stored": found[0]}, "rows": rows, "older": older}
    return page(request, "formula_history.html.j2", said)


@require_http_methods(["GET", "HEAD", "POST"])
def earlier(request: HttpRequest, key: str, number: int) -> HttpResponse:
    """One revision: its text, its figures, what was changed since; it can be taken up again."""
    then = revision("formula", key, number)
    if request.method == "POST":
        return _restored(request, then)
    now = newest("formula", key)
    said = {
        "bread": {"stored": now},
        "then": then,
        "changes": saving.changes(then.text, now.text),
        "state": state_of(then.text, shelf_text()),
    }
    return page(request, "formula_revision.html.j2", said)


def _restored(request: HttpRequest, then: Stored) -> HttpResponse:
    """Save an old text as the newest revision, over the one the page showed."""
    try:
        answer = saving.saved(request, "formula", then.key, then.text)
    except DocumentError as error:
        said = {
            "title": f"Revision {then.number} cannot be taken up",
            "sentences": ("It was written for an earlier version of this program.",),
            "problems": error.problems,
        }
        return page(request, "refusal.html.j2", said, status=422)
    announce(f"bread:{then.key}")
    return answer

"""What can be done with a document of any kind: begun, copied, put away, brought back."""

from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from doughwright.errors import DocumentError, Notice
from doughwright.store.errors import NotInLibrary
from doughwright.store.library import Kind, Stored, drop, listed, newest, undrop
from doughwright.web.finding import told_apart
from doughwright.web.pages import page
from doughwright.web.saving import PAGES, expected_number, led_to, saved
from doughwright.web.starts import EMPTY, named

BEGUN: dict[Kind, tuple[str, str]] = {
    "formula": ("bread", "a straight dough: flour, water, salt, yeast"),
    "kitchen": ("kitchen", "an ordinary kitchen, nothing said yet"),
    "series": ("series", "no bread in it yet"),
}
"""What a kind is called, and what a new one begins with."""


@require_http_methods(["GET", "POST"])
def begin(request: HttpRequest, kind: Kind, key: str = "") -> HttpResponse:
    """A form for a new document, from a plain start or as a copy; the page of what it makes."""
    name, start = request.POST.get("name", ""), request.POST.get("start", key)
    problems: tuple[Notice, ...] = ()
    if request.method == "POST":
        try:
            text = newest(kind, start).text if start else EMPTY[kind]
            return saved(request, kind, None, named(text, name))
        except DocumentError as error:
            problems = error.problems
    elif key:
        name = f"{newest(kind, key).name}, another"
    said = {
        "name": name,
        "start": start,
        "starts": told_apart(listed(kind)),
        "problems": problems,
        "page": PAGES[kind],
        "word": BEGUN[kind][0],
        "plain": BEGUN[kind][1],
    }
    return page(request, "new.html.j2", said, status=422 if problems else 200)


@require_POST
def away(request: HttpRequest, kind: Kind, key: str) -> HttpResponse:
    """Take a document out of the lists; nothing of it is lost."""
    drop(kind, key, expected=expected_number(request), now=timezone.now())
    return led_to(request, f"{PAGES[kind]}?{urlencode({'gone': key})}")


@require_POST
def back(request: HttpRequest, kind: Kind, key: str) -> HttpResponse:
    """Bring a document back into the lists."""
    undrop(kind, key, expected=expected_number(request))
    return led_to(request, PAGES[kind])


def put_away(kind: Kind, key: str) -> Stored | None:
    """What was put away just now, so that it can be brought back at once."""
    try:
        stored = newest(kind, key) if key else None
    except NotInLibrary:
        return None
    return stored if stored is not None and stored.dropped else None

"""Somebody's recipe pasted: a draft with what is asked beside its lines, and at last a bread."""

from collections.abc import Mapping
from dataclasses import replace

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_http_methods

from doughwright.errors import DocumentError, Notice
from doughwright.gathering.asking import SHARED
from doughwright.gathering.pages.saved import decoded
from doughwright.web import saving
from doughwright.web.gather_form import SETTINGS, Moved, Source, source_in, text_in
from doughwright.web.gathered_page import Shown, shown, went_along
from doughwright.web.pages import page
from doughwright.web.starts import LONGEST_NAME, named

KEPT = "private"
"""The browser keeps the page, so that its way back leads to the draft; nobody else does."""


@require_http_methods(["GET", "HEAD", "POST"])
def gather(request: HttpRequest) -> HttpResponse:
    """A field for a recipe; what is in it as a draft; what is settled as a bread."""
    if request.method != "POST":
        return _page(request, {}, Source())
    fields = {name: str(said) for name, said in request.POST.items()}
    if fields.get("do") == "anew":
        return _page(request, {"text": text_in(fields)}, Source())
    try:
        fields |= _file(request, fields)
        source = source_in(fields)
        along = went_along(source, text_in(fields, "former"))
        source = replace(source, answers=along.answers)
        found = shown(source)
    except DocumentError as error:
        return _page(request, fields, Source(), problems=error.problems)
    if fields.get("do") == "make" and not along.is_changed:
        return _made(request, fields, source, found)
    return _page(request, fields, source, found, along=along)


def _file(request: HttpRequest, fields: Mapping[str, str]) -> dict[str, str]:
    """The text of a file that was sent, in place of what is pasted."""
    file = request.FILES.get("file")
    if file is None:
        return {}
    name = file.name or "a file"
    if fields.get("text", "").strip():
        raise DocumentError([Notice.of("gather-two-sources", "file", file=name)])
    text = decoded(file.read())
    if text is None:
        raise DocumentError([Notice.of("import-not-text", "file", file=name)])
    return {"text": text, "source": name}


def _made(
    request: HttpRequest, fields: Mapping[str, str], source: Source, found: Shown
) -> HttpResponse:
    """A bread of the library, once nothing stands in the way."""
    if found.draft.is_blocked:
        return _page(request, fields, source, found, status=422)
    try:
        text = named(found.text, fields.get("name", ""))
        return saving.saved(request, "formula", None, text)
    except DocumentError as error:
        return _page(request, fields, source, found, problems=error.problems)


def _page(
    request: HttpRequest,
    fields: Mapping[str, str],
    source: Source,
    found: Shown | None = None,
    problems: tuple[Notice, ...] = (),
    status: int = 200,
    along: Moved | None = None,
) -> HttpResponse:
    title = " ".join(found.draft.gathered.title.split())[:LONGEST_NAME] if found else ""
    wrong = {str(problem.where[0]) for problem in problems if problem.where}
    name = fields.get("name", "")
    said = {
        "fields": fields,
        "source": source,
        "found": found,
        "problems": problems,
        "wrong": wrong,
        "settings": SETTINGS,
        "set": {n: getattr(source, n) if found else fields.get(n, "") for n in SETTINGS},
        "above": {name for key, name in SHARED.items() if key in dict(source.answers)},
        "along": along,
        "name": name if name or "name" in wrong else title or "Gathered bread",
        "message": fields.get("message") or f"Gathered from {source.name}",
    }
    answer = page(request, "gather.html.j2", said, status=422 if problems else status)
    answer.headers["Cache-Control"] = KEPT
    return answer

"""The breads of the library: found, brought in and taken out as files."""

from collections.abc import Iterator
from datetime import datetime
from urllib.parse import urlencode

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from doughwright.store.folders import as_zip, import_uploads
from doughwright.store.library import listed
from doughwright.web.bench_page import since
from doughwright.web.benches import AtBench, running
from doughwright.web.finding import found, told_apart
from doughwright.web.pages import page
from doughwright.web.saving import PAGES
from doughwright.web.views.documents import put_away


@require_GET
def breads(request: HttpRequest) -> HttpResponse:
    """The breads of the library, or those that were put away."""
    asked = {name: request.GET.get(name, "").strip() for name in ("q", "tag", "series")}
    away = request.GET.get("away") == "yes"
    said = {
        **asked,
        "away": away,
        "found": found(asked["q"], asked["tag"], asked["series"], away=away),
        "again": urlencode(
            {k: v for k, v in {**asked, "away": "yes" if away else ""}.items() if v}
        ),
        "gone": put_away("formula", request.GET.get("gone", "")),
        "running": tuple(_running(timezone.now())),
    }
    return page(request, "breads.html.j2", said)


def _running(now: datetime) -> Iterator[tuple[AtBench, str, str]]:
    """The benches that are worked at, each with its bread and since when."""
    names = told_apart((*listed("formula"), *listed("formula", dropped=True)))
    for bench in running(now):
        yield bench, names.get(bench.bread, bench.bread), since(bench.begun, now)


@require_http_methods(["GET", "POST"])
def bring_in(request: HttpRequest) -> HttpResponse:
    """A form for files, and the report of what came in."""
    files = request.FILES.getlist("files")
    report = None
    if request.method == "POST" and files:
        sent = ((file.name or "a file", file.read()) for file in files)
        message = request.POST.get("message", "").strip() or "Imported."
        report = import_uploads(sent, timezone.now(), message)
    missing = request.method == "POST" and not files
    said = {"report": report, "missing": missing, "pages": PAGES}
    return page(request, "import.html.j2", said, status=422 if missing else 200)


@require_GET
def library_zip(request: HttpRequest) -> HttpResponse:
    """The whole library as files that import back as they are."""
    del request
    name = f"doughwright-library-{timezone.now().astimezone():%Y-%m-%d}.zip"
    disposition = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(as_zip(), content_type="application/zip", headers=disposition)

"""What every request passes: who asks, from where, and what the answer may load.

A page of ours may load nothing but our own files and run no script but ours; a page of
somebody else's may not ask in a baker's name; a name that is not this machine's is refused, so
that a foreign name pointed at it gains nothing; and who is not paired sees the pairing page only.
"""

from collections.abc import Callable
from urllib.parse import urlsplit

from django.conf import settings
from django.core.exceptions import DisallowedHost
from django.http import HttpRequest
from django.http.response import HttpResponseBase
from django.utils import timezone

from doughwright.errors import DoughwrightError
from doughwright.store.errors import LibraryFailure
from doughwright.web import pairing
from doughwright.web.views import refusals

Answer = Callable[[HttpRequest], HttpResponseBase]

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
"""No script, style or file but our own; pictures also from within the page."""

HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
SAFE = frozenset({"GET", "HEAD", "OPTIONS"})
OPEN_PATHS = ("/pair", "/static/", "/style.css")
"""What who is not paired may see."""


def headers(answer: Answer) -> Answer:
    """Put on every answer what a browser may do with it."""

    def guarded(request: HttpRequest) -> HttpResponseBase:
        response = answer(request)
        for name, value in HEADERS.items():
            response.headers.setdefault(name, value)
        if not request.path.startswith(("/static/", "/style.css")):
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    return guarded


def host_guard(answer: Answer) -> Answer:
    """Refuse a name that is not this machine's, and a body beyond all measure."""

    def guarded(request: HttpRequest) -> HttpResponseBase:
        try:
            request.get_host()
        except DisallowedHost:
            return refusals.other_host(request)
        length = str(request.META.get("CONTENT_LENGTH") or "0")
        is_number = length.isascii() and length.isdigit() and len(length) < 20
        if not is_number or int(length) > settings.LARGEST_REQUEST:
            return refusals.too_large(request)
        return answer(request)

    return guarded


def origin_guard(answer: Answer) -> Answer:
    """Refuse a change asked for by another site's page, whatever else it carries."""

    def guarded(request: HttpRequest) -> HttpResponseBase:
        if request.method in SAFE or _is_from_here(request):
            return answer(request)
        return refusals.other_origin(request)

    return guarded


def _is_from_here(request: HttpRequest) -> bool:
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in {"same-origin", "none"}:
        return False
    origin = request.headers.get("Origin")
    return origin is None or urlsplit(origin).netloc == request.get_host()


def paired_only(answer: Answer) -> Answer:
    """Let in paired devices; all others see the pairing page."""

    def guarded(request: HttpRequest) -> HttpResponseBase:
        try:
            is_in = _is_open(request.path) or pairing.is_paired(token_of(request), timezone.now())
        except LibraryFailure as error:  # it comes before any page: nothing else would tell it
            return refusals.problems(request, error)
        return answer(request) if is_in else refusals.not_paired(request)

    return guarded


def _is_open(path: str) -> bool:
    return any(path == p or path.startswith(p.rstrip("/") + "/") for p in OPEN_PATHS)


def token_of(request: HttpRequest) -> str:
    """The token a browser keeps, or a program sends with each request."""
    kind, _, token = request.headers.get("Authorization", "").partition(" ")
    return token if kind == "Bearer" else request.COOKIES.get(pairing.COOKIE, "")


class Problems:
    """Turn our errors into pages: what, where, what is allowed; a defect of ours shows no more."""

    def __init__(self, answer: Answer) -> None:
        """Keep what answers."""
        self.answer = answer

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer; errors come to :meth:`process_exception`."""
        return self.answer(request)

    def process_exception(self, request: HttpRequest, error: Exception) -> HttpResponseBase | None:
        """Answer an error of the baker's, the store's or the request's with a page."""
        if isinstance(error, DoughwrightError):
            return refusals.problems(request, error)
        if isinstance(error, refusals.TOO_MUCH):
            return refusals.too_large(request)
        return None


def problems_as_pages(answer: Answer) -> Problems:
    """Middleware of :class:`Problems`."""
    return Problems(answer)

"""Pairing a device, and letting one in no more."""

import io
from datetime import datetime
from itertools import count

import segno
from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from markupsafe import Markup

from doughwright.store.errors import told
from doughwright.web import pairing
from doughwright.web.guards import token_of
from doughwright.web.models import Device, PairingCode
from doughwright.web.pages import page

_wrong = count(1)


@require_http_methods(["GET", "POST"])
def pair(request: HttpRequest, code: str = "") -> HttpResponse:
    """Show the code's page; pair the device when its button is pressed.

    A look at the page uses nothing up: a phone may look at an address before it opens it. A look
    with a code that does not hold is a guess like any other.
    """
    now = timezone.now()
    if request.method == "GET":
        if code and not _holds(code, now):
            return _refused(request, 404)
        return page(request, "pair.html.j2", {"code": code, "wrong": ""})
    given = request.POST.get("code", code)
    token = pairing.token_for(given, request.POST.get("name", "") or _named(request), now)
    if token is None:
        return _refused(request, 403)
    response = HttpResponseRedirect("/breads")
    response.set_cookie(
        pairing.COOKIE,
        token,
        max_age=pairing.COOKIE_LASTS,
        httponly=True,
        samesite="Lax",
        secure=request.is_secure(),
    )
    return response


def _holds(code: str, now: datetime) -> bool:
    """Whether the code of an address would pair a device now."""
    with told():
        return PairingCode.objects.filter(digest=pairing.digest(code), expires__gt=now).exists()


def _refused(request: HttpRequest, status: int) -> HttpResponse:
    if next(_wrong) % pairing.WRONG_CODES == 0:
        pairing.end_codes()
    wrong = "This code does not hold: each pairs one device, once, within ten minutes."
    return page(request, "pair.html.j2", {"code": "", "wrong": wrong}, status=status)


def _named(request: HttpRequest) -> str:
    """A device by what its browser says of itself."""
    agent = request.headers.get("User-Agent", "")
    kinds = ("iPhone", "iPad", "Android", "Windows", "Macintosh", "Linux")
    return next((kind for kind in kinds if kind in agent), "a device")


@require_GET
def devices(request: HttpRequest) -> HttpResponse:
    """The devices that may ask, and how another one is let in."""
    return _devices_page(request)


def _devices_page(request: HttpRequest, **more: object) -> HttpResponse:
    """The devices as they are now, with a code or a token that was made for another one."""
    with told():
        here = Device.objects.filter(token_digest=pairing.digest(token_of(request))).first()
    said = {"devices": pairing.devices(), "here": here and here.pk, "lan": settings.LAN_ADDRESS}
    return page(request, "devices.html.j2", {**said, **more})


@require_POST
def invite(request: HttpRequest) -> HttpResponse:
    """A new code as address and picture; for a program, a token."""
    now = timezone.now()
    if request.POST.get("for") == "program":
        token = pairing.token_of_program(request.POST.get("name", "a program"), now)
        return _devices_page(request, token=token)
    code = pairing.new_code(now)
    base = settings.LAN_ADDRESS or f"{request.scheme}://{request.get_host()}"
    return _devices_page(request, invitation=invitation(base, code))


def invitation(base: str, code: str) -> dict[str, object]:
    """A code's address, the picture of it, and the code as it is typed."""
    address = f"{base}/pair/{code}"
    drawn = io.BytesIO()
    segno.make(address, error="m").save(
        drawn, kind="svg", scale=6, border=2, xmldecl=False, svgns=True, omitsize=True
    )
    picture = Markup(drawn.getvalue().decode())  # noqa: S704 - our own drawing
    return {"address": address, "code": code, "picture": picture}


@require_POST
def revoke(request: HttpRequest, number: int) -> HttpResponse:
    """Let a device in no more."""
    del request
    pairing.revoke(number, timezone.now())
    return HttpResponseRedirect("/devices")

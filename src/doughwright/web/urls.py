"""The addresses of the web app."""

from django.urls import URLPattern, path
from django.views.generic.base import RedirectView

from doughwright.web.views import assets, pairing

urlpatterns: list[URLPattern] = [
    path("", RedirectView.as_view(url="/breads")),
    path("style.css", assets.style_sheet),
    path("pair", pairing.pair, name="pair"),
    path("pair/<str:code>", pairing.pair, name="pair-with"),
    path("devices", pairing.devices, name="devices"),
    path("devices/invite", pairing.invite, name="invite"),
    path("devices/<int:number>/revoke", pairing.revoke, name="revoke"),
]
handler404 = "doughwright.web.views.refusals.not_found"
handler500 = "doughwright.web.views.refusals.our_fault"

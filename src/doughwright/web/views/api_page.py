"""What the API answers, on a page of our own: it loads nothing from elsewhere."""

from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.views.decorators.http import require_GET

from doughwright.web.api import api
from doughwright.web.pages import page


@dataclass(frozen=True, slots=True)
class Address:
    """One address of the API: how it is asked, and what it does."""

    method: str
    path: str
    does: str


def addresses() -> tuple[Address, ...]:
    """Every address, as the OpenAPI description has it."""
    described = api.get_openapi_schema()["paths"]
    return tuple(
        Address(method.upper(), path, said["description"])
        for path, methods in described.items()
        for method, said in methods.items()
    )


@require_GET
def described(request: HttpRequest) -> HttpResponse:
    """The page on the API."""
    return page(request, "api.html.j2", {"addresses": addresses()})

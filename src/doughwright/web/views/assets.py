"""The style sheet."""

from django.http import HttpRequest, HttpResponse

from doughwright.web.assets import style


def style_sheet(request: HttpRequest) -> HttpResponse:
    """The whole style; its address changes with it, so a browser may keep it for good."""
    del request
    response = HttpResponse(style(), content_type="text/css; charset=utf-8")
    response.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return response

"""Answers as pages: a template and what it says; for a part of a page, the part alone."""

from collections.abc import Mapping
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render


def page(
    request: HttpRequest, template: str, said: Mapping[str, Any], *, status: int = 200
) -> HttpResponse:
    """A page made of a template in ``web/templates``."""
    return render(request, template, {**said, "path": request.path}, status=status)


def is_part(request: HttpRequest) -> bool:
    """Whether a part of the page is asked for, by script; else the whole page is."""
    return request.headers.get("HX-Request") == "true" and "HX-Boosted" not in request.headers

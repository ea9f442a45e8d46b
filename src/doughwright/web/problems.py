"""What stands in the way, as programs read it."""

from django.http import HttpRequest, JsonResponse
from ninja import Schema

from doughwright.errors import DoughwrightError, Notice
from doughwright.render.messages import remedy, where, words


class Problem(Schema):
    """Something that stands in the way: its code, where, what it says, what to do."""

    code: str
    where: list[str | int]
    says: str
    remedy: str
    line: int | None = None
    column: int | None = None


class Problems(Schema):
    """Everything that stands in the way."""

    problems: list[Problem]


def problems_of(error: DoughwrightError) -> Problems:
    """All problems of an error."""
    return Problems(problems=[_problem(notice) for notice in error.problems])


def _problem(notice: Notice) -> Problem:
    place, spot = notice.place, where(notice)
    return Problem(
        code=notice.code,
        where=list(notice.where),
        says=words(notice) if place or not spot else f"{spot}: {words(notice)}",
        remedy=remedy(notice),
        line=place.line if place else None,
        column=place.column if place else None,
    )


def is_program(request: HttpRequest) -> bool:
    """Whether what asks is a program, by the address."""
    return request.path.startswith("/api/")


def told_to_program(error: DoughwrightError, status: int) -> JsonResponse:
    """An answer that says why not, before the API itself is reached."""
    return JsonResponse(problems_of(error).model_dump(mode="json"), status=status)

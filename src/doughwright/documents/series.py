"""The document ``series/1``: breads that belong together, each as far as it has come."""

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from doughwright.documents.scalars import Name, Strict, Words, one_of, refusal

STATES = ("idea", "on trial", "published")
"""How far a bread has come: thought of, being tried, given to others."""


class SeriesBread(Strict):
    """One bread of a series, by its key in the library, and how far it has come."""

    bread: Words
    state: one_of(*STATES) = "idea"  # type: ignore[valid-type]  # an Annotated type made from words
    note: Words | None = None


def _each_once(breads: list[SeriesBread]) -> list[SeriesBread]:
    """Refuse a bread that stands twice: it can be in one state only."""
    seen: set[str] = set()
    for position, entry in enumerate(breads):
        if entry.bread in seen:
            raise refusal("bread-twice", key=position, read=entry.bread)
        seen.add(entry.bread)
    return breads


class SeriesDocument(Strict):
    """A set of breads, such as a course or a season's list, in its order."""

    doughwright: Literal["series/1"]
    name: Name
    note: Words | None = None
    breads: Annotated[list[SeriesBread], AfterValidator(_each_once)] = Field(default_factory=list)

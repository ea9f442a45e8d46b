"""How large a text may be that is read as a recipe."""

from doughwright.errors import DocumentError, Notice


def refuse_beyond(source: str, *limits: tuple[str, int, int]) -> None:
    """Refuse what is far larger than a recipe, by the limit it passes: what, how many, the most.

    Raises
    ------
    DocumentError
        Where one is passed.
    """
    for what, count, most in limits:
        if count > most:
            values = {"what": what, "count": count, "allowed": most}
            raise DocumentError([Notice.of("gather-too-long", file=source, **values)])

"""Names of ingredients as bakers write them."""


def plain_name(name: str) -> str:
    """Strip what tells a second line apart: ``water (second)`` is water.

    >>> plain_name("Water  (second)"), plain_name("curd (20 %) soft")
    ('water', 'curd (20 %) soft')
    """
    whole = name.rstrip()
    if whole.endswith(")"):
        start = whole.find("(", whole.rfind(")", 0, -1) + 1)
        whole = whole[:start] if start >= 0 else whole
    return " ".join(whole.split()).casefold()

"""What the baker's own ingredients are like, by the document's own word."""

from doughwright.documents.names import plain_name
from doughwright.resolving.formulas import ResolvedFormula


def likeness(formula: ResolvedFormula) -> dict[str, str]:
    """The ingredient each own one is said to be like, as far as it is said."""
    own = formula.document.ingredients
    return {plain_name(name): str(e.like) for name, e in own.items() if e.like is not None}

"""The baker's own ingredients put into a bread that uses them."""

from doughwright.documents.formula import FormulaDocument
from doughwright.documents.names import plain_name
from doughwright.documents.shelf import ShelfDocument
from doughwright.errors import DocumentError
from doughwright.resolving.lines import Lookup


def with_shelf(document: FormulaDocument, shelf: ShelfDocument | None) -> FormulaDocument:
    """Add what the shelf says of the ingredients a bread uses and says nothing of itself."""
    if shelf is None:
        return document
    used = {plain_name(name) for p in document.preparations.values() for name in p.ingredients}
    wanted = used - {plain_name(name) for name in document.ingredients}
    taken = {name: own for name, own in shelf.ingredients.items() if plain_name(name) in wanted}
    if not taken:
        return document
    return document.model_copy(update={"ingredients": {**document.ingredients, **taken}})


def check_shelf(shelf: ShelfDocument) -> None:
    """Judge each ingredient of a shelf as a bread that defines it would be judged.

    Raises
    ------
    DocumentError
        With every problem found; their paths lead into the shelf.
    """
    bread = FormulaDocument(
        doughwright="formula/1", name=shelf.name, preparations={}, ingredients=shelf.ingredients
    )
    problems = Lookup(bread).problems
    if problems:
        raise DocumentError(problems)

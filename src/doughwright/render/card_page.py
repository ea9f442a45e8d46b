"""A card as one HTML page that needs nothing beside it, and as what another page includes."""

from markupsafe import Markup

from doughwright.render.card_parts import written_card
from doughwright.render.json_ld import recipe_script
from doughwright.render.page import STYLES
from doughwright.render.templating import style, templates
from doughwright.sheets.card import CardSheet

AT_THE_SCALE = frozenset({"ingredients"})
AT_THE_BENCH = frozenset({"method"})
"""Parts that stand side by side on a wide page; all others follow below."""


def card_page(card: CardSheet) -> str:
    """The card as one HTML5 document, its style inside, its recipe readable by machines."""
    template = templates().get_template("card.html.j2")
    return template.render(card_said(card), style=style(STYLES), json_ld=recipe_markup(card))


def card_said(card: CardSheet) -> dict[str, object]:
    """What the templates of a card's body say."""
    written = written_card(card)
    apart = AT_THE_SCALE | AT_THE_BENCH
    return {
        "card": written,
        "weighed": [part for part in written.parts if part.key in AT_THE_SCALE],
        "worked": [part for part in written.parts if part.key in AT_THE_BENCH],
        "read_later": [part for part in written.parts if part.key not in apart],
    }


def recipe_markup(card: CardSheet) -> Markup:
    """The recipe for machines, as it may stand in a page."""
    return Markup(recipe_script(card))  # noqa: S704 - no sign in it can end the element

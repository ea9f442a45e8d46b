"""The one style sheet of the app: the printed pages' and the app's own, under a lasting name."""

import hashlib
from functools import cache
from importlib.resources import files

from doughwright.render.page import STYLES
from doughwright.render.templating import style as printed

OWN = ("app.css", "library.css", "editor.css", "plan.css", "bench.css", "rework.css", "sources.css")
"""The app's own sheets, after those of the printed pages."""


@cache
def style() -> str:
    """The whole style sheet."""
    folder = files("doughwright.web") / "styles"
    own = [(folder / name).read_text("utf-8") for name in OWN]
    return "\n".join((printed(STYLES), *own))


@cache
def style_address() -> str:
    """The style sheet's address, another one whenever the style changes."""
    return f"/style.css?{hashlib.sha256(style().encode()).hexdigest()[:12]}"

"""How the documentation is built."""

from doughwright import __version__

project = "Doughwright"
author = "The Doughwright maintainers"
release = __version__

extensions = ["myst_parser"]
exclude_patterns = ["_build"]
myst_enable_extensions = ["colon_fence", "deflist"]
myst_heading_anchors = 2  # a section of a page can be linked to by its heading

html_theme = "alabaster"  # bundled with Sphinx; nothing is fetched by the reader's browser
html_theme_options = {
    "description": "A formula and a kitchen in, a bench plan out.",
    "fixed_sidebar": True,
    "font_family": "Georgia, 'Noto Serif', serif",
    "code_font_family": "ui-monospace, 'DejaVu Sans Mono', monospace",
    "show_powered_by": False,
}
html_show_sourcelink = False

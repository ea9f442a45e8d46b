"""The text of a page: a line for each block, headings marked, a table's cells apart by tabs."""

import re
from collections.abc import Iterator

from bs4 import Tag
from bs4.element import NavigableString, PreformattedString

SKIPPED = frozenset(
    {"script", "style", "template", "noscript", "svg", "nav", "head", "iframe", "button", "select"}
)
"""What is not read: programs, pictures, and the page's own furniture."""

BLOCKS = frozenset(
    {
        *("address", "article", "aside", "blockquote", "body", "br", "caption", "dd", "div", "dl"),
        *("dt", "fieldset", "figcaption", "figure", "footer", "form", "header", "hr", "li", "main"),
        *("ol", "p", "pre", "section", "table", "tbody", "tfoot", "thead", "tr", "ul", "option"),
    }
)
HEADINGS = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})
BESIDE = frozenset({"aside", "note", "measure", "hint", "secondary"})
"""Classes of what stands beside an ingredient in its cell."""

CELLS = frozenset({"td", "th"})


def page_text(tag: Tag) -> str:
    r"""The text of a part of a page.

    >>> from bs4 import BeautifulSoup
    >>> page_text(BeautifulSoup("<h2>Dough</h2><tr><td>5 g<td><b>sa</b>lt", "html.parser"))
    '## Dough\n5 g\tsalt'
    """
    text = "".join(_pieces(tag, _layout(tag)))
    lines = (_clean(line) for line in text.split("\n"))
    return "\n".join(line for line in lines if line.strip())


def _clean(line: str) -> str:
    """A line with single blanks; the tab before its first cell goes."""
    cells = [" ".join(cell.split()) for cell in line.strip(" ").split("\t")]
    return "\t".join(cells[1:] if len(cells) > 1 and not cells[0] else cells)


def _layout(tag: Tag) -> set[int]:
    """Cells that hold tables or lists: they are there for the page's looks."""
    around: dict[int, bool] = {}
    for inner in tag.find_all(["table", "ul", "ol"]):
        for parent in inner.parents:
            if id(parent) in around:
                break
            around[id(parent)] = parent.name in CELLS
    return {found for found, is_cell in around.items() if is_cell}


def _pieces(tag: Tag, layout: set[int]) -> Iterator[str]:
    """The text and what parts it, without recursion: pages may be nested beyond it."""
    stack: list[tuple[Tag, Iterator[object]]] = [(tag, iter(tag.contents))]
    cells = 0
    while stack:
        parent, inside = stack[-1]
        part = next(inside, None)
        if part is None:
            stack.pop()
            cells -= parent.name in CELLS and id(parent) not in layout
            yield ")" if cells and _is_beside(parent) else _end(parent.name, cells)
        elif isinstance(part, Tag):
            if part.name not in SKIPPED:
                beside = bool(cells) and _is_beside(part)
                start = _start(part.name, cells, is_layout=id(part) in layout)
                yield " (" if beside else start
                cells += part.name in CELLS and id(part) not in layout
                stack.append((part, iter(part.contents)))
        elif isinstance(part, NavigableString) and not isinstance(part, PreformattedString):
            yield re.sub(r"\s+", " ", str(part))


def _is_beside(tag: Tag) -> bool:
    """Whether an element in a cell is set apart from the words it stands with."""
    classes = tag.get("class") or ()
    return tag.name == "small" or (tag.name == "span" and not BESIDE.isdisjoint(classes))


def _start(name: str, cells: int, *, is_layout: bool) -> str:
    if name in HEADINGS:
        return f"\n{'#' * int(name[1])} " if not cells else " "
    if name in CELLS and not is_layout:
        return "\t"
    return "\n" if name == "tr" else _end(name, cells)


def _end(name: str, cells: int) -> str:
    """What parts a block from what follows: inside a cell no more than a blank."""
    if name in BLOCKS or name in HEADINGS:
        return " " if cells else "\n"
    return ""

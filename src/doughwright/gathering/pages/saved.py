"""Saved web pages: their schema.org Recipe, by JSON-LD or microdata, else their tables and text."""

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from html import unescape
from typing import Any

from bs4 import BeautifulSoup, Tag
from bs4.dammit import EncodingDetector
from bs4.exceptions import ParserRejectedMarkup

from doughwright.errors import DocumentError, Notice
from doughwright.gathering.gathered import Gathered, Origin, Section
from doughwright.gathering.lines.line_items import numbered_lines
from doughwright.gathering.pages.figures import made_in
from doughwright.gathering.pages.finding import Findings
from doughwright.gathering.pages.limits import refuse_beyond
from doughwright.gathering.pages.page_text import page_text
from doughwright.gathering.pages.sections import (
    findings,
    gathered_from,
    lines_gathered,
    text_gathered,
)
from doughwright.gathering.pages.titles import bare_heading, kind_of, title_of

MOST_SIGNS, MOST_TAGS, DEEPEST = 5_000_000, 150_000, 12
"""What no page with a recipe needs; beyond it reading takes its time."""

NAMES = ("name", "headline")
INGREDIENTS = ("recipeIngredient", "ingredients")
NOTES = ("description", "prepTime", "cookTime", "totalTime", "tool", "keywords", "author")
"""What a recipe says beside its lines: kept, not counted."""

_BESIDE = re.compile(r"\(([^()]*)\)\s*$")
_PAGE = re.compile(r"<(?:!doctype\s+html|html|head|body|table|div|script)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Recipe:
    """The lines of one schema.org Recipe, whichever way the page holds it."""

    title: str
    ingredients: tuple[str, ...]
    makes: tuple[str, ...]
    steps: tuple[str, ...]
    notes: tuple[str, ...]
    parts: tuple[str, ...] = ()
    """Names of the sections of its method."""


def is_page(text: str) -> bool:
    """Whether a text is a web page.

    >>> is_page("<!DOCTYPE html><p>Bread"), is_page("500 g flour < 1 kg")
    (True, False)
    """
    return _PAGE.search(text[:20_000]) is not None


def decoded(body: bytes) -> str | None:
    """The text of a file: as its mark or its page says, else UTF-8; None where it is neither."""
    declared = EncodingDetector.find_declared_encoding(body[:4096], is_html=True)
    marked = ("utf-16",) if body[:2] in (b"\xff\xfe", b"\xfe\xff") else ()
    for encoding in (*marked, "utf-8-sig", *filter(None, (declared,))):
        with suppress(UnicodeDecodeError, LookupError):
            return body.decode(encoding)
    return None


def any_gathered(text: str, source: str) -> Gathered:
    """What stands in a text, be it a saved page, a schema.org Recipe alone, or plain.

    Raises
    ------
    DocumentError
        Where there is nothing in it, or far more than a recipe.
    """
    if is_page(text):
        return page_gathered(text, source)
    is_json = len(text) <= MOST_SIGNS and text.lstrip()[:1] in ("{", "[")
    return (json_gathered(text, source) if is_json else None) or text_gathered(text, source)


def page_gathered(html: str, source: str = "saved page") -> Gathered:
    """What stands in a saved page: the recipe it declares, else its tables and its text.

    Raises
    ------
    DocumentError
        Where the page is far larger than one with a recipe, or holds no text.
    """
    refuse_beyond(source, ("signs", len(html), MOST_SIGNS), ("tags", html.count("<"), MOST_TAGS))
    soup = _soup(html)
    recipes = [*_declared(soup), *_marked(soup)]
    best = max(recipes, key=lambda recipe: len(recipe.ingredients), default=None)
    if best is None or not best.ingredients:
        return _text_of_page(soup, source)
    others = [r for r in recipes if r.title.casefold() != best.title.casefold()]
    lines = (words for r in others for words in (r.title, *r.ingredients))
    return recipe_gathered(best, source, tuple(lines))


def json_gathered(text: str, source: str = "recipe") -> Gathered | None:
    """What a schema.org Recipe holds that stands alone as JSON; None where it is none."""
    recipes = [*_recipes_in(_json(text))]
    best = max(recipes, key=lambda recipe: len(recipe.ingredients), default=None)
    return recipe_gathered(best, source) if best and best.ingredients else None


def _soup(html: str) -> BeautifulSoup:
    """The page's tree; marked sections that no page should hold are taken out if need be."""
    try:
        return BeautifulSoup(html, "html.parser")
    except ParserRejectedMarkup:
        return BeautifulSoup(html.replace("<!", "&lt;!"), "html.parser")


def _text_of_page(soup: BeautifulSoup, source: str) -> Gathered:
    named = soup.find("h1") or soup.find("title")
    title = " ".join(named.get_text(" ").split()) if named else ""
    lines = numbered_lines(page_text(soup), source)
    if not lines:
        raise DocumentError([Notice.of("gather-empty", file=source)])
    return lines_gathered(lines, source, title)


# --- A recipe that the page declares --------------------------------------------------------------


def _declared(soup: BeautifulSoup) -> Iterator[Recipe]:
    """Every recipe in the page's JSON-LD."""
    for script in soup.find_all("script", type=re.compile(r"application/ld\+json", re.IGNORECASE)):
        yield from _recipes_in(_json(script.get_text()))


def _json(text: str) -> Any:
    """Parsed JSON; None where it is none, or nested beyond what a parser takes."""
    try:
        return json.loads(text.strip().removeprefix("<!--").removesuffix("-->"), strict=False)
    except (ValueError, RecursionError):
        return None


def _recipes_in(tree: Any, depth: int = 0) -> Iterator[Recipe]:
    """Recipes anywhere in a tree: alone, in a list, in an ``@graph``, in another thing."""
    if depth > DEEPEST:
        return
    if isinstance(tree, dict):
        kinds = tree.get("@type")
        if "Recipe" in (kinds if isinstance(kinds, list) else [kinds]):
            yield _recipe(tree)
            return
    inside = tree.values() if isinstance(tree, dict) else tree if isinstance(tree, list) else ()
    for part in inside:
        yield from _recipes_in(part, depth + 1)


def _recipe(tree: Mapping[str, Any]) -> Recipe:
    def said(*keys: str) -> tuple[str, ...]:
        return tuple(word for key in keys for word in _strings(tree.get(key)))

    steps = tuple(_steps(tree.get("recipeInstructions")))
    return Recipe(
        title=next(iter(said(*NAMES)), ""),
        ingredients=next(filter(None, map(said, INGREDIENTS)), ()),
        makes=said("recipeYield", "yield"),
        steps=tuple(words for is_name, words in steps if not is_name),
        notes=tuple(f"{key}: {words}" for key in NOTES for words in said(key)),
        parts=tuple(words for is_name, words in steps if is_name),
    )


def _strings(value: Any, depth: int = 0) -> Iterator[str]:
    """The words of a value: a string by its lines, a number, a list, or a thing's name."""
    if isinstance(value, str):
        yield from _lines(value)
    elif isinstance(value, bool) or value is None or depth > DEEPEST:
        return
    elif isinstance(value, int | float):
        yield f"{value:g}"
    elif isinstance(value, list):
        for part in value:
            yield from _strings(part, depth + 1)
    elif isinstance(value, dict):
        named = value.get("text") or value.get("name") or value.get("@value")
        yield from _strings(named, depth + 1)


def _lines(text: str) -> Iterator[str]:
    """The lines of a string, which may hold tags and entities."""
    plain = unescape(text)
    if re.search(r"</?[a-z]", plain, re.IGNORECASE):
        plain = page_text(_soup(plain))
    yield from filter(None, (" ".join(line.split()) for line in plain.splitlines()))


def _steps(value: Any, depth: int = 0) -> Iterator[tuple[bool, str]]:
    """The steps of a method, and before them the names of its sections (True)."""
    if isinstance(value, list) and depth <= DEEPEST:
        for part in value:
            yield from _steps(part, depth + 1)
    elif isinstance(value, dict) and "itemListElement" in value and depth <= DEEPEST:
        yield from ((True, words) for words in _strings(value.get("name")))
        yield from _steps(value["itemListElement"], depth + 1)
    else:
        yield from ((False, words) for words in _strings(value))


def _marked(soup: BeautifulSoup) -> Iterator[Recipe]:
    """Every recipe in the page's microdata."""
    for tag in soup.find_all(itemtype=re.compile(r"schema\.org/Recipe\b", re.IGNORECASE)):
        read = {key: tuple(_marked_words(tag, key)) for key in (*NAMES, *INGREDIENTS, *NOTES)}
        yield Recipe(
            title=next((words for key in NAMES for words in read[key]), ""),
            ingredients=next((read[key] for key in INGREDIENTS if read[key]), ()),
            makes=tuple(_marked_words(tag, "recipeYield")),
            steps=tuple(_marked_words(tag, "recipeInstructions")),
            notes=tuple(f"{key}: {words}" for key in NOTES for words in read[key]),
        )


def _marked_words(tag: Tag, key: str) -> Iterator[str]:
    for found in tag.find_all(itemprop=key):
        content = found.get("content") or found.get("datetime")
        text = str(content) if content else page_text(found)
        yield from filter(None, (" ".join(line.split()) for line in text.splitlines()))


# --- Its lines ------------------------------------------------------------------------------------


def recipe_gathered(recipe: Recipe, source: str, others: Sequence[str] = ()) -> Gathered:
    """What a declared recipe holds; ``others`` are lines of other recipes, told and left."""
    named = title_like(recipe.title, source)
    lines = [Origin(source, i, words) for i, words in enumerate(recipe.ingredients, 1)]
    read = _ingredients(recipe, lines)
    method = [Origin(f"{source}, method", i, words) for i, words in enumerate(recipe.steps, 1)]
    read.title = named
    read.method = [*method, *read.method]
    read.made += _makes(recipe, source)
    beside = [f"name: {recipe.title}", *recipe.notes, *(f"method: {part}" for part in recipe.parts)]
    read.other += [Origin(f"{source}, beside", i, words) for i, words in enumerate(beside, 1)]
    read.unread += [Origin(f"{source}, another recipe", i, w) for i, w in enumerate(others, 1)]
    return gathered_from(read, source)


def title_like(title: str, source: str) -> str:
    """The title of a recipe, or where it was found."""
    return " ".join(title.split()) or source


def _makes(recipe: Recipe, source: str) -> Iterator[Any]:
    """What it makes, said as "8", as "8 pieces", or both."""
    for i, words in enumerate(recipe.makes, 1):
        origin = Origin(f"{source}, yield", i, words)
        made = made_in(origin) or made_in(replace(origin, text=f"makes {words}"))
        if made:
            yield replace(made, origin=origin, words=words)


def _ingredients(recipe: Recipe, lines: Sequence[Origin]) -> Findings:
    """Its ingredients, by the parts their lines name in brackets, else by headings among them."""
    groups = parts_named(lines, recipe.parts)
    if not groups:
        return findings(lines, Findings(mode="ingredients"))
    read = Findings(mode="ingredients")
    for name, group in groups.items():
        read.sections.append(Section(name, ()))
        findings(group, read)
        read.mode = "ingredients"
    return read


def parts_named(lines: Sequence[Origin], parts: Sequence[str]) -> dict[str, list[Origin]]:
    """Lines by the part that each of them names last in its brackets; empty where one does not.

    >>> lines = [Origin("a page", 1, "200 g flour (sponge)")]
    >>> list(parts_named(lines, ()))
    ['sponge']
    """
    groups: dict[str, list[Origin]] = {}
    for line in lines:
        beside = _BESIDE.search(line.text)
        if beside is None:
            return {}
        groups.setdefault(beside[1].rpartition(",")[2].strip(), []).append(line)
    titles = [(title_of(part), bare_heading(part)) for part in parts]
    known = {title.name if title else bare for title, bare in titles}
    told = [name for name in groups if kind_of(name) or name in known]
    return groups if told and len(told) * 2 >= len(groups) else {}

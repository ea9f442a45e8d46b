"""One line of a recipe to its ingredients: the amount, the name, and whatever is said beside them.

Every word of the line is in an item's name, note or amount, but for the joints ("plus", "or",
"with"); a line that holds no ingredient gives none, and is kept by whoever asked.
"""

import re
from collections.abc import Iterator
from dataclasses import replace

from doughwright.gathering.gathered import Item, Origin, Use
from doughwright.gathering.lines.amounts import (
    ADDED,
    Found,
    amount_at,
    amounts_in,
)
from doughwright.gathering.lines.beside import (
    added_behind,
    condition_in,
    grains_in,
    has_unit,
    percent_behind,
    said_in_brackets,
    sized,
    tells_share_behind,
    without_two,
)
from doughwright.gathering.lines.cultures import wetness_in
from doughwright.gathering.lines.each import each_of
from doughwright.gathering.lines.filled import SIZES
from doughwright.gathering.lines.fruit import fruit_items, joined
from doughwright.gathering.lines.made_up import made_up
from doughwright.gathering.lines.names import BESIDE, described, is_stage, may_mean
from doughwright.gathering.lines.needed import with_what_is_needed
from doughwright.gathering.lines.numerals import MOST_CHARACTERS, plain
from doughwright.gathering.lines.parting import Part, alternatives_of, parts_of, two_apart
from doughwright.gathering.lines.reaching import Said, with_reach
from doughwright.gathering.lines.splitting import DIVIDED, names_two_places, parted, split_of
from doughwright.gathering.lines.uses import is_step, is_sum, use_under, without_use
from doughwright.gathering.pages.told_shares import tells_share

MOST_WORDS = 40
"""Of a line that begins with an amount; a longer one is a paragraph (assumption)."""

FRESH = frozenset({"cube", "half cube", "cake"})
"""What only fresh yeast is sold in (common practice)."""

EGGS = frozenset({"egg", "egg yolk", "egg white"})

MOST_WORDS_BARE = 14
"""Of a line that does not."""

_BULLET = re.compile(
    r"\s*(?:[•·▪▫◦‣⁃*–—▢☐□☑✓✔►▶●○■]+|\[[ xX]?\]|-(?!\s*[0-9]\s*-)|(?:\d{1,2}[.)])(?=\s+\S))?\s*"
)
_ONLY_IF = re.compile(r"\s*(?:if|when|in\s+(?:winter|summer|case))\b", re.IGNORECASE)
_DRAINED = re.compile(
    r"\b(?:drain(?:ed)?|strained|squeezed (?:out|dry)|patted dry|discard(?:ed)?)\b", re.IGNORECASE
)
_WAITED = re.compile(
    r"\s*[,;(]?\s*\b(?:(?:and|then)\s+)*(?:(?:well|thoroughly|lightly)\s+)?"
    r"(?:drain|strained|squeezed|patted|discard).*"
    r"|\s+(?:eingelegt|eingeweicht|gequollen)\b.*"
    r"|\s+(?:for\s+(?:(?:at least|about)\s+)?(?:\d|[¼½¾]|an?\b)|overnight\b|until\b"
    r"|(?:just\s+)?(?:enough\s+)?to cover\b).*",
    re.IGNORECASE,
)
_FOR_A_PART = re.compile(r"(?:for|to make)\s+(?:the|a)\s", re.IGNORECASE)
_FRIED = re.compile(
    r"\s*[,(]?\s*\b(?:for|to)\s+fry(?:ing)?\s+(?:the\s+)?(?P<what>[^,;()]+)\)?", re.IGNORECASE
)
_BRACKET = re.compile(r"\s*[\(\[]([^()\[\]]*)[\)\]]?")
_NUMBERED = re.compile(
    r"(?:page|chapter|step|part|day|no|nr|figure|fig|table|recipe|photo|version|level|stage|batch"
    r"|loaf|rolls?|copyright|©)\b",
    re.IGNORECASE,
)
_LABEL = re.compile(r"(?P<label>[^\W\d_][^:0-9]{2,40}):\s+(?=\S)")
_USE_LABEL = re.compile(
    r"(?P<label>[^\W\d_][^:=(0-9–—]{2,40}?)\s*(?:[:=–—]|\s-\s|\((?=[^()]+\)\W*$))\s*(?=\S)"
)


def items_of(line: str, source: str, number: int) -> tuple[Item, ...] | None:
    """The ingredients of a line; None where it is no line of ingredients.

    >>> [(item.name, item.use) for item in items_of("2 eggs, plus 1 egg yolk for glazing", "", 1)]
    [('eggs', 'dough'), ('egg yolk', 'glaze')]
    >>> items_of("Bake at 220 °C for 25 minutes.", "", 1) is None
    True
    """
    text = plain(line)
    body = text[_start(text) :].strip()
    if not _may_be(body) or tells_share(body):
        return None
    origin = Origin(source, number, line)
    label, use, body = _labelled(body)
    body = two_apart(body)
    items = _split(body, origin) or _made_up(body, origin, use)
    items = _noted(items or tuple(_items(parts_of(body), origin, use)), label)
    return items if any(_is_ingredient(item, body) for item in items) else None


def use_before(line: str) -> Use:
    """What the heading on a line says that all of the line is for: "For brushing: 1 egg"."""
    text = plain(line)
    return _labelled(text[_start(text) :].strip())[1]


def _start(text: str) -> int:
    match = _BULLET.match(text)
    return match.end() if match else 0


def _may_be(body: str) -> bool:
    words = body.split()
    if not words or body.endswith(":") or len(body) > MOST_CHARACTERS or len(words) > MOST_WORDS:
        return False
    return not is_sum(body) and (described(body).ingredient is not None or not is_step(body))


def _is_ingredient(item: Item, body: str) -> bool:
    named = described(item.name)
    known = named.ingredient is not None or is_stage(named.name)
    words = len(body.split())
    if item.amount is None:
        return known and words <= MOST_WORDS_BARE and not _FOR_A_PART.match(body)
    if item.amount.unit or known:
        return known or words <= MOST_WORDS_BARE
    if body.endswith("."):
        return False  # a remark: "Third evening of the class."
    return words <= MOST_WORDS_BARE // 2 and any(sign.isalpha() for sign in item.name)


def _split(body: str, origin: Origin) -> tuple[Item, ...]:
    """The shares of one amount for several places, where the line tells of them."""
    split = split_of(body)
    return parted(_with_alternatives(split.head, origin), split) if split else ()


def _made_up(body: str, origin: Origin, use: Use) -> tuple[Item, ...]:
    """What an amount is made up of, where brackets say that."""
    taken = made_up(body)
    found = [(described(name), amount) for name, amount in taken.parts]
    return tuple(
        Item(named.name, amount, origin, named.note, use, apart=taken.apart)
        for named, amount in found
    )


def _labelled(body: str) -> tuple[str, Use, str]:
    """A heading on the same line ("Glaze: 1 egg yolk"), what it is for, and the rest."""
    match = _USE_LABEL.match(body)
    if match is None or use_under(match["label"]) == "dough":
        match = _LABEL.match(body)
        if match is None or described(match["label"]).ingredient is not None:
            return "", "dough", body
    found = amount_at(body, match.end())
    after = body[found.end if found else match.end() :]
    if described(parts_of(after)[0].text.strip().removeprefix("of ")).ingredient is None:
        return "", "dough", body
    return match["label"], use_under(match["label"]), body[match.end() :]


def _noted(items: tuple[Item, ...], note: str) -> tuple[Item, ...]:
    return tuple(replace(item, note=joined(note, item.note)) for item in items[:1]) + items[1:]


def _items(parts: tuple[Part, ...], origin: Origin, use: Use) -> list[Item]:
    """The ingredients of the parts of a line, each with the use that reaches it."""
    said: list[Said] = []
    for part in parts:
        for at, one in enumerate(_of_part(part, origin, use)):
            item, last = one.item, said[-1].item if said else None
            nameless = part.extra or item.name.lower().startswith("for ") or not _names(item.name)
            if last is not None and nameless and not _known(item.name):
                item = replace(item, name=last.name, note=joined(item.name, item.note))
            item = _as_large(item, last) if last is not None else item
            joint = part.joint if at == 0 else "and"
            said.append(replace(one, item=item, joint=joint, is_extra=part.extra))
    said = with_what_is_needed(said)
    items = with_reach(said) if use == "dough" else [one.item for one in said]
    drained = any(_DRAINED.search(part.text) for part in parts)
    soaked: Use = "drained" if drained else "soak"
    return [
        replace(item, use=soaked) if one.soaks and (drained or item.use == use) else item
        for item, one in zip(items, said, strict=True)
    ]


def _as_large(item: Item, last: Item) -> Item:
    """An egg of no size is as large as the one its line names before: "2 large eggs + 1 yolk"."""
    amount, before = item.amount, last.amount
    if amount is None or before is None or amount.unit or not {_row(item), _row(last)} <= EGGS:
        return item
    size = tuple(word for word in before.modifiers if word in SIZES)
    is_said = not size or any(word in SIZES for word in amount.modifiers)
    sized_so = replace(amount, modifiers=(*amount.modifiers, *size))
    return item if is_said else replace(item, amount=sized_so)


def _row(item: Item) -> str:
    row = described(item.name).ingredient
    return row.name if row else ""


def _names(name: str) -> bool:
    """Whether some words are more than words beside a name: not melted, nor sifted alone."""
    return any(word not in BESIDE for word in name.lower().split())


def _of_part(part: Part, origin: Origin, use: Use) -> Iterator[Said]:
    whole, waited = _waited(part.text) if part.soaks else (part.text, "")
    fried = _FRIED.search(whole)
    may_be: Use | None = "filling" if fried and _known(fried["what"]) else None
    text, words, said_use = without_use(whole)
    if fried and may_be:
        text, words, said_use = whole.replace(fried[0], " "), fried[0].strip(" ,()"), None
    apart = tuple(fruit_items(text.strip(), origin)) or tuple(each_of(text.strip(), origin))
    items = apart or (_with_alternatives(text, origin),)
    is_apart = bool(words) and whole[: whole.find(words)].rstrip().endswith((",", "(", "["))
    for item in items:
        note = joined(item.note, part.done, words, waited)
        taken = said_use or (_egg_wash(item) if use == "dough" else None)
        is_divided = DIVIDED.search(note) or names_two_places(whole)
        divided = origin.text.strip() if is_divided else ""
        taken = None if divided else taken
        made = replace(item, note=note, use=taken or use, divided=divided, may_be=may_be)
        yield Said(made, use=taken, words=words, is_apart=is_apart, soaks=part.soaks)


def _waited(text: str) -> tuple[str, str]:
    """What something is soaked in, and how long it is or that it is drained."""
    match = _WAITED.search(text)
    return (text[: match.start()], match[0].strip(" ,;()")) if match else (text, "")


def _egg_wash(item: Item) -> Use | None:
    """What is called an egg wash is for the glaze, whatever else its line says."""
    return "glaze" if re.search(r"egg ?wash", item.name, re.IGNORECASE) else None


# --- One ingredient, and what may stand for it --------------------------------------------------


def _with_alternatives(text: str, origin: Origin) -> Item:
    base_text, aside = _aside(text)
    first, *others = alternatives_of(base_text)
    base = _one(first, origin)
    beside = [other for inside in aside for other in alternatives_of(inside)]
    rest = [_other(other, base, origin) for other in (*others, *beside)]
    return _joined_names(base, rest)


def _other(text: str, base: Item, origin: Origin) -> Item:
    """What may be taken instead; a noun that is said once goes with all its words: active dry."""
    item = _one(text, origin)
    words = base.name.split()
    for at in range(len(words) - 1, -1, -1) if not _known(item.name) else ():
        longer = _one(f"{text.strip(' ,;')} {' '.join(words[at:])}", origin)
        if _known(longer.name):
            return longer
    return item


def _aside(text: str) -> tuple[str, tuple[str, ...]]:
    """A stretch without the brackets that say what else may be taken, and what those say."""
    found: list[str] = []
    for match in _BRACKET.finditer(text):
        inside = match[1].strip()
        amount = amount_at(inside)
        if inside.lower().startswith("or "):
            found.append(inside[3:])
        elif amount is not None and _ONLY_IF.match(inside, amount.end):
            found.append(inside)
    for inside in found:
        gone = rf"\s*[\(\[]\s*(?:or\s+)?{re.escape(inside)}\s*[\)\]]?"
        text = re.sub(gone, " ", text, flags=re.IGNORECASE)
    return text, tuple(found)


def _joined_names(base: Item, others: list[Item]) -> Item:
    """Alternatives borrow from one another what is said once: the noun, the amount, its unit."""
    if others and not _known(base.name):
        base = _with_noun(base, others[-1].name)
    others = [_borrowing(other, base) for other in others]
    if base.amount is None and others:
        base = replace(base, amount=others[-1].amount)
    return replace(base, alternatives=tuple(others))


def _borrowing(item: Item, base: Item) -> Item:
    amount = item.amount or base.amount
    if item.amount and amount and base.amount and amount.words.isdigit() and not amount.unit:
        amount = replace(amount, unit=base.amount.unit if base.amount.unit in ADDED else "")
    named = item if _known(item.name) else _with_noun(item, base.name)
    return replace(named, amount=amount)


def _with_noun(item: Item, other: str) -> Item:
    """A name completed by the other's last words: dried, beside fresh yeast, is dried yeast."""
    if not item.name:
        return replace(item, name=other)
    words = other.split()
    for at in range(len(words) - 1, -1, -1):
        name = f"{item.name} {' '.join(words[at:])}"
        if _known(name):
            return replace(item, name=name)
    return item


def _known(name: str) -> bool:
    return described(name).ingredient is not None


def _one(text: str, origin: Origin) -> Item:
    """One ingredient: its amount, its name, and the words beside it."""
    text, wet = wetness_in(_unopened(text.strip(" ,;")))
    if wet:
        item = _one(text, origin)
        return replace(item, note=joined(item.note, wet))
    whole = described(text)
    row, is_measured = whole.ingredient, any(has_unit(f) for f in amounts_in(text))
    if row and not is_measured and not tells_share_behind(whole.note, row.kind):
        return Item(whole.name, None, origin, whole.note)
    found = _amount_in(text)
    if found is None:
        left, two = without_two(text)
        whole = described(left)
        return Item(whole.name, None, origin, joined(whole.note, two))
    rest = f"{text[: found.start]} {text[found.end :]}"
    rest, amount = said_in_brackets(rest, found.amount)
    rest, amount = added_behind(rest, amount)
    rest, percent = percent_behind(rest, amount)
    rest, amount = sized(re.sub(r"^\W*of\s+", "", rest), amount)
    rest, note = condition_in(rest)
    named = described(rest)
    if named.ingredient is not None and named.ingredient.name == "salt":
        amount = replace(amount, modifiers=amount.modifiers + grains_in(named.name))
    if amount.unit in FRESH and "fresh yeast" in may_mean(named.name):
        named = replace(named, name="fresh yeast")
    return Item(named.name, amount, origin, joined(named.note, note), columns=percent)


def _unopened(text: str) -> str:
    """A stretch without the bracket at its end that was opened ahead of it."""
    is_odd = text.endswith((")", "]")) and not re.search(r"[(\[]", text)
    return text[:-1].rstrip() if is_odd else text


def _amount_in(text: str) -> Found | None:
    """The amount of a stretch: at its start, else the first with a unit, else a count behind."""
    first = amount_at(text)
    found = [f for f in amounts_in(text) if f.end > (first.end if first else 0)]
    united = next((f for f in found if has_unit(f)), None)
    if first is not None and first.amount.unit == "%" and united is not None:
        return united
    if first is not None and not first.amount.unit and united is not None:
        return _count_or_weight(text, first, united)
    return first or united or _behind(text, found)


def _count_or_weight(text: str, count: Found, weight: Found) -> Found:
    """A count with its weight ("2 eggs, 100 g"), or a number of the name ("7 grain mix 500 g")."""
    named = described(text[count.end : weight.start])
    if named.ingredient is None:
        return weight
    return count


def _behind(text: str, found: list[Found]) -> Found | None:
    """A percentage anywhere, else a bare number at the very end: "eggs x 2", "water 65 %"."""
    percent = next((f for f in found if f.amount.unit == "%"), None)
    if percent is not None:
        return percent
    last = found[-1] if found else None
    if last is None or text[last.end :].strip(" .;") or _NUMBERED.match(text):
        return None
    behind = re.search(r"\s*\bx\s*$", text[: last.start], re.IGNORECASE)
    return replace(last, start=behind.start()) if behind else last

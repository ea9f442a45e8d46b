"""Plain text to what was read in it: title, sections of ingredients, method, yield, oven, times.

Every line ends up in one place: an ingredient, a heading, a sum, the yield, the method, a note,
or what was not understood.
"""

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from doughwright.engine.ingredients import ingredient_named
from doughwright.errors import DocumentError, Notice
from doughwright.gathering.gathered import Amount, Gathered, Item, Origin, Section
from doughwright.gathering.lines.amounts import amount_of, amounts_in
from doughwright.gathering.lines.line_items import items_in, known_items, numbered_lines, unmarked
from doughwright.gathering.lines.uses import is_figure, without_use
from doughwright.gathering.pages.beginning import (
    LONGEST_ITEM,
    STARTS,
    STARTS_AMOUNT,
    STEP,
    begins_part,
    begins_section,
    heads_bare,
    is_ingredient,
    is_prose,
    names_earlier,
)
from doughwright.gathering.pages.figures import (
    beside,
    counted_in,
    counts_breads,
    is_only_made,
    made_in,
)
from doughwright.gathering.pages.finding import Findings, items_added, listed_added
from doughwright.gathering.pages.limits import refuse_beyond
from doughwright.gathering.pages.titles import (
    WHOLE,
    bare_heading,
    block_named,
    is_heading,
    is_shouted,
    title_of,
    whole_title,
)
from doughwright.gathering.pages.told_shares import tells_share
from doughwright.gathering.process.ovens import ovens_of
from doughwright.gathering.process.times import all_times_in
from doughwright.gathering.process.verbs import VERBS
from doughwright.gathering.tables.reading import TOTAL, cells_of, is_rule, table_read
from doughwright.gathering.tables.separated import separated_run

LONGEST_STEP = 20_000
"""Signs of the longest line that is read for its times."""

MOST_SIGNS, MOST_LINES = 400_000, 5000
"""No recipe comes near; beyond it reading would take its time over what cannot be meant."""

_INLINE = re.compile(rf"^([^:\d]{{2,40}}):\s+(?=[\d¼½¾⅓⅔⅛]|(?:{WHOLE})\b)(.+)$", re.IGNORECASE)
_TAKEN = re.compile(rf"(?:(?:{WHOLE})\s[^,;\d]+[,;]\s*(?:and\s+)?)+(?=[\d¼½¾⅓⅔⅛])", re.IGNORECASE)
_GROUPS_WORDS = """
ingredients zutaten ingrédients ingredientes ingredienti dry wet liquids liquid flours spices spice
optional additions extras mix-ins seasoning fats also plus enrichment enrichments inclusions
"""
_GROUPS = frozenset(_GROUPS_WORDS.split())
"""What stands before a list that belongs to the part it stands in."""


def text_gathered(text: str, source: str = "pasted text", title: str = "") -> Gathered:
    r"""What stands in a text.

    >>> read = text_gathered("Rolls\n\nMakes 8\n500 g strong flour\n\nMethod\nBake at 220°C.")
    >>> read.title, len(read.sections[0].items), read.made[0].pieces
    ('Rolls', 1, (8, 8))

    Raises
    ------
    DocumentError
        Where there is nothing in it, or far more than a recipe.
    """
    if not text.strip():
        raise DocumentError([Notice.of("gather-empty", file=source)])
    refuse_beyond(source, ("signs", len(text), MOST_SIGNS), ("lines", text.count("\n"), MOST_LINES))
    return lines_gathered(numbered_lines(text, source), source, title)


def lines_gathered(lines: Sequence[Origin], source: str, title: str = "") -> Gathered:
    """What stands in lines that have their places already."""
    return gathered_from(findings(lines, Findings(title=title)), source)


def findings(lines: Sequence[Origin], read: Findings) -> Findings:
    """What was read so far, and what stands in these lines."""
    read.plain_until = 0
    at = 0
    while at < len(lines):
        at += _table_taken(read, lines, at) or _line_taken(read, lines, at)
    return read


def gathered_from(read: Findings, source: str) -> Gathered:
    """The whole, with the ovens and times that its lines tell of."""
    lines = [*read.method, *read.other, *(m.origin for m in read.made)]
    told = [line for line in lines if len(line.text) <= LONGEST_STEP]
    steps = set(read.method)
    settings = [line for line in told if not steps or line in steps] or told
    return Gathered(
        source=source,
        title=read.title,
        sections=tuple(read.sections),
        made=tuple(read.made),
        ovens=ovens_of(settings),
        times=tuple(time for line in read.method for time in all_times_in(line)),
        method=tuple(read.method),
        unread=tuple(read.unread),
        other=tuple(read.other),
    )


# --- Tables -------------------------------------------------------------------------------------


def _table_taken(read: Findings, lines: Sequence[Origin], at: int) -> int:
    """Read a table where one begins; return how many lines it has, 0 where there is none."""
    if read.mode in ("method", "notes") or at < read.plain_until:
        return 0
    run = _table_run(lines, at)
    table = table_read(lines[at : at + run]) if run > 1 else None
    if table is None or not any(section.items for section in table.sections):
        read.plain_until = at + run
        return 0
    first, *others = table.sections
    if not first.title and read.sections and read.sections[-1].title:
        last = read.sections.pop()
        first = replace(last, items=(*last.items, *first.items), sums=(*last.sums, *first.sums))
    read.sections += [first, *others]
    read.unread += table.unread
    read.other += table.other
    read.mode, read.into = "ingredients", None
    return run


def _table_run(lines: Sequence[Origin], at: int) -> int:
    """How many lines from here on stand in columns."""
    if run := separated_run(lines, at):
        return run
    end = at
    while end < len(lines):
        text = lines[end].text
        columns = len(cells_of(unmarked(text)))
        if columns < 2 and not (is_rule(text) or _heads_rows(lines, end)):
            break
        end += 1
    return end - at


def _heads_rows(lines: Sequence[Origin], at: int) -> bool:
    """Whether a line without columns stands between rows of one table: a part's name."""
    beside = (at - 1, at + 1)
    inside = all(0 <= i < len(lines) and len(cells_of(lines[i].text)) > 1 for i in beside)
    words = lines[at].text
    return inside and not is_heading(words) and title_of(words) is not None


# --- Lines --------------------------------------------------------------------------------------


def _line_taken(read: Findings, lines: Sequence[Origin], at: int) -> int:
    """Put one line where it belongs; return 1."""
    line, following = lines[at], lines[at + 1] if at + 1 < len(lines) else None
    words = _without_yield(read, line, " ".join(unmarked(line.text).split()))
    block = block_named(words)
    if len(words) > LONGEST_ITEM:
        _long_taken(read, line)
    elif block or _is_said_again(read, words):
        read.mode = block or read.mode
        read.other.append(line)
    elif read.mode == "notes":
        _note_taken(read, line, words, following)
    elif read.mode == "method":
        _step_taken(read, line, words, following)
    else:
        _ingredient_taken(read, line, words, following)
    read.last = line.line
    return 1


def _without_yield(read: Findings, line: Origin, words: str) -> str:
    """A heading or title without the yield in its brackets, which is kept as what is made."""
    heading, told = beside(words)
    is_head = block_named(heading) or is_heading(words) or title_of(heading)
    if not told or not (is_head or read.mode == "before"):
        return words
    made = made_in(replace(line, text=told)) or counted_in(replace(line, text=told))
    read.made += [replace(made, origin=line)] if made else []
    return heading


def _long_taken(read: Findings, line: Origin) -> None:
    """A paragraph: a step once there are ingredients, and no ingredient itself."""
    is_step = read.mode in ("ingredients", "method") and len(line.text) <= LONGEST_STEP
    (read.method if is_step else read.other).append(line)


def _is_said_again(read: Findings, words: str) -> bool:
    """Whether a line is the heading just read once more, as the caption of its table."""
    last = read.sections[-1] if read.sections else None
    same = last is not None and bare_heading(words).casefold() == last.title.casefold()
    return same and last is not None and bool(last.title) and not last.items


def _note_taken(read: Findings, line: Origin, words: str, following: Origin | None) -> None:
    """A note; or the heading of another part of the bread, if ingredients follow it."""
    if begins_part(words, following):
        _begin_section(read, line, words)
    else:
        read.other.append(line)


def _step_taken(read: Findings, line: Origin, words: str, following: Origin | None) -> None:
    """A step; a heading in capitals ends the steps, an ingredient among them is one still."""
    if begins_part(words, following):
        _begin_section(read, line, words)
    elif is_shouted(words) and is_heading(words) and title_of(words) is None:
        read.mode = "notes"
        read.other.append(line)
    elif not is_prose(words) and len(words) < 80 and (items := known_items(line, words)):
        items_added(read, items)
    else:
        made = made_in(line)
        read.made += [made] if made else []
        read.method.append(line)


def _ingredient_taken(read: Findings, line: Origin, words: str, following: Origin | None) -> None:
    inline = _INLINE.match(words)
    if (sums := _sum(line, words)) and read.sections:
        last = read.sections[-1]
        read.sections[-1] = replace(last, sums=(*last.sums, *sums))
    elif is_figure(words) or _says_again(read, line, words):
        read.summing = True
        read.other.append(line)
    elif inline and _heads_list(read, inline[1], items := _named_items(line, inline[2])):
        listed_added(read, line, bare_heading(inline[1]), items)
    elif inline and title_of(inline[1]) and amount_of(inline[2].rstrip(" .")):
        _rest_taken(read, line, words)  # a culture and how much of it: Masa madre: 150 g
    elif not _tells_yield(words) and (
        begins_section(read, words, following) or heads_bare(read, line, words, following)
    ):
        _begin_section(read, line, words)
    elif is_only_made(words):
        told = made_in(replace(line, text=words))
        read.made += [replace(told, origin=line)] if told else []
        read.other += [] if told else [line]
    elif read.mode == "before" and counts_breads(words):
        read.title = read.title or words
        told = counted_in(replace(line, text=words))
        read.made += [replace(told, origin=line)] if told else []
    elif _tells_step(read, line, words):
        read.mode = "method"
        _step_taken(read, line, words, following)
    elif is_prose(words):
        _prose_taken(read, line, words)
    else:
        _rest_taken(read, line, words)


def _says_again(read: Findings, line: Origin, words: str) -> bool:
    """Whether a share behind a figure is of what a weight was told of: ``Salt: 2 %``."""
    items = items_in(line, words) if read.summing else ()
    shares = [item for item in items if item.amount and item.amount.unit == "%"]
    weighed = {
        row.name
        for section in read.sections
        for item in section.items
        if item.amount and item.amount.unit != "%" and (row := ingredient_named(item.name))
    }
    rows = [ingredient_named(item.name) for item in shares]
    return len(shares) == len(items) > 0 and all(row and row.name in weighed for row in rows)


def _named_items(line: Origin, words: str) -> tuple[Item, ...]:
    """The ingredients of a list behind its heading; an amount alone is that of the heading.

    What comes first may be other parts, which are taken whole: the poolish, 350 g flour.
    """
    taken = re.match(
        rf"(?:(?:{WHOLE})\s[^,;\d]+[,;]\s*(?:and\s+)?)+(?=[\d¼½¾⅓⅔⅛])", words, re.IGNORECASE
    )
    listed = re.split(r"\s*[,;]\s*(?:and\s+)?", taken[0]) if taken else []
    parts = tuple(Item(part, None, line) for part in listed if part)
    items = (*parts, *items_in(line, words[taken.end() :] if taken else words))
    return items if all(any(map(str.isalpha, item.name)) for item in items) else ()


def _heads_list(read: Findings, label: str, items: Sequence[Item]) -> bool:
    """Whether what stands before a list in one line heads a part: a brine as much as a poolish.

    What no word says to be a part is one behind a dough, where it lists several.
    """
    if not items or title_of(label) is not None:
        return bool(items)
    begun = bool(read.sections) and any(_is_flour(item) for item in read.sections[0].items)
    plain = set(bare_heading(label).casefold().split())
    weighed = [item for item in items if item.amount and ingredient_named(item.name)]
    is_name = ingredient_named(without_use(label)[0]) is None and without_use(label)[2] is None
    return begun and len(weighed) > 1 and is_name and not plain & _GROUPS


def _is_flour(item: Item) -> bool:
    row = ingredient_named(item.name)
    return row is not None and row.flour > 0


def _tells_yield(words: str) -> bool:
    """Whether a line is a yield and no heading: ``Yield: 12 rolls``, but not ``For 2 loaves:``."""
    return is_only_made(words) and not words.endswith(":")


def _rest_taken(read: Findings, line: Origin, words: str) -> None:
    """An ingredient, the title, or a line that was not understood."""
    items = () if _is_title(read, line, words) else items_in(line, words)
    items = items or ((Item(words, None, line),) if names_earlier(read, words) else ())
    weighed = any(item.amount for item in items)
    named = bool(read.title) and is_ingredient(words)
    if items and (weighed or named or read.mode == "ingredients"):
        items_added(read, items)
    elif read.mode == "ingredients":
        (read.other if tells_share(words) else read.unread).append(line)
    else:
        read.title = read.title or whole_title(words)
        read.other.append(line)


def _tells_step(read: Findings, line: Origin, words: str) -> bool:
    """Whether a line that begins with a number or with a part's name is a step.

    ``1st rise 2 hours``, ``5pm feed it``, ``Biga: 16 hours at 18 °C``.
    """
    if read.mode != "ingredients" or known_items(line, words):
        return False
    label = words.partition(":")[0]
    if label != words and title_of(label) is not None and next(all_times_in(line), None):
        return True  # Biga: 16 hours at 18 °C.
    if not words[:1].isdigit():
        return False
    told = {word.casefold() for word in re.findall(r"[^\W\d]+", words)} & VERBS.keys()
    return bool(told) and any(time.verb for time in all_times_in(line))


def _is_title(read: Findings, line: Origin, words: str) -> bool:
    """Whether the first line names the bread, though it tells of an amount: ``Buns, 500 g flour``.

    An ingredient begins with its amount or with a name that the table has.
    """
    if read.mode != "before" or read.title or read.other or STARTS_AMOUNT.match(words):
        return False
    return not any(
        ingredient_named(item.name) and words.casefold().startswith(item.name.casefold())
        for item in items_in(line, words)
    )


def _prose_taken(read: Findings, line: Origin, words: str) -> None:
    """A sentence: a step where it tells of one, else a note beside the ingredients."""
    is_step = bool(STEP.match(line.text) or STARTS.match(words))
    told = {word.casefold() for word in re.findall(r"[^\W\d]+", words)} & VERBS.keys()
    if read.mode == "ingredients" and (is_step or told):
        read.mode = "method" if is_step else read.mode
        made = made_in(line)
        read.made += [made] if made else []
        read.method.append(line)
        return
    made = made_in(line) if read.mode == "before" else None
    read.made += [made] if made else []
    read.title = read.title or ("" if read.sections or words.endswith(".") else words)
    read.other.append(line)


def _begin_section(read: Findings, line: Origin, words: str) -> None:
    read.mode, read.into = "ingredients", None
    read.sections.append(Section(bare_heading(words), (), (), line))


# --- Sums ---------------------------------------------------------------------------------------


def _sum(line: Origin, words: str) -> tuple[tuple[str, Amount, Origin], ...]:
    """A total below the ingredients: ``379 g in all``, ``Total: 184.4 %``."""
    plain = words.rstrip(".:")
    if not TOTAL.fullmatch(plain):
        return ()
    return tuple((name, amount, line) for name, amount in _totals(plain))


def _totals(words: str) -> Iterator[tuple[str, Amount]]:
    found = next(amounts_in(words), None)
    if found is not None:
        yield "", found.amount

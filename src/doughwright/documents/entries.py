"""Entries of a laid out text: their values changed, new ones among their neighbours."""

from doughwright.documents.layout import Entry, Part, Word, printed
from doughwright.documents.spelling import Style, Tree, empty, line_entry, made, stand, word
from doughwright.errors import Path


def stand_in(part: Part, entry: Entry, value: Word | Part, style: Style) -> None:
    """Put a value into an entry of a part, in brackets or on lines."""
    if not part.flow:
        stand(entry, value, style)
        return
    if entry.key is not None and not entry.gap.strip():
        entry.key, entry.gap = word(entry.key.says, flow=True, like=entry.key.spelt), ": "
    elif entry.gap.endswith(":"):
        entry.gap += " "
    entry.value = value


def name_uses(part: Part) -> None:
    """Turn a list of names into a mapping, so that one can carry a share."""
    for entry in part.entries:
        entry.key = entry.value if isinstance(entry.value, Word) else word("", flow=True)
        entry.value, entry.gap = empty(keyed=True), ": "
    part.keyed = True
    part.opening, part.closing = part.opening.replace("[", "{"), part.closing.replace("]", "}")


def list_uses(part: Part) -> None:
    """Turn a mapping of names that carry no share back into a list."""
    for entry in part.entries:
        assert entry.key is not None
        entry.value, entry.key, entry.gap = entry.key, None, "" if part.flow else "- "
    part.keyed = False
    part.opening, part.closing = part.opening.replace("{", "["), part.closing.replace("}", "]")


def insert_into(
    part: Part, at: Path, position: int, key: str | None, tree: Tree, style: Style
) -> None:
    """Put a new entry into a mapping or list, laid out as its neighbours are."""
    step = key if key is not None else position
    if not part.flow:
        entry = line_entry(key, tree, (*at, step), part.column, style)
        _insert_line(part, position, entry, style)
        return
    name = word(key, flow=True) if key is not None else None
    value = made(tree, (*at, step), 0, style, flow=True)
    entry = Entry(name, value, gap=": " if key is not None else "")
    if not part.opening:
        part.opening, part.closing = "{", "}"  # a pair that stood alone in a list
    _insert_in_brackets(part, position, entry)


def _insert_in_brackets(part: Part, position: int, entry: Entry) -> None:
    leads = [e.lead for e in part.entries if "#" not in e.lead]
    usual = leads[1] if len(leads) > 1 else leads[0] if leads and "\n" in leads[0] else " "
    if part.entries and position == 0:
        entry.lead = part.entries[0].lead
        part.entries[0].lead = usual
    elif part.entries:
        entry.lead = usual
    part.entries.insert(position, entry)
    end_empty(part)


def end_empty(part: Part) -> None:
    """Part the colon of a key without value from the comma or bracket behind it."""
    for entry in part.entries:
        if entry.gap.endswith(":") and not entry.tail and not printed(entry.value):
            entry.tail = " "


def _insert_line(part: Part, position: int, entry: Entry, style: Style) -> None:
    count = len(part.entries)
    spaced = count > 1 and all(loose.strip(" ") for loose in part.between[1:count])
    part.entries.insert(position, entry)
    part.between.insert(position + 1 if position < count else position, style.eol if spaced else "")
    set_first(part)


def set_first(part: Part) -> None:
    """See that behind a dash the first entry stands without its indent, the others with it."""
    if not part.inline:
        return
    for i, entry in enumerate(part.entries):
        entry.indent = " " * part.column if i else ""
    if part.entries and (part.between[0] or part.entries[0].lead):
        loose = part.between[0] + part.entries[0].lead
        part.between[0] = part.entries[0].lead = ""
        part.between[1] = loose + part.between[1]

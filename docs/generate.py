"""Write the reference pages that repeat what the code says.

``make docs-refresh`` writes them; ``--check`` only says which are stale. The pages are
kept in the tree, so that a change of the code shows up as a change of what readers see.
"""  # noqa: INP001 - a script beside conf.py, not a package

import argparse
import csv
import json
import math
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from importlib import import_module
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from pkgutil import walk_packages
from typing import Any

import click

from doughwright import engine, sources
from doughwright.cli import doughwright as program
from doughwright.documents.formula import STEP_KEYS, FormulaDocument
from doughwright.documents.kitchen import KitchenDocument
from doughwright.documents.series import SeriesDocument
from doughwright.documents.shelf import ShelfDocument
from doughwright.engine import properties
from doughwright.engine.food_rules import Rule, rules
from doughwright.errors import CatalogueEntry, Notice, catalogue
from doughwright.render.json_text import sheet_schema
from doughwright.render.messages import remedy, words
from doughwright.sheets.bake import BakeSheet
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.card import CardSheet
from doughwright.sheets.cost import CostSheet
from doughwright.sheets.formula import FormulaSheet
from doughwright.sheets.label import LabelSheet
from doughwright.sheets.safety_rows import SafetySheet
from doughwright.sources import ModelCard, Source

HERE = Path(__file__).parent
DO_NOT_EDIT = "<!-- Written by docs/generate.py from the code: run `make docs-refresh`. -->"
WEIGHTS = {
    "stop": "Stop: the program cannot go on",
    "care": "Take care: the plan stands, but look here first",
    "note": "Worth knowing",
}


def page(title: str, introduction: str, *parts: str) -> str:
    """Join a title, its introduction and parts into a page."""
    return "\n\n".join([DO_NOT_EDIT, f"# {title}", introduction, *parts]).rstrip() + "\n"


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """Lay out a Markdown table."""
    lines = [head, ["---"] * len(head), *rows]
    return "\n".join("| " + " | ".join(_cell(c) for c in line) + " |" for line in lines)


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("*", "\\*").strip() or " "


# Messages


def messages_page() -> str:
    """Every message, by weight, with its sample put into words."""
    parts = [f"## {title}\n\n{_messages(weight)}" for weight, title in WEIGHTS.items()]
    return page(
        "Messages",
        "Everything the program can say, by its code. The words below are filled with sample\n"
        "values; yours carry your own, and the line of your document where there is one.",
        *parts,
    )


def _messages(weight: str) -> str:
    entries = sorted((e for e in catalogue().values() if e.weight == weight), key=lambda e: e.code)
    return "\n\n".join(map(_message, entries)) or "None so far."


def _message(entry: CatalogueEntry) -> str:
    notice = Notice.of(entry.code, **entry.sample)
    said = "\n\n".join(filter(None, [f"> {words(notice)}", remedy(notice)]))
    return f"({entry.code})=\n### `{entry.code}`\n\n{said}"


# Model cards


def model_cards() -> list[ModelCard]:
    """All model cards of the engine, by key; a card used in two modules counts once."""
    names = [module.name for module in walk_packages(engine.__path__, "doughwright.engine.")]
    found = {id(card): card for name in names for card in _cards_within(vars(import_module(name)))}
    return sorted(found.values(), key=lambda card: card.key)


def _cards_within(value: object) -> Iterator[ModelCard]:
    if isinstance(value, ModelCard):
        yield value
    elif isinstance(value, Mapping):
        yield from (c for v in value.values() for c in _cards_within(v) if not _is_module(v))
    elif isinstance(value, tuple):
        yield from (c for v in value for c in _cards_within(v))


def _is_module(value: object) -> bool:
    return isinstance(value, type(sys))


def model_cards_page() -> str:
    """Every model: what it predicts, where it holds, how wrong it is, from where."""
    return page(
        "Model cards",
        "What each model predicts, for which inputs it has been checked, how wrong it may be and\n"
        "how that is known. Outside a range the number is either given with a notice or refused.",
        *map(_model_card, model_cards()),
    )


def _model_card(card: ModelCard) -> str:
    facts = [
        f"**Predicts** {card.predicts}",
        f"**Expected error** {card.expected_error}",
        f"**Known from** {card.known_from}",
        f"**Sources** {'; '.join(map(_cited, card.sources))}",
    ]
    if card.assumptions:
        facts.append("**Assumes**\n\n" + "\n".join(f"- {each}" for each in card.assumptions))
    ranges = table(["input", "from", "to", "unit", "outside"], map(_range, card.inputs.items()))
    return f"({card.key})=\n## {card.name}\n\n" + "\n\n".join([*facts, ranges])


def _range(item: tuple[str, sources.Range]) -> list[str]:
    name, allowed = item
    outside = {"notice": "said on the result", "refuse": "refused"}[allowed.beyond]
    unit = {"1": "", "delta_K": "K (difference)"}.get(allowed.unit, allowed.unit)
    return [name.replace("_", " "), f"{allowed.low:g}", f"{allowed.high:g}", unit, outside]


def _cited(source: str) -> str:
    known = properties.known_sources().get(source)  # tests/architecture asks that it is
    return f"{known.title} (`{source}`)" if known else source


# Constants


SHOWN = {
    "ingredients": ["name", "water", "protein", "fat", "carbohydrate", "source", "locator"],
}
"""The columns worth a reader's screen, where a table is wider than that."""


def constants_page() -> str:
    """Every table of the engine with its sources."""
    paths = sorted(properties.FOLDER.glob("*.tsv"))
    known = properties.known_sources() if paths else {}
    return page(
        "Constants",
        "Every number the engine takes from outside, with its source. *From memory*, *common\n"
        "practice*, *assumption* and *fitted here* are said where nothing better was read:\n"
        "such a number is a starting value that waits for a better source.",
        *(f"## {path.stem.replace('_', ' ').capitalize()}\n\n{_table_of(path)}" for path in paths),
        "## Sources",
        table(["key", "title", "what we have read of it"], map(_source, known.values())),
    )


def _table_of(path: Path) -> str:
    with path.open(encoding="utf-8", newline="") as file:
        head = next(csv.reader((line for line in file if not line.startswith("#")), delimiter="\t"))
    shown = SHOWN.get(path.stem, head)
    rows = sources.rows(path)
    return table([c.replace("_", " ") for c in shown], ([row[c] for c in shown] for row in rows))


def _source(source: Source) -> list[str]:
    return [source.key, source.title, source.read]


# Rules of food and label

PLACES = {
    "EU": "European Union",
    "UK": "United Kingdom",
    "US": "United States",
    "household": "Advice to households, shown in every country",
}
KNOWN_BY = {"read": "read", "secondary": "second hand", "from memory": "from memory"}
RULE_TABLES = ("food_rules", "food_control", "nutrition", "label_rounding", "allergens")
FROM_MEMORY = "from memory"


def food_rules_page() -> str:
    """Every rule a sheet may name, by country, with how it is known here."""
    parts = [f"## {title}\n\n{_rules_of(place)}" for place, title in PLACES.items()]
    return page(
        "Rules of food and label",
        "Every food rule the program knows, by the name it is told under. *Known* says how:\n"
        "*read* where its text was read here, *second hand* where only a page that quotes it was,\n"
        "*from memory* where nobody here has read it. None of this is legal advice, and rules\n"
        "change: your local code goes first. How they are applied: {doc}`/science/food`.",
        *parts,
        "## Figures of a label that are from memory",
        "All figures of a label stand in {doc}`constants` (*Nutrition*, *Label rounding*,\n"
        "*Allergens*). These were not read in any source:",
        table(["figure", "value", "where it stands", "note"], _label_figures_from_memory()),
        "## Sources",
        table(["key", "title", "what we have read of it"], map(_source, _rule_sources())),
    )


def _rules_of(place: str) -> str:
    found = [rule for rule in rules().values() if rule.jurisdiction == place]
    head = ["rule", "told as", "says", "where it stands", "known", "how it is taken here"]
    unread = ", ".join(f"`{rule.id}`" for rule in found if rule.from_memory)
    laid_out = table(head, map(_rule, found))
    return f"{laid_out}\n\nFrom memory: {unread}." if unread else laid_out


def _rule(rule: Rule) -> list[str]:
    source = "" if rule.from_memory else f" (`{rule.source}`)"
    known = f"{KNOWN_BY[rule.tag]}{source}"
    return [f"`{rule.id}`", rule.name, rule.says, rule.section, known, rule.note]


def _label_figures_from_memory() -> Iterator[list[str]]:
    for row in sources.rows(properties.FOLDER / "nutrition.tsv"):
        if row["source"] == FROM_MEMORY:
            value = row["value"] if row["unit"] == "1" else f"{row['value']} {row['unit']}"
            yield [row["name"].replace("_", " "), value, row["locator"], row["note"]]
    bands: dict[tuple[str, str], list[str]] = {}
    for row in sources.rows(properties.FOLDER / "label_rounding.tsv"):
        if row["source"] == FROM_MEMORY:
            figure = f"rounding, {row['rules']}: {row['nutrients']}", row["locator"]
            bands.setdefault(figure, []).append(_band_in_words(row))
    for (name, locator), said in bands.items():
        yield [name, "; ".join(said), locator, ""]


def _band_in_words(row: Mapping[str, str]) -> str:
    unit = row["unit"].removesuffix("DV")
    said = f"“{row['printed']}”" if row["printed"] else f"to {row['step']} {unit}"
    if not row["up_to"]:
        return said
    sign = "≤" if row["included"] == "yes" else "<"
    return f"{sign} {row['up_to']} {unit} {said}"


def _rule_sources() -> Iterator[Source]:
    """Sources of the tables that hold rules, in the order of the list of sources."""
    tables = [sources.rows(properties.FOLDER / f"{name}.tsv") for name in RULE_TABLES]
    cited = {key for rows in tables for row in rows for key in row["source"].split("; ")}
    return (source for key, source in properties.known_sources().items() if key in cited)


# Check points

REFERENCES = HERE.parent / "tests/reference"


def reference_module(name: str) -> Any:
    """A module of the tests that compares the engine with published figures."""
    spec = spec_from_file_location(name, REFERENCES / f"{name}.py")
    assert spec
    assert spec.loader
    found = module_from_spec(spec)
    spec.loader.exec_module(found)
    return found


def check_points_table(name: str) -> str:
    """Every published figure beside what the engine makes of it now, for a page to include."""
    points = reference_module(name)
    head = ["#", "what", "unit", "published", "ours", "tolerance", "off by", "source", "assumed"]
    wrong = {number: points.residual(number) for number in points.CASES}
    rows = (_check_point(points.TABLE[n], points.CASES[n](), wrong[n]) for n in wrong)
    gating = {n: each for n, each in wrong.items() if points.TABLE[n].get("gates") != "no"}
    inside = sum(abs(each) <= 1.0 for each in gating.values())
    overall = math.sqrt(sum(each**2 for each in gating.values()) / len(gating))
    counted = f"{len(gating)}" if len(gating) == len(wrong) else f"{len(gating)} that gate"
    said = f"**{inside} of {counted} inside their tolerance, rms {overall:.2f}.**"
    return "\n\n".join([DO_NOT_EDIT, table(head, rows), said]) + "\n"


def _check_point(row: Mapping[str, str], ours: float, wrong: float) -> list[str]:
    unit = "" if row["unit"] == "1" else row["unit"]
    off = f"{wrong:+.2f}" + (" miss" if abs(wrong) > 1.0 else "")
    off += ", shown only" if row.get("gates") == "no" else ""
    source = row["source"] if row["read"] in row["source"] else f"{row['source']}; {row['read']}"
    here = f"{ours:.0f}" if ours >= 100.0 else f"{ours:.3g}"
    known = [row["number"], row["check"], unit, row["published"], here, row["tolerance"]]
    return [*known, off, source, row["assumed"]]


def ratios_table() -> str:
    """What moves a bake's time, and by how much, for a page to include."""
    rows = (
        [what, f"{ratio:.2f}", f"{other:.2f}" if other is not None else ""]
        for what, ratio, other in reference_module("test_baking_check_points").ratios()
    )
    head = ["change", "time over that of six buns, 160 °C fan", "independent implementation"]
    return "\n\n".join([DO_NOT_EDIT, table(head, rows)]) + "\n"


def tin_table() -> str:
    """What a pan loaf's time hangs on, for a page to include."""
    found = reference_module("test_baking_check_points").tin_sensitivity()
    rows = ([what, f"{minutes:.1f}"] for what, minutes in found)
    return "\n\n".join([DO_NOT_EDIT, table(["change", "minutes to 93 °C"], rows)]) + "\n"


# Commands


def commands_page() -> str:
    """Help of every command as the terminal shows it."""
    return page(
        "Commands",
        "What `doughwright --help` and its commands' help say.",
        *(f"## `{name}`\n\n```text\n{text}\n```" for name, text in _helps("doughwright", program)),
    )


def _helps(
    name: str, command: click.Command, parent: click.Context | None = None
) -> Iterator[tuple[str, str]]:
    settings = command.context_settings
    context = click.Context(command, parent, name, terminal_width=80, **settings)
    yield context.command_path, command.get_help(context)
    if isinstance(command, click.Group):
        for sub in command.list_commands(context):
            found = command.get_command(context, sub)
            assert found is not None
            yield from _helps(sub, found, context)


# Documents

Schema = dict[str, Any]
DOCUMENTS = {
    "formula": FormulaDocument,
    "kitchen": KitchenDocument,
    "series": SeriesDocument,
    "shelf": ShelfDocument,
}
SCHEMA_DIALECT = "https://json-schema.org/draft/2020-12/schema"


def schema(name: str) -> Schema:
    """JSON Schema of a document, short spellings included, for editors that check YAML."""
    found: Schema = _without_null(DOCUMENTS[name].model_json_schema())
    short = {"Line": "amount", "Use": "share"}
    parts = found.get("$defs", {})
    parts.update(
        {part: _or_alone(parts[part], key) for part, key in short.items() if part in parts}
    )
    if "Preparation" in parts:
        uses = parts["Preparation"]["properties"]
        names = {"type": "array", "items": {"type": "string"}}
        uses["from"] = {"anyOf": [names, {"type": "string"}, uses["from"]]}
    if "Step" in parts:
        parts["Step"] = _steps(parts["Step"])
    return {"$schema": SCHEMA_DIALECT, **found}


def _without_null(node: Any) -> Any:
    """Leave out what only programs write: null for a key that is not there."""
    if isinstance(node, list):
        return [_without_null(each) for each in node]
    if not isinstance(node, dict):
        return node
    plain = {key: _without_null(value) for key, value in node.items()}
    if plain.get("default", "") is None:
        del plain["default"]
    if plain.get("pattern") == "^[0-9]+$":  # a count: YAML gives an editor a number
        plain["type"] = ["integer", "string"]
    if {len(word) for word in plain.get("enum", [])} == {2}:  # codes, read in either case
        plain["enum"] += [word.upper() for word in plain["enum"]]
    choices = [each for each in plain.get("anyOf", []) if each != {"type": "null"}]
    return choices[0] if len(choices) == 1 else plain


def _or_alone(part: Schema, key: str) -> Schema:
    return {"anyOf": [part["properties"][key], part]}


def _steps(step: Schema) -> Schema:
    """One shape a verb: the verb with what it is done to, and the keys it may carry."""
    about = {"description": step["description"], "title": step["title"]}
    return {**about, "anyOf": [_step(step, verb) for verb in STEP_KEYS]}


def _step(step: Schema, verb: str) -> Schema:
    keys = {key: step["properties"][key] for key in sorted(STEP_KEYS[verb])}
    properties = {verb: {"type": "string"}, **keys}
    return {
        "type": "object",
        "properties": properties,
        "required": [verb],
        "additionalProperties": False,
    }


def schema_file(name: str) -> str:
    """JSON Schema of a document as the text of a file."""
    return json.dumps(schema(name), indent=2, ensure_ascii=False) + "\n"


SHEETS: Mapping[str, type] = {
    "bake-sheet": BakeSheet,
    "bench-plan": BenchPlan,
    "card": CardSheet,
    "cost-sheet": CostSheet,
    "formula-sheet": FormulaSheet,
    "label-sheet": LabelSheet,
    "safety-sheet": SafetySheet,
}
"""What the commands print with ``--json``."""


def sheet_file(name: str) -> str:
    """JSON Schema of what a command prints, as the text of a file."""
    whole = {"$schema": SCHEMA_DIALECT, **sheet_schema(SHEETS[name])}
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def document_page(name: str) -> str:
    """Tables of the keys a document may carry, one for each of its parts."""
    whole = schema(name)
    parts = whole.pop("$defs", {})
    sections = [_part(whole), *map(_part, parts.values())]
    return page(
        f"The {name} document",
        f"{whole['description']} Every amount carries its unit; keys not listed here are refused,\n"
        f"with the nearest one that exists. For editors that check as you type:\n"
        f"{{download}}`{name}.schema.json`.",
        *sections,
    )


def _part(part: Schema) -> str:
    shape = part if "properties" in part else part["anyOf"][-1]
    heading = f"## {_spaced(part.get('title') or shape['title'])}"
    if part.get("title") == "Step":
        return f"{heading}\n\n{part['description']}\n\n{_verbs()}\n\n{_step_keys(part)}"
    needed = shape.get("required", [])
    rows = [
        [f"`{key}`", _allowed(value), "yes" if key in needed else ""]
        for key, value in shape["properties"].items()
    ]
    said = shape["description"].replace("``", "`")
    return f"{heading}\n\n{said}\n\n" + table(["key", "what", "needed"], rows)


def _verbs() -> str:
    rows = ([f"`{verb}`", _listed(STEP_KEYS[verb])] for verb in STEP_KEYS)
    return table(["verb", "keys it may carry"], rows)


def _listed(words: Iterable[str]) -> str:
    return ", ".join(f"`{word}`" for word in sorted(words))


def _step_keys(step: Schema) -> str:
    keys = {key: value for shape in step["anyOf"] for key, value in shape["properties"].items()}
    rows = ([f"`{key}`", _allowed(keys[key])] for key in sorted(keys.keys() - STEP_KEYS.keys()))
    return table(["key", "what"], rows)


def _spaced(name: str) -> str:
    name = name.removesuffix("Document")
    return "".join(f" {c.lower()}" if c.isupper() else c for c in name).strip().capitalize()


def _allowed(value: Schema) -> str:
    """Say in a few words what may stand behind a key."""
    if "$ref" in value:
        name = _spaced(value["$ref"].rpartition("/")[2])
        return f"[{name.lower()}](#{name.lower().replace(' ', '-')})"
    if "anyOf" in value:
        return " or ".join(map(_allowed, value["anyOf"]))
    if {"const", "enum"} & value.keys():
        return ", ".join(f"`{each}`" for each in value.get("enum", [value.get("const")]))
    if value.get("type") == "array":
        return f"list of {_allowed(value['items'])}"
    if value.get("type") == "object":
        return f"names, each with {_allowed(value['additionalProperties'])}"
    return _scalar(value)


def _scalar(value: Schema) -> str:
    if "integer" in value["type"]:
        return "a whole number"
    if "examples" not in value:
        return "words"
    kind = value.get("title", "")
    shown = ", ".join(f"`{each}`" for each in value["examples"])
    return f"{kind}: {shown}" if kind.islower() else shown


# All pages

PAGES: Mapping[str, Callable[[], str]] = {
    "reference/messages.md": messages_page,
    "reference/constants.md": constants_page,
    "reference/food-rules.md": food_rules_page,
    "reference/commands.md": commands_page,
    **{f"reference/{name}-document.md": partial(document_page, name) for name in DOCUMENTS},
    **{f"reference/{name}.schema.json": partial(schema_file, name) for name in DOCUMENTS},
    **{f"reference/{name}.schema.json": partial(sheet_file, name) for name in SHEETS},
    "science/model-cards.md": model_cards_page,
    "science/check-points.txt": partial(check_points_table, "test_fermentation_check_points"),
    "science/baking-check-points.txt": partial(check_points_table, "test_baking_check_points"),
    "science/baking-ratios.txt": ratios_table,
    "science/baking-tin.txt": tin_table,
}


def stale() -> dict[Path, str]:
    """Pages that differ from what the code says, with what they should be."""
    wanted = {HERE / name: write() for name, write in PAGES.items()}
    return {
        path: text
        for path, text in wanted.items()
        if not path.exists() or path.read_text("utf-8") != text
    }


def run() -> int:
    """Write the stale pages, or with ``--check`` only name them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--check", action="store_true", help="only say what is stale")
    only_say = parser.parse_args().check
    found = stale()
    for path, text in found.items():
        print(("stale: " if only_say else "wrote ") + str(path.relative_to(HERE)))  # noqa: T201
        if not only_say:
            path.write_text(text, "utf-8")
    return 1 if only_say and found else 0


if __name__ == "__main__":
    sys.exit(run())

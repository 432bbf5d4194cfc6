"""The draft of a name table: accepted rows as rows, offered ones as comments with their alternatives, the rest named.

The draft is checked before anybody sees it: a row that does not load, or that cannot read the samples, is only offered.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.dialects.building import load
from convert.dialects.checking import check
from convert.dialects.reader import read_tree
from convert.dialects.table import Table
from convert.errors import BeadwiseError
from convert.inference import flags
from convert.inference.choices import choice_of
from convert.inference.decide import Record
from convert.inference.items import Item
from convert.inference.learn import Learned
from convert.inference.vocabulary import fold, vocabulary
from convert.model.setting import SCOPES, SETTINGS

ROUNDS = 6
WORD_SURE = 0.6
PLAIN_WORDS = ("feedstock.family", "base.kind")
"""Choices whose words everybody writes alike: where a sample has one, the others are taken to be there too."""


@dataclass(slots=True)
class Row:
    """One key of the table: its text, whether it counts, and why not."""

    scope: str
    key: str
    spec: str
    accepted: bool
    note: str
    records: list[Record] = field(default_factory=list)


@dataclass(slots=True)
class Draft:
    """The text of a table and the table itself; `table` is None where no row was accepted."""

    text: str
    table: Table | None
    rows: list[Row]


def draft(made: Learned, dialect: str) -> Draft:
    """The table of what was learned. Records whose rows turn out not to work become offered."""
    rows = _rows(made)
    for _ in range(ROUNDS):
        text = _text(made, dialect, rows)
        if not any(row.accepted for row in rows):
            return Draft(text, None, rows)
        broken = _broken(made, text, dialect, rows)
        if not broken:
            return Draft(text, load(text.encode(), f"{dialect}.toml", "given"), rows)
        for row, why in broken:
            row.accepted = False
            row.note = f"{why}; {row.note}" if row.note else why
            for record in row.records:
                record.decision = "offered"
                record.evidence.append(why)
    return Draft(_text(made, dialect, []), None, rows)


def _broken(made: Learned, text: str, dialect: str, rows: Sequence[Row]) -> list[tuple[Row, str]]:
    """Rows that do not load, or cannot read their own samples."""
    found: list[tuple[Row, str]] = []
    lines = text.split("\n")
    checked = check(text.encode(), f"{dialect}.toml", form=False)
    for problem in checked.mistakes:
        line = problem.where.line if problem.where else None
        row = _row_at(lines, line, rows)
        if row is not None and all(row is not other for other, _ in found):
            found.append((row, problem.says.split(": ", 1)[-1][:100]))
    if found or checked.table is None:
        return found or [(row, "the table does not load") for row in rows if row.accepted]
    live = {(row.scope, row.key): row for row in rows if row.accepted}
    for tree in made.structure.trees:
        try:
            file = read_tree(tree, checked.table)
        except BeadwiseError:
            continue
        for reading in file.readings:
            for record in reading.records:
                if record.role == "invalid":
                    for scope in SCOPES:
                        row = live.get((scope, record.key))
                        if (
                            row is not None
                            and "understood" not in row.note
                            and all(row is not other for other, _ in found)
                        ):
                            found.append((row, f"does not read: {record.says[:80]}"))
    return found


def _row_at(lines: Sequence[str], line: int | None, rows: Sequence[Row]) -> Row | None:
    if not line or line > len(lines):
        return None
    scope = next((at[6:-1] for at in reversed(lines[:line]) if at.startswith("[rows.")), "")
    for row in rows:
        if row.accepted and row.scope == scope and lines[line - 1].startswith(f"{quoted(row.key)} ="):
            return row
    return None


# ---- rows


def _rows(made: Learned) -> list[Row]:
    by_key: dict[int, list[Item]] = {}
    for one in made.matched:
        by_key.setdefault(id(one.item.key), []).append(one.item)
    records: dict[int, list[Record]] = {}
    for record in made.records:
        records.setdefault(id(record.item), []).append(record)
    taken: set[tuple[str, str]] = set()
    rows: list[Row] = []
    for items in by_key.values():
        row = _row(made, items, records)
        if row is None:
            continue
        settings = [record.setting for record in row.records if record.setting]
        if row.accepted and ((row.scope, row.key) in taken or any((row.scope, name) in taken for name in settings)):
            row.accepted, row.note = False, "said by another key already"
        if row.accepted:
            taken.add((row.scope, row.key))
            taken.update((row.scope, str(name)) for name in settings)
        rows.append(row)
    return rows


def _row(made: Learned, items: Sequence[Item], records: Mapping[int, list[Record]]) -> Row | None:
    firsts = [records[id(item)][0] for item in items if records.get(id(item))]
    if not firsts or any(record.setting is None for record in firsts):
        return None
    if not items[0].key.path and items[0].key.name == made.structure.layout.get("name", {}).get("key"):
        return None  # the layout says it already
    mine = [record for item in items for record in records[id(item)]]
    accepted = all(record.decision == "accepted" for record in firsts)
    key = items[0].key.label if made.structure.syntax != "toml" else ".".join((*items[0].key.path, items[0].key.name))
    scope = SETTINGS[str(firsts[0].setting)].scope
    note = _note(firsts[0])
    if items[0].part:
        scopes = {SETTINGS[str(record.setting)].scope for record in firsts}
        settings = [str(record.setting) for record in firsts]
        if len(scopes) > 1 or len(set(settings)) < len(settings):
            accepted, note = False, "its parts belong to different scopes"
        gaps = re.findall(r"\}([^{]*)\{", items[0].template)
        if not all(gaps) or not items[0].template.endswith("}"):
            accepted, note = False, "its parts are joined in a way that a table cannot say"
        spec = _spec(made, items[0], firsts[0])
        if len({_spec(made, item, record).get("unit") for item, record in zip(items, firsts, strict=True)}) > 1:
            accepted, note = False, "its parts have different units"
        spec = {
            "to": settings,
            "split": gaps[0] if len(set(gaps)) == 1 else gaps,
            **{word: said for word, said in spec.items() if word in ("unit", "full")},
        }
    else:
        spec = _spec(made, items[0], firsts[0])
        if spec.get("words") == {}:
            accepted = False
            spec.pop("words")
    for record in mine:
        if not accepted and record.decision == "accepted":
            record.decision = "offered"
            record.evidence.append(note)
    return Row(scope, key, _inline(spec), accepted, note, mine)


def _spec(made: Learned, item: Item, record: Record) -> dict[str, Any]:
    """What the row says."""
    setting = SETTINGS[str(record.setting)]
    spec: dict[str, Any] = {"to": setting.id}
    pair = record.pair
    relation = record.relation or {}
    if setting.is_number and pair is not None:
        best = pair.readings[0]
        if "percent_of" in relation:
            pass  # the values have no unit of their own
        elif best.source == "value":
            spec["unit"] = "within"
        elif best.source == "beside":
            spec["unit"] = "beside"
        elif relation.get("scale"):
            spec["full"] = 255
        elif relation.get("fraction"):
            spec["full"] = 1
        elif best.unit and best.unit != setting.unit and setting.kind not in ("percent", "count"):
            spec["unit"] = best.unit
        if "from" in relation:
            spec["from"] = relation["from"]
        if "percent_of" in relation:
            spec["percent_of"] = relation["percent_of"]
            if relation.get("fraction"):
                spec["percent_as"] = "fraction"
        special = _special(item, setting.id, spec)
        if special:
            spec["special"] = special
    elif setting.kind == "choice":
        spec["words"] = _choice_words(made, item, setting.id)
    elif setting.kind == "flag":
        own = _own_flags(made, item)
        if relation.get("inverted"):
            own = own or ({"true": ["true"], "false": ["false"]} if item.key.native == "flag" else flag_lists(made))
            own = {"true": own["false"], "false": own["true"]}
        if own:
            spec["flag"] = own
    elif setting.kind == "outline":
        spec["points"] = "array"
    if relation.get("complement_of"):
        spec["complement"] = relation["complement_of"]
    if item.separator and not item.part and setting.per_tool and setting.kind not in ("code", "outline"):
        spec["list"] = item.separator
    return spec


def _special(item: Item, name: str, spec: Mapping[str, Any]) -> dict[str, str]:
    """Texts that are no numbers of the setting: known words, and a 0 or -1 that the schema has no place for."""
    setting = SETTINGS[name]
    found = {}
    for text in item.odd:
        word = fold(text)
        state = vocabulary().states.get(word) or (
            "off" if vocabulary().flags.get(word) is False or word in ("none", "off") else ""
        )
        if state:
            found[text] = state
    if spec.get("unit") in ("within", "beside"):
        return found
    low, high = float(setting.minimum or 0), float(setting.maximum or 0)
    for one in item.numbers:
        if one.value in (0, -1) and not low <= one.value <= high:
            found[one.text] = "absent"
    return found


def _choice_words(made: Learned, item: Item, name: str) -> dict[str, str]:
    setting = SETTINGS[name]
    words: dict[str, str] = {}
    asked = flags.choices(item, name) if item.shape == "flag" else None
    if asked is not None:
        yes, no = asked
        lists = {"true": ["true"], "false": ["false"]} if item.key.native == "flag" else flag_lists(made)
        return dict.fromkeys(lists["true"], yes) | dict.fromkeys(lists["false"], no)
    for text in dict.fromkeys(item.texts):
        choice, sure = choice_of(text, setting.choices)
        if sure >= WORD_SURE:
            words[text] = choice
    if name in PLAIN_WORDS and words and all(text == choice for text, choice in words.items()):
        words |= {choice: choice for choice in setting.choices if choice != "other"}
    return words


def _own_flags(made: Learned, item: Item) -> dict[str, list[str]]:
    """Flag words of a row where they are not those of the table."""
    if item.key.native == "flag":
        return {}
    texts = item.texts or [one.text for one in item.numbers]
    table = {word for words in flag_lists(made).values() for word in map(fold, words)}
    if all(fold(text) in table for text in texts):
        return {}
    for yes, no in (
        ("1", "0"),
        ("yes", "no"),
        ("true", "false"),
        ("on", "off"),
        ("ja", "nein"),
        ("an", "aus"),
        ("si", "no"),
    ):
        if all(fold(text) in (yes, no) for text in texts):
            return {"true": [yes], "false": [no]}
    return {}


def flag_lists(made: Learned) -> dict[str, list[str]]:
    """The words of yes and no as the files spell them, the commonest first; both are filled."""
    from collections import Counter

    seen: Counter[str] = Counter()
    for one in made.matched:
        if one.item.shape == "flag":
            seen.update(one.item.texts)
    known = vocabulary().flags
    found: dict[str, list[str]] = {"true": [], "false": []}
    for text, _ in seen.most_common():
        said = known.get(fold(text))
        if said is not None:
            found["true" if said else "false"].append(text)
    partners = {
        "yes": "no",
        "true": "false",
        "on": "off",
        "1": "0",
        "y": "n",
        "ja": "nein",
        "an": "aus",
        "ein": "aus",
        "si": "no",
        "x": "-",
    }
    back = {no: yes for yes, no in reversed(partners.items())}
    if not found["true"] and not found["false"]:
        return {"true": ["1"], "false": ["0"]} if made.flags else {}
    if not found["true"]:
        found["true"] = [back.get(fold(found["false"][0]), "true")]
    if not found["false"]:
        found["false"] = [partners.get(fold(found["true"][0]), "false")]
    return found


def _note(record: Record) -> str:
    parts = [f"{record.confidence:.2f}"]
    parts += [
        one
        for one in record.evidence
        if one.startswith(("unit open", "count open", "base", "reference", "words not", "may ask"))
    ]
    others = [str(other["setting"]) for other in record.others[:4]]
    if record.decision != "accepted" and others:
        parts.append("or " + ", ".join(others))
    return "; ".join(parts)


# ---- text


def _text(made: Learned, dialect: str, rows: Sequence[Row]) -> str:
    structure = made.structure
    names = ", ".join(tree.source.path.replace("\\", "/").rsplit("/", 1)[-1] for tree in structure.trees[:6])
    out = [
        f"# Name table: {dialect}, learned from {_plain(names)}.",
        "#",
        "# Rows that were clear stand as rows. Those that were not stand behind # with their confidence and the",
        "# alternatives: take the # away to use one. Keys in no row are kept as they are.",
        "# The README tells all that a table may say ('How to write a table').",
        "",
        'beadwise = "table/1"',
        f"dialect = {quoted(dialect)}",
        f"title = {quoted(dialect)}",
        f"syntax = {quoted(structure.syntax)}",
        f"about = {quoted('Learned from samples: ' + _plain(names))}",
        f"file = {quoted(_file_name(made))}",
    ]
    if structure.decimal != ".":
        out.append(f"decimal = {quoted(structure.decimal)}")
    if structure.text:
        out += ["", "[text]", *(f"{name} = {_value(value)}" for name, value in structure.text.items())]
    out += ["", "[layout]", *_layout(made)]
    flags = flag_lists(made)
    if flags and structure.syntax not in ("json", "toml"):
        out += ["", "[flags]", f"true = {_value(flags['true'])}", f"false = {_value(flags['false'])}"]
    out += _code(made)
    for scope in SCOPES:
        mine = [row for row in rows if row.scope == scope]
        if mine:
            out += ["", f"[rows.{scope}]"]
            for row in mine:
                line = f"{quoted(row.key)} = {row.spec}"
                out.append(line if row.accepted else f"# {line}  # {_plain(row.note)}")
    if not any(row.accepted for row in rows):
        out += ["", "[rows]"]
    left = [record.key for record in made.records if record.setting is None]
    if left:
        out += ["", f"# In no row: {_plain(', '.join(dict.fromkeys(left)))[:2000]}"]
    return "\n".join(out) + "\n"


def _layout(made: Learned) -> list[str]:
    layout = dict(made.structure.layout)
    if layout.get("profile") == "file" and layout.get("holds") == "any" and len(made.structure.trees) == 1:
        layout["holds"] = "setup"
    words = {scope: word for word, scope in made.structure.scopes.items() if scope}
    if layout.get("scope") or "{scope}" in layout.get("group", ""):
        layout["scope_words"] = words
    layout["blank"] = _blank(made)
    order = ("profile", "holds", "base", "path", "group", "scope", "scope_words", "name", "parent", "blank")
    return [f"{name} = {_value(layout[name])}" for name in order if layout.get(name)]


def _blank(made: Learned) -> str:
    structure = made.structure
    if structure.syntax == "json":
        return "{\n}\n"
    if structure.syntax == "xml":
        root = structure.trees[0].groups[1].path[0] if len(structure.trees[0].groups) > 1 else "settings"
        return f'<?xml version="1.0" encoding="UTF-8"?>\n<{root}>\n</{root}>\n'
    if structure.syntax == "csv":
        delimiter = structure.text.get("delimiter", ",")
        first = next((line for line in structure.trees[0].source.lines() if line.strip()), "key")
        profiles = {key.entries[0] for key in structure.keys[:0]}
        titles = [title.strip() for title in first.split(delimiter)]
        if structure.layout.get("profile") == "group":
            groups = {group.path[-1] for group in structure.trees[0].groups if group.path}
            titles = [title for title in titles if title not in groups]
        return delimiter.join(titles) + "\n" if titles or profiles else ""
    return ""


def _file_name(made: Learned) -> str:
    name = made.structure.trees[0].source.path.replace("\\", "/").rsplit("/", 1)[-1]
    extension = name[name.rfind(".") :] if "." in name[1:] else ""
    layout = made.structure.layout
    scoped = layout.get("holds") == "scope" and layout.get("profile") == "file"
    return "{name}" + (".{scope}" if scoped else "") + extension


def _code(made: Learned) -> list[str]:
    items = [one.item for one in made.matched if one.item.shape == "code"]
    if not items:
        return []
    out = ["", "[code]"]
    if any(item.separator == "array" for item in items):
        out.append('lines = "array"')
    elif made.structure.syntax not in ("json", "toml") and any("\\n" in text for item in items for text in item.texts):
        out.append('lines = "escaped"')
    if made.placeholder[0]:
        out += [f"open = {quoted(made.placeholder[0])}", f"close = {quoted(made.placeholder[1])}"]
    raw = [text for item in items for text in item.key.texts]
    if (
        raw
        and all(len(text) > 1 and text[0] == text[-1] == '"' for text in raw)
        and made.structure.syntax in ("ini", "comments")
    ):
        out += ["", "[quotes]", "code = '\"'"]
    return out if len(out) > 2 else []


def quoted(text: str) -> str:
    """A TOML basic string."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _plain(text: str) -> str:
    """Text for a comment: one line."""
    return "".join(char if char.isprintable() else " " for char in text)


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{name} = {_value(one)}" for name, one in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(_value(one) for one in value) + "]"
    return quoted(value) if isinstance(value, str) else str(value)


def _inline(spec: Mapping[str, Any]) -> str:
    if list(spec) == ["to"]:
        return _value(spec["to"])
    parts = []
    for name, value in spec.items():
        if isinstance(value, dict) and name in ("special", "words"):
            parts.append(
                name + " = {" + ", ".join(f"{quoted(word)} = {quoted(said)}" for word, said in value.items()) + "}"
            )
        else:
            parts.append(f"{name} = {_value(value)}")
    return "{" + ", ".join(parts) + "}"

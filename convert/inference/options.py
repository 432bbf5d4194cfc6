"""The options of a syntax, worked out from a sample: separators, comment marks, columns, attributes."""

from __future__ import annotations

from collections import Counter
from typing import Any

from convert.inference.samples import find_unit
from convert.text.source import Source
from convert.units.table import table as unit_table

MARKS = (";", "#", "//")
FEW = 3


def options_for(syntax: str, source: Source) -> dict[str, Any]:
    """Options for the reader of a syntax; {} where its defaults will do."""
    made = {"ini": _ini, "csv": _csv, "xml": _xml, "comments": _comments}.get(syntax)
    return made(source) if made else {}


def _ini(source: Source) -> dict[str, Any]:
    lines = [line for line in source.lines() if line.strip()]
    body = [line for line in lines if not line.lstrip().startswith((*MARKS, "["))]
    first: Counter[str] = Counter()
    for line in body:
        places = [(line.find(mark), mark) for mark in ("=", ":") if mark in line]
        if places:
            first[min(places)[1]] += 1
    both = sum("=" in line for line in body), sum(":" in line for line in body)
    options: dict[str, Any] = {}
    if first:
        main = "=" if both[0] >= 0.9 * len(body) and both[0] >= both[1] else first.most_common(1)[0][0]
        if first[main] * 10 >= 9 * sum(first.values()) or both[main == ":"] * 10 >= 9 * len(body):
            options["separators"] = [main]
    marks = [mark for mark in MARKS if any(line.lstrip().startswith(mark) for line in lines)]
    inline = Counter(mark for line in body for mark in MARKS if f" {mark} " in line or f"\t{mark} " in line)
    behind = [mark for mark, times in inline.items() if times >= max(FEW, len(body) // 10)]
    if marks or behind:
        options["comments"] = list(dict.fromkeys([*marks, *behind]))
    if behind:
        options["inline_comments"] = True
    if not any(line[:1] == "[" and "]" in line for line in lines):
        options["sections"] = False
    loose = [line for line in body if line[:1] in " \t" and "=" not in line and ":" not in line]
    indented = sum(line[:1] in " \t" for line in body)
    if loose and indented * 2 < len(body):
        options["continuation"] = "indent"
    elif sum(line.rstrip().endswith("\\") for line in body) >= 1:
        options["continuation"] = "backslash"
    return options


def _csv(source: Source) -> dict[str, Any]:
    from convert.text.csvscan import read, sniff_delimiter

    delimiter = sniff_delimiter(source)
    table = [row for row in read(source, delimiter)[0] if any(row)]
    options: dict[str, Any] = {"delimiter": delimiter}
    if len(table) < 2:
        return options
    titles, rows = table[0], table[1:]
    columns = [[row[at] for row in rows if at < len(row)] for at in range(len(titles))]
    known = unit_table().spellings
    key = 0
    if len(titles) > 2 and len(set(columns[0])) * 2 < len(rows) and len(set(columns[1])) * 10 >= len(rows) * 8:
        key = 1
    if key:
        options["key_column"] = titles[key]
    notes: list[str] = []
    for at, (title, cells) in enumerate(zip(titles, columns, strict=True)):
        filled = [cell for cell in cells if cell]
        if at == key or not title:
            continue
        units = sum(cell in known or cell in ("%", "-", "1") for cell in filled)
        if filled and units * 10 >= 8 * len(filled) and len(set(filled)) > 1 and "unit_column" not in options:
            options["unit_column"] = title
        elif (
            at < key
            or not filled
            or sum(" " in cell and len(cell) > 12 for cell in filled) * 2 > len(filled)
            or (
                not any(char.isdigit() for cell in filled for char in cell)
                and at > key
                and len(titles) - len(notes) > 3
            )
        ):
            notes.append(title)
    if notes:
        options["note_columns"] = notes
    return options


def _comments(source: Source) -> dict[str, Any]:
    """Marker lines around the pairs: the comment lines just before the first and after the last run of pairs."""
    return {}


def _xml(source: Source) -> dict[str, Any]:
    """Elements that hold a key in an attribute: which tag, which attribute, where value and unit are."""
    from convert.text.xmlscan import Scan

    elements = Scan(source).elements
    leaves = [element for element in elements if not element.last and element.values]
    if not leaves:
        return {}
    tags = Counter(element.tag for element in leaves)
    tag, times = tags.most_common(1)[0]
    if times < 2 * FEW:
        return {}
    chosen = [element for element in leaves if element.tag == tag]
    names = Counter(name for element in chosen for name in element.values)
    always = [name for name, count in names.items() if count == len(chosen)]
    values = {name: [e.values[name] for e in chosen if name in e.values] for name in names}
    distinct = {name: len(set(values[name])) / len(values[name]) for name in names}
    texts = sum(bool(_text(source, element).strip()) for element in chosen)
    keys = [name for name in always if not any(value[:1].isdigit() for value in values[name][:40])]
    if not keys:
        return {}
    key = max(keys, key=lambda name: (distinct[name], -always.index(name)))
    if distinct[key] < 0.3 or (len(set(values[key])) < 5):
        return {}
    options: dict[str, Any] = {"entry": tag, "key": f"@{key}"}
    rest = [name for name in names if name != key]
    units = [name for name in rest if _are_units(values[name])]
    if units:
        options["unit"] = f"@{units[0]}"
    if texts * 2 < len(chosen):
        held = [name for name in rest if name in always and name not in units]
        if not held:
            return {}
        options["value"] = f"@{max(held, key=lambda name: distinct[name])}"
    else:
        options["value"] = "text"
    above = Counter(
        element.parent.tag for element in chosen if element.parent is not None and element.parent.parent is not None
    )
    if above:
        group = above.most_common(1)[0][0]
        holders = [element for element in elements if element.tag == group]
        shared = set.intersection(*(set(element.values) for element in holders))
        named = [
            name
            for name in sorted(shared)
            if len({element.values[name] for element in holders}) == len(holders)
        ]
        if shared and named:
            best = min(named, key=lambda name: (name not in ("name", "title", "id", "label"), name))
            options.update(group=group, group_name=f"@{best}")
    return options


def _text(source: Source, element: Any) -> str:
    return "".join(source.text[start:end] for start, end, _ in element.texts)


def _are_units(values: list[str]) -> bool:
    known = unit_table().spellings
    hits = sum(value in known or value == "%" or bool(find_unit(value, "length")) for value in values)
    return bool(values) and hits * 10 >= 7 * len(values)

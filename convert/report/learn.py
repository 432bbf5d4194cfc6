"""What was learned from samples, for people."""

from __future__ import annotations

from typing import Any

from convert.report.grid import Paint, count, grid, paragraph, plain
from convert.report.visible import visible

ROLES = {"accepted": "good", "offered": "warn", "ignored": ""}


def summary(document: dict[str, Any], *, paint: Paint = plain) -> str:
    """One line: how many keys were decided how."""
    counts = {word: sum(key["decision"] == word for key in document["keys"]) for word in ROLES}
    parts = [
        paint(f"{counts[word]} {word}", role) if role else f"{counts[word]} {word}" for word, role in ROLES.items()
    ]
    return f"{count(len(document['keys']), 'key')}: " + ", ".join(parts)


def report(document: dict[str, Any], ask: str, *, width: int = 100, paint: Paint = plain) -> str:
    """The structure, each key with its setting, unit, confidence and evidence, and what to do next."""
    lines = [paint("Structure", "head"), grid(_structure(document["structure"]), width=width, indent=2), ""]
    for word, head in (("accepted", "Accepted"), ("offered", "Offered, not used"), ("ignored", "Left alone")):
        keys = [key for key in document["keys"] if key["decision"] == word]
        if not keys:
            continue
        lines.append(paint(f"{head}: {len(keys)}", "head"))
        if word == "ignored":
            names = ", ".join(dict.fromkeys(visible(key["key"]) for key in keys))
            lines.append(paragraph(names, width=width, indent=2))
        else:
            rows = [_row(key, word == "offered") for key in keys]
            lines.append(grid(rows, ["key", "setting", "unit", "sure", "why"], width=width, indent=2, right=[3]))
        lines.append("")
    lines.append(summary(document, paint=paint))
    if ask:
        lines += ["", paragraph(ask, width=width)]
    return "\n".join(lines)


def _row(key: dict[str, Any], alternatives: bool) -> list[str]:
    why = "; ".join(key["evidence"])
    if alternatives and key["others"]:
        why += ("; or " if why else "or ") + ", ".join(str(other["setting"]) for other in key["others"][:4])
    relation = key["relation"] or {}
    unit = key["unit"] or ""
    if "scale" in relation:
        unit = "0..255"
    elif relation.get("fraction"):
        unit = "0..1"
    name = "/".join([*key["path"], key["key"]][-2:])
    if "part" in relation:
        name += f" (part {relation['part']})"
    return [visible(name), key["setting"] or "-", visible(unit), f"{key['confidence']:.2f}", visible(why)]


def _parent(parent: dict[str, Any]) -> str:
    return f"{parent.get('key') or parent.get('attribute')}, by {parent['by']}"


def _structure(structure: dict[str, Any]) -> list[list[str]]:
    rows = [["syntax", structure["syntax"]]]
    options = ", ".join(f"{name} {value!r}" for name, value in structure["options"].items())
    rows.append(["read with", visible(options) or "its usual options"])
    rows.append(["profiles", f"{structure['profiles']}, each a {structure['profile']}"])
    if structure["scopes"]:
        rows.append(["scopes", ", ".join(f"{scope}: {visible(word)}" for scope, word in structure["scopes"].items())])
    if structure["parent"]:
        rows.append(
            [
                "parents",
                visible(_parent(structure["parent"])),
            ]
        )
    if structure["decimal"] != ".":
        rows.append(["decimal mark", structure["decimal"]])
    if structure["flags"]:
        rows.append(
            [
                "flags",
                ", ".join(f"{visible(word)}: {'yes' if said else 'no'}" for word, said in structure["flags"].items()),
            ]
        )
    if structure["placeholder"]:
        rows.append(["placeholders", visible(" ... ".join(structure["placeholder"]))])
    return rows

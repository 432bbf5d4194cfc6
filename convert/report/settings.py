"""The canonical settings: a list, one in full, and the settings/1 result."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from convert.model.jsontext import number
from convert.model.numbers import spell
from convert.model.setting import SCOPES, Setting
from convert.report.grid import WIDTH, Paint, grid, paragraph, plain
from convert.report.values import unit
from convert.report.visible import visible


def range_of(setting: Setting) -> str:
    """The range in words.

    >>> from convert.model.setting import SETTINGS
    >>> range_of(SETTINGS["layer.height"]), range_of(SETTINGS["infill.pattern"])[:24]
    ('0.005 .. 10', '18 choices')
    """
    if setting.choices:
        return f"{len(setting.choices)} choices"
    low, high = (spell(bound) if bound is not None else "" for bound in (setting.minimum, setting.maximum))
    return f"{low} .. {high}".strip() if low or high else ""


def table(settings: Iterable[Setting], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """All these settings, by scope, a line each."""
    blocks = []
    known = list(settings)
    for scope in SCOPES:
        rows = [
            [one.id, one.kind, unit(one.unit), range_of(one), "per tool" if one.per_tool else "", one.meaning]
            for one in known
            if one.scope == scope
        ]
        if rows:
            heads = [scope, "kind", "unit", "range", "", "meaning"]
            blocks.append(grid(rows, heads, width=width, whole=[0, 1, 2, 3, 4], paint=paint))
    return "\n\n".join(blocks)


def one(
    setting: Setting, keys: Sequence[tuple[str, Sequence[str]]], *, width: int = WIDTH, paint: Paint = plain
) -> str:
    """One setting in full; `keys` tells how each dialect calls it."""
    rows = [["scope", setting.scope], ["kind", setting.kind]]
    if setting.is_number or setting.kind == "outline":
        rows.append(["unit", unit(setting.unit) or "none: a whole number"])
    if not setting.choices and range_of(setting):
        rows.append(["range", range_of(setting)])
    rows.append(["values", "one, or one per tool" if setting.per_tool else "one"])
    if setting.choices:
        rows.append(["choices", ", ".join(setting.choices)])
    lines = [paint(setting.id, "head"), paragraph(setting.meaning, width=width, indent=2), ""]
    lines.append(grid(rows, width=width, indent=2, whole=[0]))
    if keys:
        said = [[dialect, visible(", ".join(found)) or "-"] for dialect, found in keys]
        lines += ["", grid(said, ["dialect", "key"], width=width, indent=2, whole=[0], paint=paint)]
    return "\n".join(lines)


def document(settings: Iterable[Setting], keys: dict[str, dict[str, list[str]]]) -> dict[str, Any]:
    """The settings/1 result; `keys`: setting -> dialect -> keys, for the settings of which that was asked."""
    rows = []
    for setting in settings:
        row: dict[str, Any] = {
            "id": setting.id,
            "scope": setting.scope,
            "kind": setting.kind,
            "unit": setting.unit or None,
            "minimum": None if setting.minimum is None else number(setting.minimum),
            "maximum": None if setting.maximum is None else number(setting.maximum),
            "per_tool": setting.per_tool,
            "choices": list(setting.choices),
            "meaning": setting.meaning,
        }
        if setting.id in keys:
            row["keys"] = keys[setting.id]
        rows.append(row)
    return {"beadwise": "settings/1", "settings": rows}

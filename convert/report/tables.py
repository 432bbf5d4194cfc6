"""The known dialects, and the verdict on a name table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from convert.errors import Problem
from convert.report.grid import WIDTH, Paint, count, grid, paragraph, plain
from convert.report.visible import visible


def table(document: Mapping[str, Any], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """The tables/1 result as a table."""
    rows = [
        [visible(row["dialect"]), row["syntax"], str(row["settings"]), row["source"], visible(row["title"])]
        for row in document["tables"]
    ]
    heads = ["dialect", "syntax", "settings", "source", "title"]
    return grid(rows, heads, width=width, right=[2], whole=[0, 1, 2, 3], paint=paint)


def verdict(
    path: str,
    mistakes: Sequence[Problem],
    notes: Sequence[Problem],
    good: str,
    *,
    width: int = WIDTH,
    paint: Paint = plain,
) -> str:
    """All mistakes of a table and what is worth knowing; then a line that sums up, with `good` for one without any."""
    lines = []
    for kind, role, found in (("mistake", "bad", mistakes), ("note", "warn", notes)):
        for one in found:
            place, says = visible(str(one.where)), visible(one.says)
            text = paragraph(f"{place}: {kind}: {says}", width=width, hang=4)
            lines.append(text.replace(f": {kind}: ", f": {paint(kind, role)}: ", 1))
            if one.hint:
                lines.append(paragraph(visible(one.hint), width=width, indent=4))
    noted = f", {count(len(notes), 'note')}" if notes else ""
    if mistakes:
        lines.append(paint(f"{visible(path)}: {count(len(mistakes), 'mistake')}{noted}; it cannot be used", "bad"))
    else:
        lines.append(f"{visible(path)}: {paint('in order', 'good')}{noted}; {good}")
    return "\n".join(lines)

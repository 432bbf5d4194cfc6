"""What `set` changed, as the files say it; and the set/1 result."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.report.grid import WIDTH, Paint, grid, plain
from convert.report.visible import shorten, visible


@dataclass(frozen=True, slots=True)
class Change:
    """One key whose text changed: None where it was not there before, or is not there any more."""

    profile: str
    key: str
    line: int | None
    before: str | None
    after: str | None


@dataclass(slots=True)
class Edit:
    """What became of one file. `refused` tells why nothing was changed; `notes` what is worth knowing."""

    file: str
    dialect: str = ""
    scopes: tuple[str, ...] = ()
    written: str | None = None
    changes: list[Change] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    refused: str | None = None


def table(edits: Sequence[Edit], dry_run: bool, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """The files with their changes, a line each."""
    blocks = []
    for edit in edits:
        lines = [f"{paint(visible(edit.file), 'head')}  {_outcome(edit, dry_run, paint)}"]
        several = len({change.profile for change in edit.changes}) > 1
        rows = [
            [
                f"line {change.line}" if change.line is not None else "",
                visible(change.profile) if several else "",
                visible(change.key),
                shorten(change.before, 40) if change.before is not None else "(not there)",
                "->",
                shorten(change.after, 40) if change.after is not None else "(taken away)",
            ]
            for change in edit.changes
        ]
        if rows:
            lines.append(grid(rows, width=width, indent=2, whole=[0, 4]))
        lines += [f"  note: {visible(note)}" for note in edit.notes]
        blocks.append("\n".join(lines))
    return "\n".join(blocks)


def _outcome(edit: Edit, dry_run: bool, paint: Paint) -> str:
    if edit.refused is not None:
        return paint("not changed", "bad")
    if not edit.changes:
        return "says so already" if not edit.notes else "not changed"
    if dry_run:
        return "would be changed"
    return "changed" if edit.written in (None, edit.file) else f"changed in {visible(edit.written)}"


def document(edits: Sequence[Edit]) -> dict[str, Any]:
    """The set/1 result."""
    return {
        "beadwise": "set/1",
        "files": [
            {
                "file": edit.file,
                "dialect": edit.dialect or None,
                "written": edit.written,
                "changes": [
                    {
                        "profile": change.profile,
                        "key": change.key,
                        "line": change.line,
                        "before": change.before,
                        "after": change.after,
                    }
                    for change in edit.changes
                ],
                "notes": edit.notes,
                "refused": edit.refused,
            }
            for edit in edits
        ],
    }

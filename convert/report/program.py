"""Command code, step by step: what each line does, the state it leaves, and the first violation marked."""

from __future__ import annotations

from collections.abc import Sequence

from convert.model.profile import Profile
from convert.program import state_table
from convert.report.grid import WIDTH, Paint, grid, plain
from convert.report.visible import visible
from convert.rules.bundle import combinations
from convert.rules.observed import run_of
from convert.rules.setup import Setup


def tables(profiles: Sequence[Profile], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """One table for each setup that has code; setups with equal steps are shown once."""
    shown: dict[str, str] = {}
    for one in combinations(profiles):
        run = run_of(Setup(one.values))
        if run is None:
            continue
        rows: list[list[str | tuple[str, str]]] = []
        for row in state_table(run):
            mark = ">>" if row["first"] else ""
            seen = ", ".join(row["observations"])  # type: ignore[arg-type]
            role = "bad" if row["first"] else ""
            rows.append(
                [
                    (mark, role),
                    f"{row['section']}:{row['line']}",
                    visible(str(row["text"]).strip()),
                    visible(str(row["says"])),
                    (seen, role),
                ]
            )
        text = grid(rows, ["", "line", "code", "does", "remarks"], width=width, paint=paint)
        names = " + ".join(dict.fromkeys(name for name in one.names.values() if name))
        shown.setdefault(text, names)
    return "\n\n".join(f"{paint(visible(names), 'head')}\n{text}" for text, names in shown.items())

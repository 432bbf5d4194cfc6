"""A skirt, brim or raft that is chosen and has no lines."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: nothing is laid where the size is 0"
SIZES = {"skirt": ("base.skirt_rounds", "2"), "brim": ("base.brim_width", "5 mm"), "raft": ("base.raft_layers", "3")}


def check(setup: Setup) -> Iterator[Finding]:
    kind = setup.text("base.kind")
    name, usual = SIZES.get(kind, ("", ""))
    if not name or setup.get(name) != 0:
        return
    yield Finding(
        rule="base-empty",
        severity="note" if kind == "skirt" else "differs",
        settings=(name, "base.kind"),
        says=f"No {kind} is laid, although one is asked for: {name} is 0.",
        source=SOURCE,
        repair=(Repair(name, usual),),
    )


RULE = Rule(
    code="base-empty",
    question="Has the chosen skirt, brim or raft a size?",
    needs=("base.kind", "base.skirt_rounds", "base.brim_width", "base.raft_layers"),
    source=SOURCE,
    check=check,
    good={"base.kind": "brim", "base.brim_width": "5 mm"},
    bad={"base.kind": "raft", "base.raft_layers": "0"},
    severity="differs",
)

"""A skirt that touches the part, or lies so far out that the bed is lost to it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("base.kind") != "skirt" or not setup.get("base.skirt_rounds", 1.0):
        return
    offset = setup.get("base.skirt_offset")
    if offset is None:
        return
    least, most = setup.limit("skirt.offset.least"), setup.limit("skirt.offset.most")
    names = ("base.skirt_offset", "base.kind")
    says = f"The skirt sticks to the part like a brim: it lies {num(offset)} mm beside it."
    repair = (Repair(names[0], exact(least, "mm")),)
    yield from below("skirt-touches", names, offset, least, "mm", STEPS, says, SOURCE, repair)
    says = f"Parts need much room on the bed: their skirt lies {num(offset)} mm away from them."
    repair = (Repair(names[0], exact(most, "mm")),)
    yield from above("skirt-touches", names, offset, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="skirt-touches",
    question="Does the skirt keep beside the part?",
    needs=("base.kind", "base.skirt_rounds", "base.skirt_offset"),
    source=SOURCE,
    check=check,
    good={"base.kind": "skirt", "base.skirt_rounds": "2", "base.skirt_offset": "4 mm"},
    bad={"base.kind": "skirt", "base.skirt_rounds": "2", "base.skirt_offset": "0 mm"},
    severity="note",
)

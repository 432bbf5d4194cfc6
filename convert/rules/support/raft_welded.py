"""A raft that does not come off, or that the part does not hold to."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.support._kept import other_material
from convert.rules.words import exact, num

SOURCE = "common practice"
LOW = ((0.0, "note"), (-0.9, "spoils"))
HIGH = ((0.0, "note"), (-0.5, "differs"), (-1.5, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("base.kind") != "raft":
        return
    gap = setup.number("base.raft_gap")
    least, most = setup.limit("raft.gap.least"), setup.limit("raft.gap.most")
    if not other_material(setup):
        says = f"The raft does not come off: {num(gap)} mm of air lie between it and the part."
        repair = (Repair("base.raft_gap", exact(2 * least, "mm")),)
        yield from below("raft-welded", ("base.raft_gap",), gap, least, "mm", LOW, says, SOURCE, repair)
    says = f"The first layer of the part falls onto the raft and hardly holds, for {num(gap)} mm lie between them."
    repair = (Repair("base.raft_gap", exact(most, "mm")),)
    yield from above("raft-welded", ("base.raft_gap",), gap, most, "mm", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="raft-welded",
    question="Does the raft hold the part and come off?",
    needs=("base.kind", "base.raft_gap"),
    source=SOURCE,
    check=check,
    good={"base.kind": "raft", "base.raft_gap": "0.2 mm"},
    bad={"base.kind": "raft", "base.raft_gap": "0 mm"},
    severity="spoils",
)

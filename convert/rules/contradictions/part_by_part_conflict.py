"""Parts printed one after the other, with what needs all of them layer by layer."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: a tower or a raft grows with every part at once"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("order.part_by_part"):
        return
    names = ("order.part_by_part", "purge.tower")
    if setup.is_on("purge.tower") and (setup.get("tool.count") or 2) > 1:
        says = (
            "The head strikes the purge tower or finds none: parts are printed one after the other, and the tower "
            "grows "
            "layer by layer beside them all."
        )
        yield Finding(
            "part-by-part-conflict", "spoils", names, says, source=SOURCE, repair=(Repair("purge.tower", "false"),)
        )
    if setup.text("machine.kinematics") and not setup.text("code.next_part").strip():
        says = "The head goes from a finished part straight to the next: no command is run between them that lifts it."
        names = ("code.next_part", "order.part_by_part")
        yield Finding("part-by-part-conflict", "note", names, says, source=SOURCE)


RULE = Rule(
    code="part-by-part-conflict",
    question="Does nothing need all parts at once where they are printed one after the other?",
    needs=("order.part_by_part", "purge.tower", "code.next_part"),
    source=SOURCE,
    check=check,
    good={"order.part_by_part": "true", "purge.tower": "false"},
    bad={"order.part_by_part": "true", "purge.tower": "true", "tool.count": "2"},
    severity="spoils",
)

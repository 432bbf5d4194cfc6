"""Support laid with a tool that the machine has not."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "derived: tools are counted from 1"
STEPS = ((0.0, "fails"),)


def check(setup: Setup) -> Iterator[Finding]:
    tool = setup.get("support.tool")
    if not setup.is_on("support.enabled") or not tool:
        return
    count = setup.number("tool.count")
    says = f"The print stops when support begins: tool {num(tool)} is to lay it, and the machine has {num(count)}."
    names = ("support.tool", "tool.count")
    repair = (Repair("support.tool", exact(count, "").strip()),)
    yield from above("support-tool-missing", names, tool, count, "1", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="support-tool-missing",
    question="Has the machine the tool that is to lay support?",
    needs=("support.enabled", "support.tool", "tool.count"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.tool": "2", "tool.count": "2"},
    bad={"support.enabled": "true", "support.tool": "3", "tool.count": "2"},
    severity="fails",
)

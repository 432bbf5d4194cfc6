"""Curves written as arcs, for a machine or a print that has none."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("size.arcs"):
        return
    repair = (Repair("size.arcs", "false"),)
    if setup.text("code.commands") == "word-basic":
        says = (
            "Curves may be skipped: they are written as arcs, and many controllers with few commands know straight "
            "lines only."
        )
        yield Finding("arcs-unknown", "differs", ("size.arcs", "code.commands"), says, source=SOURCE, repair=repair)
    elif setup.text("machine.kinematics") in ("delta", "polar") or setup.is_on("finish.grain"):
        why = "finish.grain" if setup.is_on("finish.grain") else "machine.kinematics"
        what = "a wavering wall has none" if why == "finish.grain" else "this machine cuts them into short lines again"
        yield Finding(
            "arcs-unknown", "note", ("size.arcs", why), f"Arcs save nothing here: {what}.", source=SOURCE, repair=repair
        )


RULE = Rule(
    code="arcs-unknown",
    question="Does the machine know arcs?",
    needs=("size.arcs", "code.commands", "machine.kinematics", "finish.grain"),
    source=SOURCE,
    check=check,
    good={"size.arcs": "true", "code.commands": "word-extended"},
    bad={"size.arcs": "true", "code.commands": "word-basic"},
    severity="differs",
)

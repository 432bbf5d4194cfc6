"""Corner speed ruled by a deviation on the machine, while the process asks for instant speed changes."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice: a controller plans corners by one rule or by the other"


def check(setup: Setup) -> Iterator[Finding]:
    deviation = known(setup, "motion.corner_deviation")
    jumps = [name for name in setup.values if name.startswith("jump.") and known(setup, name)]
    if not deviation or not jumps:
        return
    yield Finding(
        rule="corner-rules-both",
        severity="note",
        settings=("motion.corner_deviation", *jumps),
        says=f"The jumps of the process change nothing where the machine plans corners by a deviation of "
        f"{num(deviation * 1000)} um; only one of the two rules counts.",
        source=SOURCE,
    )


RULE = Rule(
    code="corner-rules-both",
    question="Is corner speed ruled by one rule only?",
    needs=("motion.corner_deviation", "jump.*"),
    source=SOURCE,
    check=check,
    good={"motion.corner_deviation": "0.01 mm"},
    bad={"motion.corner_deviation": "0.01 mm", "jump.default": "8 mm/s"},
    severity="note",
)

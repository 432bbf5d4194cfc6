"""Resonances that no axis has, so that a filter made for them rounds corners instead of calming the head."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    low, high = setup.limit("resonance.low"), setup.limit("resonance.high")
    for axis in "xy":
        name = f"motion.resonance_{axis}"
        found = setup.get(name)
        if not found:
            continue
        says = (
            f"Corners may come out rounded and still ring: {num(found)} Hz is no usual resonance of the {axis.upper()} "
            f"axis, which lies between {num(low)} and {num(high)} Hz."
        )
        yield from below("resonance-odd", (name,), found, low, "Hz", STEPS, says, SOURCE)
        yield from above("resonance-odd", (name,), found, high, "Hz", STEPS, says, SOURCE)


RULE = Rule(
    code="resonance-odd",
    question="Is a measured resonance one that an axis may have?",
    needs=("motion.resonance_x", "motion.resonance_y"),
    source=SOURCE,
    check=check,
    good={"motion.resonance_x": "62 Hz", "motion.resonance_y": "38 Hz"},
    bad={"motion.resonance_x": "400 Hz"},
    severity="note",
)

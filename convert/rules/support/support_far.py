"""Support so far below the part that the part sags onto it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.5, "differs"), (-2.0, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("support.enabled"):
        return
    gap, height = setup.number("support.gap_z"), setup.number("layer.height")
    most = max(height * setup.limit("support.gap.layers"), setup.limit("support.gap.free"))
    says = f"Undersides hang and curl: they begin {num(gap)} mm above their support, and {num(most)} mm is much."
    repair = (Repair("support.gap_z", exact(height, "mm")),)
    names = ("support.gap_z", "layer.height")
    yield from above("support-far", names, gap, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="support-far",
    question="Does support carry the part?",
    needs=("support.enabled", "support.gap_z", "layer.height"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.gap_z": "0.2 mm", "layer.height": "0.2 mm"},
    bad={"support.enabled": "true", "support.gap_z": "1 mm", "layer.height": "0.2 mm"},
    severity="differs",
)

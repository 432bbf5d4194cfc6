"""Support so close under the part that it welds to it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.support._kept import other_material
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.3, "differs"), (-0.9, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("support.enabled") or other_material(setup):
        return
    gap, height = setup.number("support.gap_z"), setup.number("layer.height")
    least = height * setup.limit("support.gap.least")
    says = (
        f"Support does not come off: it is of the same filament, and {num(gap)} mm of air lie between it and the part, "
        f"where a layer is {num(height)} mm."
    )
    names = ("support.gap_z", "layer.height")
    repair = (Repair("support.gap_z", exact(height, "mm")),)
    yield from below("support-fused", names, gap, least, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="support-fused",
    question="Does support of the same filament come off the part?",
    needs=("support.enabled", "support.gap_z", "layer.height", "support.tool", "feedstock.soluble"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.gap_z": "0.2 mm", "layer.height": "0.2 mm"},
    bad={"support.enabled": "true", "support.gap_z": "0 mm", "layer.height": "0.2 mm"},
    severity="spoils",
)

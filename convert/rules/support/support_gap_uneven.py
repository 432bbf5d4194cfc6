"""A gap under the part that is no whole number of layers, and comes out as one that is."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.shells import step_residue
from convert.rules.finding import Finding, Repair
from convert.rules.judged import mends, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "derived: layers of one height lie in steps of it"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("support.enabled") or setup.is_on("layer.adaptive"):
        return
    gap, height = setup.get("support.gap_z"), setup.get("layer.height")
    if not gap or not height:
        return
    off = abs(usable(step_residue, gap, height))
    if off <= height * setup.limit("support.gap.residue"):
        return
    layers = int(gap / height)
    yield Finding(
        rule="support-gap-uneven",
        severity="note",
        settings=("support.gap_z", "layer.height"),
        says=f"The gap under the part comes out as {num(layers * height)} or {num((layers + 1) * height)} mm, not as "
        f"{num(gap)}: layers are {num(height)} mm high.",
        source=SOURCE,
        repair=mends((Repair("support.gap_z", exact(max(1, round(gap / height)) * height, "mm")),)),
    )


RULE = Rule(
    code="support-gap-uneven",
    question="Is the gap between support and part a whole number of layers?",
    needs=("support.enabled", "support.gap_z", "layer.height", "layer.adaptive"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.gap_z": "0.2 mm", "layer.height": "0.2 mm"},
    bad={"support.enabled": "true", "support.gap_z": "0.25 mm", "layer.height": "0.2 mm"},
    severity="note",
)

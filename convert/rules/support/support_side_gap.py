"""Support that touches the sides of the part, or stands far from them."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below, usable
from convert.rules.quantities import width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.support._kept import other_material
from convert.rules.words import exact, num, up

SOURCE = "common practice"
LOW = ((0.0, "note"), (-0.9, "differs"))
HIGH = ((0.0, "note"), (-2.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    gap = setup.get("support.gap_xy")
    if not setup.is_on("support.enabled") or gap is None:
        return
    names = ("support.gap_xy",)
    if not other_material(setup):
        bead = width(setup, "outer_wall")
        least = bead * setup.limit("support.side.least")
        says = f"Support scars the walls beside it: it stands {num(gap)} mm away, and a bead is {num(bead)} mm wide."
        repair = (Repair("support.gap_xy", usable(up, least, 0.05, "mm")),)
        yield from below("support-side-gap", names, gap, least, "mm", LOW, says, SOURCE, repair)
    most = setup.limit("support.side.most")
    says = f"Overhangs near walls are not carried, for support keeps {num(gap)} mm away from the part."
    repair = (Repair("support.gap_xy", exact(most, "mm")),)
    yield from above("support-side-gap", names, gap, most, "mm", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="support-side-gap",
    question="Does support keep its distance from the walls beside it?",
    needs=("support.enabled", "support.gap_xy", "width.outer_wall"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.gap_xy": "0.5 mm", "width.default": "0.45 mm"},
    bad={"support.enabled": "true", "support.gap_xy": "0 mm", "width.default": "0.45 mm"},
    severity="differs",
)

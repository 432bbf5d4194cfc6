"""Few solid layers on top over sparse infill."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below, usable
from convert.rules.quantities import infill_spacing, roof_thickness
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.shells._covers import cover_settings
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.5, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.is_on("order.spiral"):
        return
    density = setup.number("infill.density")
    if not 0 < density < 100 * setup.limit("infill.sparse"):
        return
    roof, height = usable(roof_thickness, setup), setup.number("layer.height")
    if roof <= 0 or height <= 0:
        return
    layers = round(roof / height + 1e-9)
    if roof >= setup.limit("shell.sparse_enough"):
        return
    least = setup.limit("shell.sparse_layers")
    says = (
        f"Tops may show pits: {layers} solid layers ({num(roof)} mm) close over infill lines that lie "
        f"{num(usable(infill_spacing, setup))} mm apart, at {num(density)} %."
    )
    repair = (Repair("cover.upper_layers", f"{least:g}"),)
    names = (*cover_settings(setup, "upper"), "infill.density")
    yield from below("roof-over-sparse", names, layers, least, "1", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="roof-over-sparse",
    question="Has a top over sparse infill enough solid layers?",
    needs=("cover.upper_layers", "infill.density", "infill.pattern", "layer.height", "width.infill"),
    source=SOURCE,
    check=check,
    good={
        "cover.upper_layers": "5",
        "infill.density": "10 %",
        "layer.height": "0.2 mm",
        "width.default": "0.45 mm",
    },
    bad={"cover.upper_layers": "2", "infill.density": "8 %", "layer.height": "0.2 mm", "width.default": "0.45 mm"},
    severity="differs",
)

"""A solid top too thin to close over the infill."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import below, usable
from convert.rules.quantities import roof_thickness
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.shells._covers import cover_settings, thicker
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.1, "differs"), (-0.55, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.is_on("order.spiral"):
        return
    roof, names = usable(roof_thickness, setup), cover_settings(setup, "upper")
    if roof <= 0:
        yield Finding(
            "roof-thin", "note", names, "The part stays open at the top: no solid layers are asked for.", source=SOURCE
        )
        return
    if setup.get("infill.density") == 100:
        return
    least = setup.limit("shell.min")
    says = (
        f"Tops may sag between the infill lines and show holes: {num(roof)} mm of solid top is all, "
        f"and {num(least)} mm is little already."
    )
    yield from below("roof-thin", names, roof, least, "mm", STEPS, says, SOURCE, thicker(setup, "upper", least))


RULE = Rule(
    code="roof-thin",
    question="Is the solid top thick enough to close?",
    needs=("cover.upper_layers", "cover.upper_thickness", "layer.height", "infill.density"),
    source=SOURCE,
    check=check,
    good={"cover.upper_layers": "4", "layer.height": "0.2 mm"},
    bad={"cover.upper_layers": "1", "layer.height": "0.2 mm"},
    severity="spoils",
    formula="max(n h, least thickness)",
)

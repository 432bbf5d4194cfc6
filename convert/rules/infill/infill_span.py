"""Infill lines so far apart that the top hangs between them."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.quantities import infill_spacing, roof_thickness, width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "derived: k section / (h density); what a top spans: common practice"
STEPS = ((0.0, "note"), (-1.0, "differs"), (-3.0, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.is_on("order.spiral") or not usable(roof_thickness, setup):
        return
    density = setup.number("infill.density")
    if density <= 0:
        yield Finding(
            rule="infill-span",
            severity="differs",
            settings=("infill.density", "cover.upper_layers"),
            says="Tops fall in: there is no infill to carry them, and they hang from wall to wall.",
            source=SOURCE,
            repair=(Repair("infill.density", "10 %"),),
        )
        return
    # Wide beads are thick, and span farther.
    most = max(setup.limit("infill.span.max"), setup.limit("infill.span.beads") * width(setup, "top"))
    span = usable(infill_spacing, setup)
    says = (
        f"Tops sag between the infill lines, which lie {num(span)} mm apart at {num(density)} %; "
        f"{num(most)} mm is what a top spans."
    )
    repair = (Repair("infill.density", up(density * span / most, 1, "%")),)
    names = ("infill.density", "infill.pattern")
    yield from above("infill-span", names, span, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="infill-span",
    question="Does the infill carry the top?",
    needs=("infill.density", "infill.pattern", "width.infill", "width.top", "layer.height", "cover.upper_layers"),
    source=SOURCE,
    check=check,
    good={
        "infill.density": "10 %",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "cover.upper_layers": "4",
    },
    bad={
        "infill.density": "1.5 %",
        "infill.pattern": "lines-square",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "cover.upper_layers": "4",
    },
    severity="spoils",
    formula="k A / (h density)",
)

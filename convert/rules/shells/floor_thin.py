"""A solid bottom too thin to be a bottom."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import below, usable
from convert.rules.quantities import floor_thickness
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.shells._covers import cover_settings, thicker
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.45, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    floor, names = usable(floor_thickness, setup), cover_settings(setup, "lower")
    if floor <= 0:
        yield Finding(
            "floor-thin", "note", names, "The part has no bottom: no solid layers are asked for.", source=SOURCE
        )
        return
    if setup.get("infill.density") == 100:
        return
    least = setup.limit("shell.min")
    says = (
        f"The bottom is weak and lets the infill show: it is {num(floor)} mm thick, and {num(least)} mm is little "
        "already."
    )
    yield from below("floor-thin", names, floor, least, "mm", STEPS, says, SOURCE, thicker(setup, "lower", least))


RULE = Rule(
    code="floor-thin",
    question="Is the solid bottom thick enough?",
    needs=("cover.lower_layers", "cover.lower_thickness", "layer.height", "layer.first", "infill.density"),
    source=SOURCE,
    check=check,
    good={"cover.lower_layers": "3", "layer.height": "0.2 mm"},
    bad={"cover.lower_layers": "1", "layer.height": "0.2 mm"},
    severity="differs",
)

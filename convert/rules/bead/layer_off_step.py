"""Layer heights that fall between the full steps of the Z axis."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, Repair
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, listed, num

SOURCE = "common practice: full steps are held more exactly than parts of them"
NEAR = 0.02
"""Share of a step that counts as the step itself."""


def check(setup: Setup) -> Iterator[Finding]:
    step = finite(setup, "axis.z.step")
    if step <= 0 or setup.text("machine.kinematics") == "delta":  # three towers share every move of Z
        return
    heights = {name: value for name in ("layer.height", "layer.first") if isfinite(value := setup.get(name) or 0.0)}
    off = {
        name: value
        for name, value in heights.items()
        if value >= step and abs(value / step - round(value / step)) > NEAR
    }
    if off:
        shown = listed(f"{num(value)} mm" for value in off.values())
        yield Finding(
            rule="layer-off-step",
            severity="note",
            settings=(*off, "axis.z.step"),
            says=f"Faint bands may show: {shown} {'is' if len(off) == 1 else 'are'} no multiple of the Z axis' full "
            f"step of {num(step)} mm.",
            source=SOURCE,
            repair=tuple(Repair(name, exact(round(value / step) * step, "mm")) for name, value in off.items()),
        )


RULE = Rule(
    code="layer-off-step",
    question="Are layer heights whole steps of the Z axis?",
    needs=("axis.z.step", "layer.height", "layer.first"),
    source=SOURCE,
    check=check,
    good={"axis.z.step": "0.04 mm", "layer.height": "0.2 mm", "layer.first": "0.24 mm"},
    bad={"axis.z.step": "0.04 mm", "layer.height": "0.15 mm"},
    severity="note",
)

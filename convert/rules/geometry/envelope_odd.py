"""A build volume whose proportions no ordinary machine has."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
NOTE = ((0.0, "note"), (-2.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("machine.kinematics") == "endless-belt":
        return
    sides = {name: setup.number(name) for name in ("envelope.x", "envelope.y", "envelope.z")}
    if not all(isfinite(side) for side in sides.values()):
        return
    long = max(sides, key=lambda name: sides[name])
    short = min(sides, key=lambda name: sides[name])
    if not sides[short] > 0:
        return
    ratio, most = sides[long] / sides[short], setup.limit("envelope.ratio.max")
    shown = " x ".join(num(value) for value in sides.values())
    says = (
        f"Parts may be refused, or run beyond the machine: its build volume of {shown} mm is "
        f"{num(ratio)} times as long as it is short, where {num(most)} is much already."
    )
    found = list(above("envelope-odd", (short, long), ratio, most, "1", NOTE, says, SOURCE))
    least = setup.limit("envelope.side.min")
    says = f"Hardly a part fits in: the build volume is {shown} mm."
    yield from found or below("envelope-odd", (short,), sides[short], least, "mm", ((0.0, "note"),), says, SOURCE)


RULE = Rule(
    code="envelope-odd",
    question="Has the build volume the proportions of a machine?",
    needs=("envelope.x", "envelope.y", "envelope.z"),
    source=SOURCE,
    check=check,
    good={"envelope.x": "300 mm", "envelope.y": "280 mm", "envelope.z": "290 mm"},
    bad={"envelope.x": "220 mm", "envelope.y": "220 mm", "envelope.z": "2500 mm"},
    severity="note",
)

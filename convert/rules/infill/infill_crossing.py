"""Infill whose lines cross within a layer, laid so fast that the nozzle knocks against the nodes."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above, roots, usable
from convert.rules.laid import laid
from convert.rules.quantities import effective_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
CROSSING = ("lines-square", "lines-triangle", "lines-kagome")
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("infill.pattern") not in CROSSING or "infill" not in laid(setup):
        return
    speed, most = usable(effective_speed, setup, "infill"), setup.limit("infill.crossing.speed")
    says = (
        "The nozzle knocks against the infill, and may push a part off: lines cross within a layer, heap up where "
        "they "
        f"do, and are laid at {num(speed)} mm/s."
    )
    names = ("infill.pattern", *roots(setup, "speed.infill"))
    yield from above("infill-crossing", names, speed, most, "mm/s", STEPS, says, SOURCE)


RULE = Rule(
    code="infill-crossing",
    question="Does the nozzle pass over crossing infill without knocking against it?",
    needs=("infill.pattern", "speed.infill"),
    source=SOURCE,
    check=check,
    good={"infill.pattern": "lines-square", "speed.infill": "80 mm/s"},
    bad={"infill.pattern": "lines-square", "speed.infill": "250 mm/s"},
    severity="note",
)

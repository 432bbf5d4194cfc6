"""Less plastic purged at a change of filament than the hot end holds."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.retraction import retraction_volume
from convert.rules.finding import Finding, Repair
from convert.rules.judged import below, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "derived: filament section x heated length; the length of an ordinary hot end: common practice"
STEPS = ((0.0, "note"), (-0.5, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if (setup.get("tool.count") or 1) < 2:
        return
    if setup.get("heat.nozzle_standby"):
        return  # tools that wait warm have a hot end each, which never holds another's filament
    purged = setup.get("purge.volume")
    if purged is None or (purged == 0 and not setup.is_on("purge.tower")):
        return
    length, diameter = setup.limit("hotend.heated_length"), setup.number("feedstock.diameter")
    held = usable(retraction_volume, length, diameter)
    says = (
        f"Colours and materials bleed into each other: {num(purged)} mm3 is purged at a change, and a hot end of "
        f"{num(length)} "
        f"mm holds {num(held)} mm3."
    )
    repair = (Repair("purge.volume", up(held, 10, "mm3")),)
    yield from below("purge-small", ("purge.volume",), purged, held, "mm3", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="purge-small",
    question="Is as much purged as the hot end holds?",
    needs=("tool.count", "purge.volume", "purge.tower", "feedstock.diameter", "heat.nozzle_standby"),
    source=SOURCE,
    check=check,
    good={"tool.count": "2", "purge.volume": "140 mm3", "feedstock.diameter": "1.75 mm"},
    bad={"tool.count": "2", "purge.volume": "15 mm3", "feedstock.diameter": "1.75 mm"},
    severity="differs",
)

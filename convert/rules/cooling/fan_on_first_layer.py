"""Air on the first layer, which has to hold to the plate."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    fan = known(setup, "fan.first_layer")
    if not fan or setup.text("base.kind") == "raft" or fan <= setup.limit("fan.first.max"):
        return
    off = known(setup, "fan.off_layers")
    repair = (Repair("fan.first_layer", "0 %"),)
    names: tuple[str, ...] = ("fan.first_layer",)
    if off:
        says = f"Two words about the first layer: its fan is {num(fan)} %, and the fan is off for {num(off)} layers."
        names = ("fan.first_layer", "fan.off_layers")
    else:
        says = (
            f"The first layer may let go: it is cooled with {num(fan)} % of the part fan while it should melt to the "
            "plate."
        )
    yield Finding("fan-on-first-layer", "note", names, says, source=SOURCE, repair=repair)


RULE = Rule(
    code="fan-on-first-layer",
    question="Is the fan off while the first layer is laid?",
    needs=("fan.first_layer", "fan.off_layers"),
    source=SOURCE,
    check=check,
    good={"fan.first_layer": "0 %", "fan.off_layers": "2"},
    bad={"fan.first_layer": "80 %"},
    severity="note",
)

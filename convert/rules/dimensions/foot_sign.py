"""A first layer made larger, where its flared foot should be taken off."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "differs"),)


def check(setup: Setup) -> Iterator[Finding]:
    offset = setup.get("size.first_layer")
    if not offset or offset < 0:
        return
    most = setup.limit("size.offset.seen")
    says = (
        f"The flared foot grows: the first layer is made wider by {num(offset)} mm per side. Against the foot the "
        "number "
        "is negative."
    )
    repair = (Repair("size.first_layer", exact(-offset, "mm")),)
    yield from above("foot-sign", ("size.first_layer",), offset, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="foot-sign",
    question="Is the first layer taken in, not let out?",
    needs=("size.first_layer",),
    source=SOURCE,
    check=check,
    good={"size.first_layer": "-0.12 mm"},
    bad={"size.first_layer": "0.12 mm"},
    severity="differs",
)

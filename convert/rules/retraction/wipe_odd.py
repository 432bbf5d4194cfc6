"""A drag over the bead just laid that has no length, or scars a large part of it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.retraction._pull import pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("retract.wipe") or not pulls(setup):
        return
    length = setup.number("retract.wipe_length")
    if length == 0:
        says = "The nozzle is not wiped, although that is asked for: the way of the wipe is 0 mm."
        yield Finding("wipe-odd", "differs", ("retract.wipe_length", "retract.wipe"), says, source=SOURCE)
        return
    most = setup.limit("retraction.wipe.max")
    says = f"The nozzle scars the wall: it is dragged back {num(length)} mm over the bead just laid."
    repair = (Repair("retract.wipe_length", exact(most, "mm")),)
    yield from above("wipe-odd", ("retract.wipe_length",), length, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="wipe-odd",
    question="Is the nozzle wiped over a short way?",
    needs=("retract.wipe", "retract.wipe_length"),
    source=SOURCE,
    check=check,
    good={"retract.wipe": "true", "retract.wipe_length": "1.2 mm"},
    bad={"retract.wipe": "true", "retract.wipe_length": "0 mm"},
    severity="differs",
)

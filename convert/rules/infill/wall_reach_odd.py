"""Infill that does not reach the walls, or runs so far into them that it shows outside."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
LOW = ((0.0, "note"), (-0.9, "differs"), (-1.5, "spoils"))
HIGH = ((0.0, "note"), (-0.5, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.is_on("order.spiral") or not setup.get("infill.density", 1.0):
        return
    reach = setup.number("infill.wall_reach")
    least, most = 100 * setup.limit("infill.reach.min"), 100 * setup.limit("infill.reach.max")
    names = ("infill.wall_reach",)
    says = (
        f"The infill lets go of the walls: it runs into them by {num(reach)} % of its bead, and {num(least)} % is "
        "little."
    )
    repair = (Repair(names[0], exact(2 * least, "%")),)
    yield from below("wall-reach-odd", names, reach, least, "%", LOW, says, SOURCE, repair)
    says = (
        f"Ridges show through the walls: infill runs into them by {num(reach)} % of its bead, and {num(most)} % is "
        "much."
    )
    repair = (Repair(names[0], exact(most, "%")),)
    yield from above("wall-reach-odd", names, reach, most, "%", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="wall-reach-odd",
    question="Does the infill hold to the walls without showing through?",
    needs=("infill.wall_reach", "infill.density"),
    source=SOURCE,
    check=check,
    good={"infill.wall_reach": "10 %"},
    bad={"infill.wall_reach": "-10 %"},
    severity="spoils",
)

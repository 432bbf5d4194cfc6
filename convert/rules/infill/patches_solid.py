"""So large a patch is laid solid that small parts get no infill at all."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    patch = setup.get("infill.hollow_min_area")
    if patch is None:
        return
    most = setup.limit("infill.patch.max")
    says = (
        f"Small parts come out solid: patches under {num(patch)} mm2 get no open infill, as much as a square of "
        f"{num(max(0.0, patch) ** 0.5)} mm."
    )
    repair = (Repair("infill.hollow_min_area", exact(most, "mm2")),)
    yield from above("patches-solid", ("infill.hollow_min_area",), patch, most, "mm2", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="patches-solid",
    question="Do small patches get the infill that is asked for?",
    needs=("infill.hollow_min_area",),
    source=SOURCE,
    check=check,
    good={"infill.hollow_min_area": "15 mm2"},
    bad={"infill.hollow_min_area": "900 mm2"},
    severity="note",
)

"""A brim too far from the part to hold it, or too narrow."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
APART = ((0.0, "note"), (-1.0, "differs"))
NARROW = ((0.0, "note"), (-0.9, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("base.kind") != "brim":
        return
    setback, inset = setup.get("base.brim_setback") or 0.0, max(0.0, -(setup.get("size.first_layer") or 0.0))
    most = setup.limit("brim.apart.max")
    names: tuple[str, ...] = ("base.brim_setback",)
    with_inset = ""
    if inset:
        names, with_inset = (
            ("base.brim_setback", "size.first_layer"),
            f", the inset of the first layer ({num(inset)} mm) included",
        )
    says = f"The brim does not hold the part: {num(setback + inset)} mm lie between them{with_inset}."
    repair = (Repair("base.brim_setback", exact(max(0.0, most - inset), "mm")),)
    yield from above(
        "brim-apart", names, setback + inset, most, "mm", APART, says, SOURCE, repair if inset <= most else ()
    )
    wide = setup.get("base.brim_width")
    if wide is not None:
        least = setup.limit("brim.width.least")
        says = f"The brim hardly holds: it is {num(wide)} mm wide."
        repair = (Repair("base.brim_width", exact(least, "mm")),)
        yield from below("brim-apart", ("base.brim_width",), wide, least, "mm", NARROW, says, SOURCE, repair)


RULE = Rule(
    code="brim-apart",
    question="Does the brim hold the part?",
    needs=("base.kind", "base.brim_setback", "base.brim_width", "size.first_layer"),
    source=SOURCE,
    check=check,
    good={
        "base.kind": "brim",
        "base.brim_width": "6 mm",
        "base.brim_setback": "0.1 mm",
        "size.first_layer": "-0.12 mm",
    },
    bad={"base.kind": "brim", "base.brim_width": "6 mm", "base.brim_setback": "1 mm"},
    severity="differs",
)

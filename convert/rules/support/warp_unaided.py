"""A polymer that shrinks much, with nothing that keeps the part down."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.dimensions import contraction
from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: free contraction alpha L dT between freezing and room; what lifts corners: common practice"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    kind = setup.text("base.kind")
    if kind not in ("none", "skirt"):
        return
    chamber = setup.get("heat.chamber") or 0.0
    if chamber >= setup.limit("chamber.warm"):
        return
    family = setup.word("feedstock.family")
    if (ends(setup, "fan")[1] or 100.0) > setup.limit("warp.fan"):
        return  # polymers that bear much air do not lift far
    expansion = ends(setup, "expansion")[0]
    freezing = ends(setup, "melting" if ends(setup, "crystalline")[0] else "glass_transition")[0]
    if expansion is None or freezing is None:
        return  # nothing is known of the family
    length, room = setup.limit("warp.length"), max(chamber, setup.limit("chamber.room"))
    pull = usable(contraction, expansion, length, max(0.0, freezing - room))
    most = setup.limit("warp.contraction.max")
    says = (
        f"Corners of long parts may lift: {family} draws together by {num(pull)} mm over {num(length)} mm while it "
        "cools, "
        "and neither a brim nor a warm chamber keeps it down."
    )
    names = ("base.kind", "feedstock.family", "heat.chamber")
    yield from above("warp-unaided", names, pull, most, "mm", STEPS, says, SOURCE, (Repair("base.kind", "brim"),))


RULE = Rule(
    code="warp-unaided",
    question="Is a polymer that shrinks much kept down?",
    needs=("base.kind", "feedstock.family", "heat.chamber"),
    source=SOURCE,
    check=check,
    good={"base.kind": "brim", "feedstock.family": "ABS"},
    bad={"base.kind": "skirt", "feedstock.family": "ABS", "heat.chamber": "off"},
    severity="note",
    formula="alpha L dT",
)

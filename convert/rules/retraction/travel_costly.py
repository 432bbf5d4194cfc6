"""Hops and retractions that take much of the printing time."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above, usable
from convert.rules.retraction._pull import pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.timed import estimate
from convert.rules.words import num

SOURCE = "derived: time model, block of 60 x 40 x 30 mm with 8 travels a layer"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if not pulls(setup) or setup.is_on("order.spiral"):
        return
    block = usable(estimate, setup, "block")
    if not block.time > 0:
        return
    for name, part, cause, limit in (
        ("hops", "hop", "travel.hop", "travel.hop.share"),
        ("retractions", "retraction", "retract.length", "retraction.share"),
    ):
        share, most = 100 * block.seconds.get(part, 0.0) / block.time, setup.limit(limit)
        rate = "axis.z.max_speed" if part == "hop" else "retract.speed"
        says = (
            f"Time goes into {name}: {num(share)} % of a block of 60 x 40 x 30 mm "
            f"({num(block.seconds.get(part, 0.0) / 60)} of {num(block.time / 60)} min)."
        )
        yield from above("travel-costly", (cause, rate), share, most, "%", STEPS, says, SOURCE)


RULE = Rule(
    code="travel-costly",
    question="Do hops and retractions take little of the time?",
    needs=(
        "travel.hop",
        "retract.length",
        "retract.speed",
        "axis.z.max_speed",
        "speed.*",
        "acceleration.*",
        "width.*",
        "layer.height",
        "wall.count",
        "cover.*",
        "infill.density",
        "feedstock.diameter",
    ),
    source=SOURCE,
    check=check,
    good={
        "travel.hop": "0.2 mm",
        "axis.z.max_speed": "20 mm/s",
        "retract.length": "0.6 mm",
        "retract.speed": "40 mm/s",
        "speed.default": "100 mm/s",
        "acceleration.default": "3000 mm/s2",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "wall.count": "2",
        "cover.upper_layers": "4",
        "cover.lower_layers": "4",
        "infill.density": "15 %",
        "feedstock.diameter": "1.75 mm",
    },
    bad={
        "travel.hop": "2 mm",
        "axis.z.max_speed": "5 mm/s",
        "retract.length": "0.6 mm",
        "retract.speed": "40 mm/s",
        "speed.default": "100 mm/s",
        "acceleration.default": "3000 mm/s2",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "wall.count": "2",
        "cover.upper_layers": "4",
        "cover.lower_layers": "4",
        "infill.density": "15 %",
        "feedstock.diameter": "1.75 mm",
    },
    severity="note",
)

"""A process whose beads are made for another bore than the machine has: one cause of many findings."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.bead._widths import width_setting, widths
from convert.rules.finding import Finding, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice: beads are 1.0 to 1.25 bores wide, layers at most 0.8 bores high"
BORES = (0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.2, 1.4, 1.8)
"""Bores that nozzles are sold with."""


def check(setup: Setup) -> Iterator[Finding]:
    bore = finite(setup, "nozzle.diameter")
    found = widths(setup)
    ordered = sorted(found.values())
    middle = (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2
    low, high = bore * setup.limit("nozzle.other.low"), bore * setup.limit("nozzle.other.high")
    if low <= middle <= high or setup.is_on("order.spiral"):
        return
    tall = setup.get("layer.height", 0.0) or 0.0
    fitting = [one for one in BORES if one <= middle * 1.001 and middle <= 1.3 * one and tall <= 0.8 * one]
    if not fitting:
        return
    other = min(fitting, key=lambda one: abs(middle / one - 1.1))
    limit = high if middle > high else low
    yield Finding(
        rule="beads-of-another-nozzle",
        severity="spoils",
        settings=("nozzle.diameter", *dict.fromkeys(width_setting(setup, name) for name in found)),
        says=f"Beads come out wrong throughout: at about {num(middle)} mm they are made for a {num(other)} mm nozzle, "
        f"and this one's bore is {num(bore)} mm. Take the process for this nozzle, or the nozzle for this process.",
        value=middle,
        limit=limit,
        unit="mm",
        margin=margin_above(middle, limit) if middle > high else margin_below(middle, limit),
        source=SOURCE,
    )


RULE = Rule(
    code="beads-of-another-nozzle",
    question="Are the beads made for this machine's nozzle?",
    needs=("nozzle.diameter", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4 mm", "width.default": "0.6 mm", "layer.height": "0.2 mm"},
    bad={"nozzle.diameter": "0.4 mm", "width.default": "0.88 mm", "layer.height": "0.4 mm"},
    severity="spoils",
    explains=(
        "bead-thin",
        "bead-wide",
        "bead-aspect",
        "bead-strand",
        "layer-thick",
        "layer-thin",
        "first-layer-thick",
        "bore-choked",
    ),
)

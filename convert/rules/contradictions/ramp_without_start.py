"""A rise of speed over the first layers that begins nowhere, or hardly ends."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "derived: the ramp starts at the speed of the first layer"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    layers = known(setup, "speed.ramp_layers")
    if not layers:
        return
    if layers > 1 and "speed.first_layer" not in setup.values and setup.has("speed.default"):
        says = (
            f"Nothing rises: over {num(layers)} layers speed goes from the first layer's to the full one, and the "
            "first layer has none of its own."
        )
        yield Finding("ramp-without-start", "note", ("speed.ramp_layers", "speed.first_layer"), says, source=SOURCE)
    most = setup.limit("speed.ramp.max")
    says = f"Flat parts never reach full speed, for it rises over {num(layers)} layers."
    repair = (Repair("speed.ramp_layers", exact(most, "").strip()),)
    yield from above("ramp-without-start", ("speed.ramp_layers",), layers, most, "1", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="ramp-without-start",
    question="Does speed rise from the first layer's, over few layers?",
    needs=("speed.ramp_layers", "speed.first_layer"),
    source=SOURCE,
    check=check,
    good={"speed.ramp_layers": "3", "speed.first_layer": "30 mm/s", "speed.default": "100 mm/s"},
    bad={"speed.ramp_layers": "3", "speed.default": "100 mm/s"},
    severity="note",
)

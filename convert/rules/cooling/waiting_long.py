"""Pauses beside the part that make up much of the time, while the nozzle drips."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.timed import estimate
from convert.rules.words import num

SOURCE = "derived: time model, tower of 12 x 12 x 80 mm"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("cooling.wait_aside") or not setup.get("cooling.min_layer_time"):
        return
    tower = usable(estimate, setup, "tower")
    waits = tower.seconds.get("wait", 0.0)
    if not waits or not tower.time > 0:
        return
    share, most = 100 * waits / tower.time, setup.limit("cooling.wait.share")
    says = (
        f"The nozzle drips beside small parts: it waits for {num(share)} % of the time of a tower of 12 x 12 x 80 mm, "
        f"{num(waits / 60)} of {num(tower.time / 60)} min."
    )
    names = ("cooling.wait_aside", "cooling.slowest", "cooling.min_layer_time")
    yield from above("waiting-long", names, share, most, "%", STEPS, says, SOURCE)


_PRINT = {
    "layer.height": "0.2 mm",
    "width.default": "0.45 mm",
    "speed.default": "150 mm/s",
    "acceleration.default": "3000 mm/s2",
    "wall.count": "2",
    "cover.upper_layers": "4",
    "cover.lower_layers": "4",
    "infill.density": "10 %",
    "feedstock.diameter": "1.75 mm",
    "cooling.min_layer_time": "8 s",
    "cooling.wait_aside": "true",
}
RULE = Rule(
    code="waiting-long",
    question="Does the nozzle seldom wait beside the part?",
    needs=(
        "cooling.wait_aside",
        "cooling.min_layer_time",
        "cooling.slowest",
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
    good={**_PRINT, "cooling.slowest": "12 mm/s"},
    bad={**_PRINT, "cooling.slowest": "60 mm/s"},
    severity="note",
)

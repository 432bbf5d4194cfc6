"""A least layer time that small layers miss although they are slowed."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.bodies import body
from convert.physics.cooling import shortest_path
from convert.rules.finding import Finding
from convert.rules.judged import below, usable
from convert.rules.quantities import width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.timed import estimate
from convert.rules.words import num

SOURCE = "derived: time model, tower of 12 x 12 x 80 mm, its layers slowed as far as allowed"
STEPS = ((0.0, "note"), (-0.5, "differs"))
LINES = 20
"""Beads side by side in a part that is more than a pin."""


def check(setup: Setup) -> Iterator[Finding]:
    least = setup.get("cooling.min_layer_time")
    if not least or setup.is_on("cooling.wait_aside") or setup.is_on("order.spiral"):
        return
    tower = usable(estimate, setup, "tower")
    inside = [time for kind, count, time in tower.layer_times if count > 1]
    shortest = min(inside, default=tower.shortest_layer)
    slowest = setup.get("cooling.slowest") or 0.0
    path = f" At {num(slowest)} mm/s that takes {num(shortest_path(slowest, least))} mm of path." if slowest > 0 else ""
    side = num(body("tower").x)
    says = (
        f"Small parts stay soft: a layer of {side} x {side} mm is done in {num(shortest)} s, not in the {num(least)} "
        "s that "
        f"are asked for, for it is not slowed further.{path}"
    )
    names = ("cooling.slowest", "cooling.min_layer_time", "cooling.wait_aside")
    large = width(setup, "outer_wall") > body("tower").x / LINES  # to wide beads the tower is a pin
    yield from below("layer-time-missed", names, shortest, least, "s", STEPS[:1] if large else STEPS, says, SOURCE)


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
}
RULE = Rule(
    code="layer-time-missed",
    question="Do small layers last as long as is asked?",
    needs=(
        "cooling.min_layer_time",
        "cooling.slowest",
        "cooling.wait_aside",
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
    bad={**_PRINT, "cooling.slowest": "50 mm/s"},
    severity="differs",
)

"""A first layer laid at a speed or acceleration at which few materials hold to the plate."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, roots, usable
from convert.rules.quantities import acceleration, effective_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
SPEED = ((0.0, "note"), (-0.5, "differs"), (-1.5, "spoils"))
PULL = ((0.0, "note"), (-2.0, "differs"))
WORDS = {"speed.first_layer": "the first layer", "speed.first_layer_area": "the filled area of the first layer"}


def check(setup: Setup) -> Iterator[Finding]:
    if setup.text("base.kind") == "raft":
        return
    most = setup.limit("first.speed.max")
    reached = {"speed.first_layer": usable(effective_speed, setup, "first_layer")}
    if "speed.first_layer_area" in setup.values:
        reached["speed.first_layer_area"] = setup.number("speed.first_layer_area")
    name = max(reached, key=lambda one: reached[one])
    says = (
        f"Lines let go of the plate in tight places: {WORDS[name]} is laid at {num(reached[name])} mm/s, "
        f"and {num(most)} is fast already."
    )
    repair = (Repair(name, exact(most, "mm/s")),)
    yield from above("first-layer-hasty", roots(setup, name), reached[name], most, "mm/s", SPEED, says, SOURCE, repair)

    if setup.has("acceleration.first_layer"):
        pull, most = usable(acceleration, setup, "first_layer"), setup.limit("acceleration.first.max")
        says = f"Corners of the first layer may let go: they are taken with {num(pull)} mm/s2, and {num(most)} is much."
        repair = (Repair("acceleration.first_layer", exact(most, "mm/s2")),)
        names = roots(setup, "acceleration.first_layer")
        yield from above("first-layer-hasty", names, pull, most, "mm/s2", PULL, says, SOURCE, repair)


RULE = Rule(
    code="first-layer-hasty",
    question="Is the first layer laid calmly enough to hold?",
    needs=("speed.first_layer", "speed.first_layer_area", "acceleration.first_layer", "base.kind"),
    source=SOURCE,
    check=check,
    good={"speed.first_layer": "45 mm/s", "speed.first_layer_area": "70 mm/s", "acceleration.first_layer": "800 mm/s2"},
    bad={"speed.first_layer": "180 mm/s", "acceleration.first_layer": "5000 mm/s2"},
    severity="differs",
)

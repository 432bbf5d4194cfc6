"""A retraction so fast that the gear may grind the filament, or that the feed cannot do."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.retraction._pull import feed_limits, ordinal, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice; derived where the feed's own limit is lower"
GRINDS = ((0.0, "differs"), (-0.5, "spoils"))
HELD = ((0.0, "note"),)
WORDS = {"retract.speed": "pulled back", "retract.return_speed": "pushed forward"}


def check(setup: Setup) -> Iterator[Finding]:
    if not pulls(setup) or not setup.get("retract.length", 1.0):
        return
    for name, word in WORDS.items():
        speed = setup.number(name) if name == "retract.speed" else setup.get(name)
        if not speed:
            continue
        most = setup.limit("retraction.speed.max")
        what = f"the filament{ordinal(setup, name)} is {word} at {num(speed)} mm/s"
        says = f"The feed gear may grind a flat spot and lose its grip: {what}, and {num(most)} is much."
        repair = (Repair(name, exact(most, "mm/s")),)
        yield from above("retraction-grinds", (name,), speed, most, "mm/s", GRINDS, says, SOURCE, repair)
        limits = feed_limits(setup, "max_speed")
        if limits and speed <= most:
            limit = min(limits, key=lambda one: limits[one])
            says = (
                f"Retractions take longer than it seems: {what}, if it were for the numbers, but the feed does "
                f"{num(limits[limit])}."
            )
            repair = (Repair(name, exact(limits[limit], "mm/s")),)
            yield from above(
                "retraction-grinds", (name, limit), speed, limits[limit], "mm/s", HELD, says, SOURCE, repair
            )


RULE = Rule(
    code="retraction-grinds",
    question="Can the feed pull back as fast as it is told, without grinding?",
    needs=("retract.enabled", "retract.speed", "retract.return_speed", "feed.max_speed", "axis.e.max_speed"),
    source=SOURCE,
    check=check,
    good={"retract.speed": "40 mm/s", "feed.max_speed": "60 mm/s"},
    bad={"retract.speed": "150 mm/s", "feed.max_speed": "60 mm/s"},
    severity="spoils",
)

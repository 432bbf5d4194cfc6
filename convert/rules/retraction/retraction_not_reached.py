"""A retraction too short for its speed to be reached."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.motion import peak_speed
from convert.rules.finding import Finding
from convert.rules.judged import below, usable
from convert.rules.retraction._pull import feed_limits, ordinal, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: from rest to rest a length L gives at most sqrt(a L)"
STEPS = ((-0.25, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if not pulls(setup):
        return
    limits = feed_limits(setup, "max_acceleration")
    length, speed = setup.get("retract.length"), setup.get("retract.speed")
    if not limits or not length or not speed or speed == float("inf"):
        return
    name = min(limits, key=lambda one: limits[one])
    reached = usable(peak_speed, length, speed, limits[name])
    says = (
        f"Faster retraction changes nothing: over {num(length)} mm{ordinal(setup, 'retract.length')} the filament "
        "gets to "
        f"{num(reached)} mm/s, not to {num(speed)}, with {num(limits[name])} mm/s2."
    )
    names = ("retract.speed", name)
    yield from below("retraction-not-reached", names, reached, speed, "mm/s", STEPS, says, SOURCE)


RULE = Rule(
    code="retraction-not-reached",
    question="Is a retraction long enough for its speed?",
    needs=("retract.length", "retract.speed", "limit.acceleration.pullback", "axis.e.max_acceleration"),
    source=SOURCE,
    check=check,
    good={"retract.length": "0.6 mm", "retract.speed": "40 mm/s", "limit.acceleration.pullback": "4000 mm/s2"},
    bad={"retract.length": "0.6 mm", "retract.speed": "60 mm/s", "limit.acceleration.pullback": "1000 mm/s2"},
    severity="note",
    formula="v_peak = sqrt(a L)",
)

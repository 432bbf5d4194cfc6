"""Speeds that the controller does not let the axes reach."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, roots
from convert.rules.laid import source_of
from convert.rules.motion._moves import asked, plan_limit, word
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, exact, features, num

SOURCE = "derived: the speed asked for against the axis limit that the controller keeps"
STEPS = ((0.0, "note"), (-1.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    most = plan_limit(setup, "max_speed")
    speeds = asked(setup, "speed")
    beyond = sorted((name for name in speeds if speeds[name] > most), key=lambda name: -speeds[name])
    if not beyond:
        return
    worst = beyond[0]
    others = features(word(setup, "speed", name) for name in beyond[1:])
    says = (
        f"{capital(features([word(setup, 'speed', worst)]))} cannot go faster than {num(most)} mm/s, the limit of the "
        "axes; "
        f"{num(speeds[worst])} is asked for{f', and too much for {others} as well' if others else ''}."
    )
    names = tuple(source_of(setup, "speed", name) for name in beyond)
    repair = tuple(Repair(name, exact(most, "mm/s")) for name in names)
    settings = roots(setup, *names)
    yield from above("speed-beyond-axis", settings, speeds[worst], most, "mm/s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="speed-beyond-axis",
    question="Do the axes reach the speeds asked for?",
    needs=("speed.*", "axis.x.max_speed", "axis.y.max_speed"),
    source=SOURCE,
    check=check,
    good={"speed.default": "250 mm/s", "speed.travel": "500 mm/s", "axis.x.max_speed": "600 mm/s"},
    bad={"speed.default": "80 mm/s", "speed.travel": "500 mm/s", "axis.x.max_speed": "200 mm/s"},
    severity="differs",
)

"""A least speed of the controller above speeds that the print asks for."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed, num

SOURCE = "derived: the controller lifts slower commands to its least speed"
STEPS = ((0.0, "differs"), (-2.0, "spoils"))
SPEEDS = ("cooling.slowest", *(f"speed.{name}" for name in ("first_layer", "outer_wall", "top", "bridge", "overhang")))


def check(setup: Setup) -> Iterator[Finding]:
    least = setup.get("limit.slowest.print")
    if not least:
        return
    asked = {name: value for name in SPEEDS if (value := setup.get(name)) and value < least}
    if not asked:
        return
    names = sorted(asked, key=lambda name: asked[name])
    slowest = asked[names[0]]
    says = (
        f"Slow moves are made faster than they are meant: the controller goes no slower than {num(least)} mm/s, "
        f"and {listed(names)} {'asks' if len(names) == 1 else 'ask'} for {num(slowest)}"
        f"{' and more' if len(names) > 1 else ''}."
    )
    settings = ("limit.slowest.print", *names)
    yield from above("slowest-commanded", settings, least, slowest, "mm/s", STEPS, says, SOURCE)


RULE = Rule(
    code="slowest-commanded",
    question="Does the controller go as slow as the print asks?",
    needs=("limit.slowest.print", "cooling.slowest", "speed.*"),
    source=SOURCE,
    check=check,
    good={"limit.slowest.print": "5 mm/s", "cooling.slowest": "10 mm/s", "speed.default": "80 mm/s"},
    bad={"limit.slowest.print": "25 mm/s", "cooling.slowest": "10 mm/s", "speed.default": "80 mm/s"},
    severity="differs",
)

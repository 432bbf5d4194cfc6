"""Accelerations that the controller cuts to a limit of its own."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.judged import above, roots
from convert.rules.laid import source_of
from convert.rules.motion._moves import asked, word
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup
from convert.rules.words import capital, exact, features, num

SOURCE = "derived: the acceleration asked for against the limits that the controller keeps"
STEPS = ((0.0, "note"), (-1.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    wanted = asked(setup, "acceleration")
    limits = {name: limit for name in wanted if (limit := _limit(setup, name))}
    if not limits:
        raise Missing("axis.x.max_acceleration or limit.acceleration.print")
    beyond = [name for name in limits if wanted[name] > limits[name][0]]
    if not beyond:
        return
    beyond.sort(key=lambda name: margin_above(wanted[name], limits[name][0]))
    worst = beyond[0]
    most, kept = limits[worst]
    others = features(word(setup, "acceleration", name) for name in beyond[1:])
    says = (
        f"{capital(features([word(setup, 'acceleration', worst)]))} gets {num(most)} mm/s2, for {kept} holds it there; "
        f"{num(wanted[worst])} is asked for{f', and too much for {others} as well' if others else ''}."
    )
    names = tuple(source_of(setup, "acceleration", name) for name in beyond)
    repair = tuple(Repair(source_of(setup, "acceleration", name), exact(limits[name][0], "mm/s2")) for name in beyond)
    settings = (*roots(setup, *names), kept)
    yield from above("acceleration-beyond-limit", settings, wanted[worst], most, "mm/s2", STEPS, says, SOURCE, repair)


def _limit(setup: Setup, feature: str) -> tuple[float, str] | None:
    machine = f"limit.acceleration.{'travel' if feature == 'travel' else 'print'}"
    names = (machine, "axis.x.max_acceleration", "axis.y.max_acceleration")
    found = [(value, name) for name in names if (value := setup.get(name)) and value != inf]
    return min(found, default=None)


RULE = Rule(
    code="acceleration-beyond-limit",
    question="Does the controller keep the accelerations asked for?",
    needs=("acceleration.*", "axis.x.max_acceleration", "axis.y.max_acceleration", "limit.acceleration.print"),
    source=SOURCE,
    check=check,
    good={"acceleration.default": "5000 mm/s2", "axis.x.max_acceleration": "20000 mm/s2"},
    bad={
        "acceleration.default": "10000 mm/s2",
        "axis.x.max_acceleration": "12000 mm/s2",
        "limit.acceleration.print": "2000 mm/s2",
    },
    severity="differs",
)

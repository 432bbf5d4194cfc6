"""Instant speed changes that the controller cuts to those of its axes."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.laid import source_of
from convert.rules.motion._moves import asked, plan_limit, word
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, features, num

SOURCE = "derived: the jump asked for against the axis limit that the controller keeps"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    if setup.get("motion.corner_deviation"):
        return  # that rules the corners
    if not any(name.startswith("jump.") for name in setup.values):
        return
    most = plan_limit(setup, "max_jump")
    jumps = asked(setup, "jump")
    beyond = sorted((name for name in jumps if jumps[name] > most), key=lambda name: -jumps[name])
    if not beyond:
        return
    names = tuple(source_of(setup, "jump", name) for name in beyond)
    says = (
        f"Corners are taken no faster than the axes' jump of {num(most)} mm/s allows; {num(jumps[beyond[0]])} is "
        "asked for "
        f"({features(word(setup, 'jump', name) for name in beyond)})."
    )
    repair = tuple(Repair(name, exact(most, "mm/s")) for name in names)
    yield from above("jump-beyond-axis", names, jumps[beyond[0]], most, "mm/s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="jump-beyond-axis",
    question="Do the axes allow the instant speed changes asked for?",
    needs=("jump.*", "axis.x.max_jump", "axis.y.max_jump"),
    source=SOURCE,
    check=check,
    good={"jump.default": "8 mm/s", "axis.x.max_jump": "9 mm/s"},
    bad={"jump.default": "15 mm/s", "axis.x.max_jump": "9 mm/s"},
    severity="note",
)

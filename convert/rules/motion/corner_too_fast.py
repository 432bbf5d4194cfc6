"""Corners taken so fast that motors may lose steps."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.laid import laid
from convert.rules.motion._moves import jump
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "differs"), (-0.5, "spoils"), (-1.5, "fails"))


def check(setup: Setup) -> Iterator[Finding]:
    deviation = setup.get("motion.corner_deviation")
    if deviation:
        most, name = setup.limit("deviation.max"), "motion.corner_deviation"
        says = (
            f"Layers may shift: corners are taken so fast that the head would leave them by {num(deviation)} mm, "
            f"and {num(most)} is the most that motors usually bear."
        )
        repair = (Repair(name, exact(most, "mm")),)
        yield from above("corner-too-fast", (name,), deviation, most, "mm", STEPS, says, SOURCE, repair)
        return
    found = [one for name in (*laid(setup), "travel") if (one := jump(setup, name))]
    if not found:
        raise Missing("motion.corner_deviation or jump.default")
    value, name = max(found)
    most = setup.limit("jump.max")
    says = (
        f"Layers may shift: the head changes its speed by {num(value)} mm/s at once, "
        f"and {num(most)} is the most that motors usually bear."
    )
    repair = (Repair(name, exact(most, "mm/s")),)
    yield from above("corner-too-fast", (name,), value, most, "mm/s", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="corner-too-fast",
    question="Are corners taken no faster than motors bear?",
    needs=("motion.corner_deviation", "jump.*", "axis.x.max_jump", "axis.y.max_jump"),
    source=SOURCE,
    check=check,
    good={"jump.default": "10 mm/s"},
    bad={"jump.default": "60 mm/s"},
    severity="spoils",
)

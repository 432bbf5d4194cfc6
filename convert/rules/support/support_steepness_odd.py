"""An overhang angle counted from the other reference: nearly everything is supported, or nearly nothing."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice; 45 deg printed without: Mazlan et al., J. Adv. Ind. Technol. Appl. 2020, 38-47 (abstract)"
LOW = ((0.0, "note"), (-0.6, "differs"))
HIGH = ((0.0, "note"), (-0.1, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("support.enabled"):
        return
    angle = setup.get("support.steepness")
    if angle is None:
        return
    names = ("support.steepness",)
    least, most = setup.limit("overhang.convention.low"), setup.limit("overhang.convention.high")
    hint = f"Counted from the horizontal, as others do, that would be {num(90 - angle)} deg from the vertical."
    repair = (Repair(names[0], exact(90 - angle, "deg")),) if least <= 90 - angle <= most else ()
    says = f"Support grows nearly everywhere: it is built under all that leans more than {num(angle)} deg. {hint}"
    yield from below("support-steepness-odd", names, angle, least, "deg", LOW, says, SOURCE, repair)
    says = f"Overhangs hang in the air: support is built only under what leans more than {num(angle)} deg. {hint}"
    yield from above("support-steepness-odd", names, angle, most, "deg", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="support-steepness-odd",
    question="Is the overhang angle for support counted from the vertical?",
    needs=("support.enabled", "support.steepness"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.steepness": "52 deg"},
    bad={"support.enabled": "true", "support.steepness": "85 deg"},
    severity="differs",
)

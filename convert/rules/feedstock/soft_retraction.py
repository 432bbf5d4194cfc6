"""Soft filament pulled back too far or too fast: it stretches, jams or is ground."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.rules.feedstock._soft import is_soft
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import finite, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if not is_soft(setup) or support_tool(setup) or setup.value("retract.enabled") is False:
        return
    length = finite(setup, "retract.length")
    if length <= 0:
        return
    drive = setup.word("feed.drive")
    most = setup.limit(f"soft.retraction.{drive}")
    margin = margin_above(length, most)
    severity = graded(margin, (0.0, "differs"), (-0.75, "spoils"))
    if severity:
        yield Finding(
            rule="soft-retraction",
            severity=severity,
            settings=("retract.length", "feedstock.family", "feed.drive"),
            says=f"Soft filament stretches and jams when it is pulled back {num(length)} mm; with a {drive} drive "
            f"{num(most)} mm is about the most.",
            value=length,
            limit=most,
            unit="mm",
            margin=margin,
            source=SOURCE,
            repair=(Repair("retract.length", down(most, 0.1, "mm")),),
        )
    speed, fastest = setup.get("retract.speed"), setup.limit("soft.retraction.speed")
    if speed is not None and fastest < speed < inf:
        yield Finding(
            rule="soft-retraction",
            severity="differs" if speed > 1.5 * fastest else "note",
            settings=("retract.speed", "feedstock.family"),
            says=f"The gear slips on soft filament that is pulled back at {num(speed)} mm/s.",
            value=speed,
            limit=fastest,
            unit="mm/s",
            margin=margin_above(speed, fastest),
            source=SOURCE,
            repair=(Repair("retract.speed", down(fastest, 1, "mm/s")),),
        )


RULE = Rule(
    code="soft-retraction",
    question="Is soft filament pulled back gently?",
    needs=("feedstock.family", "feed.drive", "retract.length", "retract.speed"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "TPU", "feed.drive": "direct", "retract.length": "0.8 mm", "retract.speed": "25 mm/s"},
    bad={"feedstock.family": "TPU", "feed.drive": "direct", "retract.length": "5 mm", "retract.speed": "30 mm/s"},
    severity="spoils",
)

"""A bed so far above the glass transition of an amorphous polymer that the foot of the part sags."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded
from convert.rules.heat._temperatures import WORDS
from convert.rules.laid import ends, finite, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

ROOM = 25.0
SOURCE = "common practice: an amorphous polymer bears about 15 K above its glass transition"


def check(setup: Setup) -> Iterator[Finding]:
    if support_tool(setup) or (ends(setup, "crystalline")[0] or 0) >= 1:
        return
    name = "heat.bed" if setup.get("heat.bed") else "heat.bed_first"
    value = finite(setup, name)
    glass = setup.get("feedstock.glass_transition")
    if glass is None:
        glass = setup.polymer("glass_transition", "high")
    if glass < ROOM:  # rubbery in use: crystals or cross-links hold its shape
        return
    most = glass + setup.limit("bed.over_glass.max")
    over = value - most
    severity = graded(-over, (0.0, "differs"), (-15.0, "spoils"))
    if severity:
        yield Finding(
            rule="bed-above-glass",
            severity=severity,
            settings=(name, "feedstock.glass_transition", "feedstock.family"),
            says=f"The foot of the part stays soft and sags: {WORDS[name]} is at {num(value)} °C, "
            f"{num(value - glass)} K above the glass transition.",
            value=value,
            limit=most,
            unit="Cel",
            margin=-over / abs(most) if most else -over,
            source=SOURCE,
            repair=(Repair(name, down(most, 1, "°C")),),
        )


RULE = Rule(
    code="bed-above-glass",
    question="Is the bed cool enough for the foot of the part to set?",
    needs=("heat.bed", "feedstock.family", "feedstock.glass_transition"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PLA", "feedstock.glass_transition": "58 °C", "heat.bed": "65 °C"},
    bad={"feedstock.family": "PLA", "feedstock.glass_transition": "58 °C", "heat.bed": "95 °C"},
    severity="spoils",
    explains=("bed-outside-window",),
)

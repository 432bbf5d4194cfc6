"""A retraction shorter than the slack of the guide and what is pressed together in it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.retraction import stored_length
from convert.rules.finding import Finding, Repair
from convert.rules.judged import below, usable
from convert.rules.retraction._pull import SOFT, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "derived: p L/E + melt compression + bend x (guide bore - filament); pressure and guide: common practice"
STEPS = ((0.0, "note"), (-0.3, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if not pulls(setup) or setup.text("feed.drive") != "remote" or setup.text("feedstock.family") in SOFT:
        return
    length = setup.number("retract.length")
    if not length > 0:
        return
    path, diameter = setup.number("feed.path_length"), setup.number("feedstock.diameter")
    pressure, modulus = setup.limit("retraction.stored.pressure"), setup.limit("retraction.stored.modulus")
    bend, play = setup.limit("retraction.stored.bend"), setup.limit("retraction.stored.play")
    heated = setup.limit("hotend.heated_length")
    stored = usable(stored_length, pressure, path, modulus, heated, bend, diameter + play, diameter)
    setup.assumed["guide"] = f"bent by {bend:g} deg in all, {play:g} mm wider than the filament (common practice)"
    setup.assumed["pressure in the melt"] = f"{pressure:g} MPa (common practice)"
    says = (
        f"The nozzle goes on dripping: {num(length)} mm of retraction does not even take up the {num(stored)} mm that "
        "a "
        f"guide of {num(path)} mm holds as slack and compression."
    )
    repair = (Repair("retract.length", up(stored, 0.1, "mm")),)
    names = ("retract.length", "feed.path_length")
    yield from below("retraction-below-slack", names, length, stored, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="retraction-below-slack",
    question="Does the retraction take up the slack of the guide?",
    needs=("retract.length", "feed.drive", "feed.path_length", "feedstock.diameter"),
    source=SOURCE,
    check=check,
    good={
        "retract.length": "4.4 mm",
        "feed.drive": "remote",
        "feed.path_length": "540 mm",
        "feedstock.diameter": "1.75 mm",
    },
    bad={
        "retract.length": "0.8 mm",
        "feed.drive": "remote",
        "feed.path_length": "540 mm",
        "feedstock.diameter": "1.75 mm",
    },
    severity="differs",
    explains=("retraction-length",),
    formula="p L/E + kappa p L_m + bend (D - d)",
)

"""Waves beside every edge of the outer wall: its acceleration against the resonance of the axes."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.ringing import acceleration_for_swing, worst_swing
from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, roots, usable
from convert.rules.quantities import acceleration, ring_wavelength
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup
from convert.rules.words import down, num

SOURCE = "derived: an undamped axis swings by at most 2 a/(2 pi f)^2 after a ramp; what can be seen of it: judgement"
STEPS = ((0.0, "note"), (-2.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    found = [(value, f"motion.resonance_{axis}") for axis in "xy" if (value := setup.get(f"motion.resonance_{axis}"))]
    if not found:
        raise Missing("motion.resonance_x or motion.resonance_y")
    frequency, name = min(found)
    pull = usable(acceleration, setup, "outer_wall")
    swing = usable(worst_swing, pull, frequency)
    most = setup.limit("resonance.swing.ringing")
    says = (
        f"Edges may throw waves {num(usable(ring_wavelength, setup, 'outer_wall'))} mm apart on the outer wall, up to "
        f"{num(swing)} mm high: it is laid with {num(pull)} mm/s2 on an axis that swings at {num(frequency)} Hz. A "
        "controller that filters its motion takes most of it away."
    )
    calm = usable(acceleration_for_swing, most, frequency)
    repair = (Repair("acceleration.outer_wall", down(calm, 100, "mm/s2")),) if calm >= 100 else ()
    names = (*roots(setup, "acceleration.outer_wall"), name)
    yield from above("ringing", names, swing, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="ringing",
    question="Does the outer wall stay free of waves?",
    needs=("acceleration.outer_wall", "speed.outer_wall", "motion.resonance_x", "motion.resonance_y"),
    source=SOURCE,
    check=check,
    good={"acceleration.outer_wall": "3000 mm/s2", "speed.outer_wall": "90 mm/s", "motion.resonance_y": "54 Hz"},
    bad={"acceleration.outer_wall": "12000 mm/s2", "speed.outer_wall": "150 mm/s", "motion.resonance_y": "45 Hz"},
    severity="differs",
    formula="2 a / (2 pi f)^2",
)

"""Support too loose to carry or too dense to take off."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.support._kept import other_material
from convert.rules.words import exact, num

SOURCE = "common practice"
LOW = ((0.0, "note"), (-0.9, "differs"))
HIGH = ((0.0, "note"), (-0.75, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    density = setup.get("support.density")
    if not setup.is_on("support.enabled") or density is None:
        return
    names = ("support.density",)
    if setup.text("support.form") == "columns":
        least = setup.limit("support.density.least")
        says = f"Undersides fall between the lines of their support, which is filled to {num(density)} %."
        repair = (Repair(names[0], exact(2 * least, "%")),)
        yield from below("support-density-odd", names, density, least, "%", LOW, says, SOURCE, repair)
    if not other_material(setup):
        most = setup.limit("support.density.most")
        says = f"Support is hard to take off and costs time: it is filled to {num(density)} %."
        repair = (Repair(names[0], exact(most, "%")),)
        yield from above("support-density-odd", names, density, most, "%", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="support-density-odd",
    question="Is support dense enough to carry, and loose enough to come off?",
    needs=("support.enabled", "support.density", "support.form"),
    source=SOURCE,
    check=check,
    good={"support.enabled": "true", "support.form": "columns", "support.density": "15 %"},
    bad={"support.enabled": "true", "support.form": "columns", "support.density": "80 %"},
    severity="differs",
)

"""Dense layers between support and part that are not dense."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"),)
SPARSER = ((0.0, "differs"),)


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("support.enabled") or not setup.get("support.interface_layers"):
        return
    density = setup.get("support.interface_density")
    if density is None:
        return
    under = setup.get("support.density")
    least = setup.limit("support.interface.least")
    says = f"Undersides come out rough: the layers that should carry them closely are filled to {num(density)} %"
    if under is not None and density < under:
        says += f", less than the support below ({num(under)} %)."
        names, limit, steps = ("support.interface_density", "support.density"), under, SPARSER
        repair = (Repair(names[0], exact(max(2 * least, under), "%")),)
    else:
        says += "."
        names, limit, steps = ("support.interface_density", "support.interface_layers"), least, STEPS
        repair = (Repair(names[0], exact(2 * least, "%")),)
    yield from below("support-interface-thin", names, density, limit, "%", steps, says, SOURCE, repair)


RULE = Rule(
    code="support-interface-thin",
    question="Are the layers between support and part dense enough to carry it?",
    needs=("support.enabled", "support.interface_layers", "support.interface_density", "support.density"),
    source=SOURCE,
    check=check,
    good={
        "support.enabled": "true",
        "support.interface_layers": "3",
        "support.interface_density": "85 %",
        "support.density": "14 %",
    },
    bad={
        "support.enabled": "true",
        "support.interface_layers": "3",
        "support.interface_density": "10 %",
        "support.density": "20 %",
    },
    severity="differs",
)

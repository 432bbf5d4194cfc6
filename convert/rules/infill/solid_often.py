"""Solid layers so often that the part is nearly solid."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: one layer in n is solid, the others are filled by the density"
STEPS = ((0.0, "note"), (-1.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    every, density = setup.get("infill.solid_interval"), setup.get("infill.density")
    if not every or density is None or not 0 < density < 100:
        return
    filled = (100 + (every - 1) * density) / every
    most = density * setup.limit("infill.solid.growth")
    says = (
        f"The inside is filled to {num(filled)} %, not to {num(density)} %: "
        f"{'every layer' if every == 1 else f'one layer in {num(every)}'} is solid."
    )
    names = ("infill.solid_interval", "infill.density")
    yield from above("solid-often", names, filled, most, "%", STEPS, says, SOURCE)


RULE = Rule(
    code="solid-often",
    question="Do solid layers within the part leave the density as it is stated?",
    needs=("infill.solid_interval", "infill.density"),
    source=SOURCE,
    check=check,
    good={"infill.solid_interval": "40", "infill.density": "10 %"},
    bad={"infill.solid_interval": "1", "infill.density": "15 %"},
    severity="differs",
)

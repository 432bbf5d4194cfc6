"""A build area whose shape is named and whose size is not."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.geometry._plan import outline
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed

SOURCE = "derived: a shape needs its measures"


def check(setup: Setup) -> Iterator[Finding]:
    shape = setup.text("envelope.shape")
    if not shape:
        return
    if shape == "outline":
        missing = [] if outline(setup) else ["envelope.outline"]
    else:
        missing = [name for name in ("envelope.x", "envelope.y") if not setup.get(name)]
    if not missing:
        return
    yield Finding(
        rule="envelope-missing",
        severity="differs",
        settings=("envelope.shape", *missing),
        says=f"Parts may be placed where the machine cannot go: the build area is called {shape}, "
        f"and {listed(missing)} {'is' if len(missing) == 1 else 'are'} not stated.",
        source=SOURCE,
    )


RULE = Rule(
    code="envelope-missing",
    question="Does the build area have the measures that its shape needs?",
    needs=("envelope.shape", "envelope.x", "envelope.y", "envelope.outline"),
    source=SOURCE,
    check=check,
    good={"envelope.shape": "rectangle", "envelope.x": "220 mm", "envelope.y": "220 mm"},
    bad={"envelope.shape": "outline", "envelope.x": "220 mm", "envelope.y": "220 mm"},
    severity="differs",
)

"""Infill patterns that carry little of what infill is for."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "common practice"
WEAK = {
    "concentric": "rings lie side by side and do not hold each other, so that the part bends and bulges easily",
    "lines-one-way": "all lines run one way, so that it is stiff along them and soft across",
}
MOST = 60.0
"""Percent; denser infill is held together by its neighbours."""


def check(setup: Setup) -> Iterator[Finding]:
    why = WEAK.get(setup.text("infill.pattern"))
    density = setup.get("infill.density")
    if not why or density is None or not 0 < density < MOST or setup.text("feedstock.family") in ("TPU", "TPE"):
        return
    says = f"The infill stiffens the part little: {why}."
    yield Finding("infill-weak", "note", ("infill.pattern",), says, source=SOURCE)


RULE = Rule(
    code="infill-weak",
    question="Does the pattern of the infill stiffen the part?",
    needs=("infill.pattern", "infill.density"),
    source=SOURCE,
    check=check,
    good={"infill.pattern": "gyroid", "infill.density": "15 %"},
    bad={"infill.pattern": "concentric", "infill.density": "15 %"},
    severity="note",
)

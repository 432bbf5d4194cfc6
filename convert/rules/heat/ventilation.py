"""A polymer whose fumes irritate, and no extraction stated: worth knowing, no finding of harm by itself."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "Azimi et al., Environ. Sci. Technol. 2016, 5b04983 (emissions by filament); ranks by judgement"
IRRITANT = 2


def check(setup: Setup) -> Iterator[Finding]:
    rank = ends(setup, "fumes")[0]
    if rank is None or rank < IRRITANT or setup.get("fan.extraction"):
        return
    family = setup.word("feedstock.family")
    yield Finding(
        rule="ventilation",
        severity="note",
        settings=("feedstock.family", "fan.extraction"),
        says=f"{family} gives off vapours that irritate, and no extraction is set: print it in an enclosure that is "
        "drawn off, or in an aired room where nobody stays, as its safety sheet says.",
        source=SOURCE,
    )


RULE = Rule(
    code="ventilation",
    question="Are the vapours of a polymer that irritates drawn off?",
    needs=("feedstock.family", "fan.extraction"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "ABS", "fan.extraction": "40 %"},
    bad={"feedstock.family": "ABS", "fan.extraction": "0 %"},
    severity="note",
)

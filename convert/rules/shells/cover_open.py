"""A roof or floor of a pattern that does not close, however densely it is laid."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: only parallel lines one bead apart cover a plane once; lines that cross heap up, cells leave holes"
OPEN = ("cells-", "gyroid", "lines-kagome", "lines-square", "lines-triangle")
FACES = {
    "cover.upper_pattern": ("cover.upper_layers", "tops"),
    "cover.lower_pattern": ("cover.lower_layers", "undersides"),
}


def check(setup: Setup) -> Iterator[Finding]:
    for name, (layers, faces) in FACES.items():
        pattern = setup.text(name)
        if not pattern.startswith(OPEN) or setup.get(layers) == 0:
            continue
        yield Finding(
            rule="cover-open",
            severity="differs",
            settings=(name,),
            says=f"Holes and ridges show on {faces}: {pattern.replace('-', ' ')} is a pattern for the inside.",
            source=SOURCE,
            repair=(Repair(name, "lines-joined"),),
        )


RULE = Rule(
    code="cover-open",
    question="Do the patterns of roof and floor close?",
    needs=("cover.upper_pattern", "cover.lower_pattern", "cover.upper_layers", "cover.lower_layers"),
    source=SOURCE,
    check=check,
    good={"cover.upper_pattern": "lines-one-way", "cover.lower_pattern": "concentric"},
    bad={"cover.upper_pattern": "gyroid", "cover.lower_pattern": "lines-joined"},
    severity="differs",
)

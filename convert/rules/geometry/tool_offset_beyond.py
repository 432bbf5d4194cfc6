"""A tool offset so large that the tool would work beside the bed."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: both tools must reach the same place on the bed"
STEPS = ((0.0, "note"), (-1.0, "spoils"), (-2.0, "fails"))


def check(setup: Setup) -> Iterator[Finding]:
    for axis in "xy":
        name, side = f"tool.offset_{axis}", f"envelope.{axis}"
        offset = setup.get(name)
        if not offset:
            continue
        size = setup.number(side)
        most = size * setup.limit("tool.offset.share")
        says = (
            f"Tool {setup.tool + 1} reaches no more than {num(max(0.0, size - abs(offset)))} mm of the bed's "
            f"{num(size)} mm "
            f"along {axis.upper()}, for it sits {num(abs(offset))} mm away from the first."
        )
        yield from above("tool-offset-beyond", (name, side), abs(offset), most, "mm", STEPS, says, SOURCE)


RULE = Rule(
    code="tool-offset-beyond",
    question="Can all tools reach most of the bed?",
    needs=("tool.offset_x", "tool.offset_y", "envelope.x", "envelope.y"),
    source=SOURCE,
    check=check,
    good={"tool.offset_x": "0 mm, 34.6 mm", "envelope.x": "320 mm"},
    bad={"tool.offset_x": "0 mm, 346 mm", "envelope.x": "320 mm"},
    severity="fails",
)

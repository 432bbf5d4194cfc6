"""Several nozzles at one and the same place."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from convert.model.value import Value
from convert.rules.finding import Finding
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "derived: two nozzles on one head cannot be at one place"


def check(setup: Setup) -> Iterator[Finding]:
    count = known(setup, "tool.count")
    if count is None or count < 2:
        return
    names = ("tool.offset_x", "tool.offset_y")
    if any(_somewhere(setup.values.get(name)) for name in names):
        return
    bores = setup.values.get("nozzle.diameter")
    several = isinstance(bores, tuple) and len(set(bores)) > 1
    says = (
        f"Tools print beside each other's lines: there are {count:g}, and no offset is stated between them. "
        "Where they share one nozzle, or the controller keeps the offsets, that is as it should be."
    )
    yield Finding("tool-offset-missing", "differs" if several else "note", (*names, "tool.count"), says, source=SOURCE)


def _somewhere(value: Value | None) -> bool:
    """Whether an offset, or one of a list, is not 0."""
    items = value if isinstance(value, tuple) else (value,)
    return any(isinstance(item, Fraction) and item != 0 for item in items)


RULE = Rule(
    code="tool-offset-missing",
    question="Is it known how far the nozzles are apart?",
    needs=("tool.count", "tool.offset_x", "tool.offset_y", "nozzle.diameter"),
    source=SOURCE,
    check=check,
    good={"tool.count": "2", "tool.offset_x": "0 mm, 34.6 mm"},
    bad={"tool.count": "2", "nozzle.diameter": "0.4, 0.6 mm"},
    severity="differs",
)

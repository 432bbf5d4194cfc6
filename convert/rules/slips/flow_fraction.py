"""Flow factors that stand as a factor where percent is meant."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.setting import SETTINGS
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated

NAMES = tuple(name for name, row in SETTINGS.items() if name.startswith("flow.") and row.kind == "percent")


def check(setup: Setup) -> Iterator[Finding]:
    most = setup.limit("plausible.flow.low")
    found = {name: Slip(value, value * 100, most) for name, value in stated(setup, NAMES).items() if 0 < value <= most}
    if found:
        yield slip("flow-fraction", "fails", found, "Next to no plastic comes out", "written as a factor")


RULE = Rule(
    code="flow-fraction",
    question="Are flow factors in percent, or do they stand as a factor?",
    needs=("flow.factor", "flow.first_layer"),
    source=SOURCE,
    check=check,
    good={"flow.factor": "98 %", "flow.bridge": "70 %"},
    bad={"flow.factor": "0.98 %", "flow.first_layer": "1.02 %"},
    severity="fails",
    explains=("*",),
    formula="percent = 100 x factor",
)

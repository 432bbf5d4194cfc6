"""A rise before travel that clears nothing, or lifts the nozzle out of all need."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below, usable
from convert.rules.retraction._pull import ordinal, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num, up

SOURCE = "common practice"
HIGH = ((0.0, "note"), (-2.0, "differs"))
LOW = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    hop = setup.get("travel.hop")
    if not hop or not pulls(setup):
        return
    most, bore = setup.limit("travel.hop.max"), setup.get("nozzle.diameter")
    most = max(most, 2 * bore) if bore else most
    rise = f"{num(hop)} mm{ordinal(setup, 'travel.hop')}"
    says = f"Time and strings: the nozzle rises {rise} for a travel, and {num(most)} mm is much."
    repair = (Repair("travel.hop", exact(most, "mm")),)
    yield from above("hop-odd", ("travel.hop",), hop, most, "mm", HIGH, says, SOURCE, repair)
    height = setup.get("layer.height")
    if height:
        says = f"The nozzle may still scrape: it rises {rise} for a travel, less than half a layer of {num(height)} mm."
        repair = (Repair("travel.hop", usable(up, height / 2, 0.01, "mm")),)
        names = ("travel.hop", "layer.height")
        yield from below("hop-odd", names, hop, height / 2, "mm", LOW, says, SOURCE, repair)


RULE = Rule(
    code="hop-odd",
    question="Does the nozzle rise for a travel as far as it should?",
    needs=("travel.hop", "layer.height", "nozzle.diameter", "retract.enabled"),
    source=SOURCE,
    check=check,
    good={"travel.hop": "0.2 mm", "layer.height": "0.2 mm", "nozzle.diameter": "0.4 mm"},
    bad={"travel.hop": "5 mm", "layer.height": "0.2 mm", "nozzle.diameter": "0.4 mm"},
    severity="differs",
)

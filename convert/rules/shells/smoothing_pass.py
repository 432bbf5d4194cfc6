"""The pass of a hot nozzle over finished tops: too much plastic, or lines too far apart to smooth."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-0.5, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("finish.smooth_top"):
        return
    spacing, flow = setup.number("finish.smooth_spacing"), setup.number("finish.smooth_flow")
    bore = setup.number("nozzle.diameter")
    says = (
        f"Ridges stay between the passes of the hot nozzle: they lie {num(spacing)} mm apart, and its bore alone is "
        f"{num(bore)} mm of nothing to smooth with."
    )
    repair = (Repair("finish.smooth_spacing", exact(bore / 2, "mm")),)
    names: tuple[str, ...] = ("finish.smooth_spacing", "nozzle.diameter")
    yield from above("smoothing-pass", names, spacing, bore, "mm", STEPS, says, SOURCE, repair)
    most = setup.limit("smooth.flow.max")
    says = (
        f"Plastic heaps up on the finished top: the smoothing pass lays {num(flow)} % of a bead, and {num(most)} % is "
        "much."
    )
    names, repair = ("finish.smooth_flow",), (Repair("finish.smooth_flow", exact(most, "%")),)
    yield from above("smoothing-pass", names, flow, most, "%", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="smoothing-pass",
    question="Does the smoothing pass smooth, and lay no more than a film?",
    needs=("finish.smooth_top", "finish.smooth_spacing", "finish.smooth_flow", "nozzle.diameter"),
    source=SOURCE,
    check=check,
    good={
        "finish.smooth_top": "true",
        "finish.smooth_spacing": "0.12 mm",
        "finish.smooth_flow": "12 %",
        "nozzle.diameter": "0.4 mm",
    },
    bad={
        "finish.smooth_top": "true",
        "finish.smooth_spacing": "0.12 mm",
        "finish.smooth_flow": "60 %",
        "nozzle.diameter": "0.4 mm",
    },
    severity="differs",
)

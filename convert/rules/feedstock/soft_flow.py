"""Soft filament pushed faster than it bears."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.feedstock._soft import is_soft
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import over, source_of, support_tool
from convert.rules.quantities import volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, down, features, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if not is_soft(setup) or setup.has("feedstock.melt_rate") or support_tool(setup):
        return  # where the melt rate is proven, that is the limit
    usual, most = setup.polymer("flow_hint", "high"), setup.limit("flow.soft.max")
    flows = over(setup, volume_flow)
    beyond = sorted((name for name in flows if flows[name] > usual * 1.25), key=lambda name: -flows[name])
    if not beyond:
        return
    worst = beyond[0]
    margin = margin_above(flows[worst], most)
    yield Finding(
        rule="soft-flow",
        severity=graded(margin, (0.0, "spoils"), (-1.0, "fails")) or "note",
        settings=(source_of(setup, "speed", worst), "speed.flow_cap", "feedstock.family"),
        says=f"{capital(features([worst]))}: soft filament buckles or slips at {num(flows[worst])} mm3/s; "
        f"about {num(usual)} is usual, and {num(most)} is rarely borne.",
        value=flows[worst],
        limit=most,
        unit="mm3/s",
        margin=margin,
        source=SOURCE,
        repair=(Repair("speed.flow_cap", down(usual, 0.5, "mm3/s")),),
    )


RULE = Rule(
    code="soft-flow",
    question="Is soft filament fed slowly enough?",
    needs=("feedstock.family", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "TPU", "width.default": "0.45 mm", "layer.height": "0.2 mm", "speed.default": "40 mm/s"},
    bad={"feedstock.family": "TPU", "width.default": "0.45 mm", "layer.height": "0.2 mm", "speed.default": "200 mm/s"},
    severity="spoils",
)

"""A print so slow that the plastic stays in the hot end for minutes."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.heat import residence_time
from convert.rules.finding import Finding, margin_above
from convert.rules.laid import finite, laid, over
from convert.rules.quantities import volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import features, num

SOURCE = "derived: filament section x heated length / flow; minutes degrade most melts (common practice)"
STEADY = ("outer_wall", "inner_wall", "infill", "solid")


def check(setup: Setup) -> Iterator[Finding]:
    diameter = finite(setup, "feedstock.diameter")
    length = setup.limit("hotend.heated_length")
    steady = [name for name in laid(setup) if name in STEADY]
    flows = {name: flow for name, flow in over(setup, volume_flow, steady).items() if flow > 0}
    if not flows or diameter <= 0:
        return
    fastest = max(flows, key=lambda name: flows[name])
    stay, most = residence_time(diameter, length, flows[fastest]), setup.limit("melt.residence.max")
    if stay > most:
        setup.assumed["heated length"] = f"{num(length)} mm (an ordinary hot end; no setting says it)"
        yield Finding(
            rule="melt-stay",
            severity="differs",
            settings=("speed.default", "layer.height"),
            says=f"The plastic cooks: even on {features([fastest])} it stays in the hot end for {num(stay / 60)} "
            f"minutes, at a flow of {num(flows[fastest])} mm3/s.",
            value=stay,
            limit=most,
            unit="s",
            margin=margin_above(stay, most),
            source=SOURCE,
        )


RULE = Rule(
    code="melt-stay",
    question="Does the plastic leave the hot end before it degrades?",
    needs=("feedstock.diameter", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "feedstock.diameter": "1.75 mm",
        "width.default": "0.22 mm",
        "layer.height": "0.08 mm",
        "speed.default": "20 mm/s",
    },
    bad={
        "feedstock.diameter": "2.85 mm",
        "width.default": "0.22 mm",
        "layer.height": "0.05 mm",
        "speed.default": "8 mm/s",
    },
    severity="differs",
    formula="t = (pi d^2/4) L / Q",
)

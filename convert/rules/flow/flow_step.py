"""Neighbouring features whose flows differ much while nothing makes up for the pressure that lags."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_above
from convert.rules.laid import laid, over, source_of
from convert.rules.quantities import volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import features, num

SOURCE = "common practice"
NEIGHBOURS = ("outer_wall", "inner_wall", "infill", "solid")


def check(setup: Setup) -> Iterator[Finding]:
    if setup.number("flow.lead") > 0 or setup.is_on("order.spiral"):
        return
    beside = [name for name in laid(setup) if name in NEIGHBOURS]
    flows = {name: flow for name, flow in over(setup, volume_flow, beside).items() if flow > 0}
    if not flows:
        return
    least, most = min(flows, key=lambda name: flows[name]), max(flows, key=lambda name: flows[name])
    ratio, limit = flows[most] / flows[least], setup.limit("flow.step.max")
    if ratio > limit:
        yield Finding(
            rule="flow-step",
            severity="note",
            settings=("flow.lead", source_of(setup, "speed", least), source_of(setup, "speed", most)),
            says=f"Blobs and gloss bands show between {features([most])} and {features([least])}: the flow falls from "
            f"{num(flows[most])} to {num(flows[least])} mm3/s, and no pressure lead makes up for the lag.",
            value=ratio,
            limit=limit,
            unit="1",
            margin=margin_above(ratio, limit),
            source=SOURCE,
        )


RULE = Rule(
    code="flow-step",
    question="Do neighbouring features ask for about the same flow?",
    needs=("flow.lead", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "flow.lead": "off",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "80 mm/s",
        "speed.outer_wall": "40 mm/s",
    },
    bad={
        "flow.lead": "off",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "200 mm/s",
        "speed.outer_wall": "30 mm/s",
    },
    severity="note",
)

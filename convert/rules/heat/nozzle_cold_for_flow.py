"""A nozzle at the cold end of the window while the print asks for nearly all that the hot end melts."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_below
from convert.rules.laid import finite, over, source_of, support_tool
from convert.rules.quantities import volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import features, num, up

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if setup.has("feedstock.melt_rate") or support_tool(setup):
        return  # proven with this filament as it is printed
    value = finite(setup, "heat.nozzle")
    melt = finite(setup, "hotend.melt_rate")
    low, high = setup.polymer("nozzle", "low"), setup.polymer("nozzle", "high")
    middle = (low + high) / 2
    share = setup.limit("flow.cold.share")
    fast = {name: flow for name, flow in over(setup, volume_flow).items() if share * melt < flow <= melt}
    if not fast or not 0 < value < middle:
        return
    name = max(fast, key=lambda one: fast[one])
    yield Finding(
        rule="nozzle-cold-for-flow",
        severity="differs" if value <= low + (middle - low) / 2 else "note",
        settings=("heat.nozzle", source_of(setup, "speed", name), "hotend.melt_rate"),
        says=f"At {num(value)} °C the hot end melts less than its {num(melt)} mm3/s, and "
        f"{num(fast[name])} is asked for on {features([name])}: lines thin out where the print is fast.",
        value=value,
        limit=middle,
        unit="Cel",
        margin=margin_below(value, middle),
        source=SOURCE,
        repair=(Repair("heat.nozzle", up(middle, 1, "°C")),),
    )


RULE = Rule(
    code="nozzle-cold-for-flow",
    question="Is the nozzle hot enough for the volume flow asked for?",
    needs=("heat.nozzle", "hotend.melt_rate", "feedstock.family", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "feedstock.family": "PLA",
        "heat.nozzle": "215 °C",
        "hotend.melt_rate": "15 mm3/s",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "170 mm/s",
    },
    bad={
        "feedstock.family": "PLA",
        "heat.nozzle": "192 °C",
        "hotend.melt_rate": "15 mm3/s",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "170 mm/s",
    },
    severity="differs",
)

"""A nozzle heater too weak for the plastic that it has to melt."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.physics.heat import melt_power
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import ends, finite, over, source_of
from convert.rules.quantities import volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup
from convert.rules.words import down, features, num

SOURCE = "derived (energy balance); losses of 15 W from memory, a share of 0.8 common practice"
FORMULA = "P = rho Q (c dT + X dH) + losses, at most 0.8 of the rated power"


def check(setup: Setup) -> Iterator[Finding]:
    rated = finite(setup, "hotend.power")
    rise = finite(setup, "heat.nozzle") - setup.limit("chamber.room")
    flows = over(setup, volume_flow)
    name = max(flows, key=lambda one: flows[one])
    per_flow = _power(setup, 1.0, rise) if rise > 0 else 0.0
    loss, most = setup.limit("heater.loss"), rated * setup.limit("heater.share.max")
    need = per_flow * flows[name] + loss
    margin = margin_above(need, most)
    severity = graded(margin, (0.0, "differs"), (-0.25, "spoils"))
    if severity and per_flow:
        bearable = (most - loss) / per_flow
        yield Finding(
            rule="heater-power",
            severity=severity,
            settings=("hotend.power", source_of(setup, "speed", name), "heat.nozzle"),
            says=f"The nozzle cools on {features([name])}: melting {num(flows[name])} mm3/s takes about "
            f"{num(need)} W with losses, and the heater is rated {num(rated)} W.",
            value=need,
            limit=most,
            unit="W",
            margin=margin,
            source=SOURCE,
            repair=(Repair("speed.flow_cap", down(bearable, 0.1, "mm3/s")),) if bearable >= 1 else (),
        )


def _power(setup: Setup, flow: float, rise: float) -> float:
    density = setup.get("feedstock.density") or 0.0
    if not 0 < density < inf:
        density = setup.polymer("density", "high")
    capacity = ends(setup, "melt_heat_capacity")[1] or ends(setup, "heat_capacity")[1]
    if capacity is None:
        raise Missing(f"heat capacity of {setup.word('feedstock.family')}")
    share, fusion = ends(setup, "crystallinity")[1], ends(setup, "fusion_heat")[1]
    return melt_power(flow, density, capacity, rise, share or 0.0, fusion or 0.0)


RULE = Rule(
    code="heater-power",
    question="Is the nozzle heater strong enough for the volume flow?",
    needs=("hotend.power", "heat.nozzle", "feedstock.family", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "hotend.power": "40 W",
        "heat.nozzle": "215 °C",
        "feedstock.family": "PLA",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "200 mm/s",
    },
    bad={
        "hotend.power": "25 W",
        "heat.nozzle": "240 °C",
        "feedstock.family": "PLA",
        "width.default": "0.6 mm",
        "layer.height": "0.3 mm",
        "speed.default": "200 mm/s",
    },
    severity="spoils",
    formula=FORMULA,
)

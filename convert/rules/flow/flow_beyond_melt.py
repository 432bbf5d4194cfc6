"""More plastic commanded than the hot end or the filament can melt."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.laid import over, source_of
from convert.rules.quantities import melt_allowed, volume_flow
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, down, features, num

SOURCE = "derived: section x speed x flow factors; the limits are the machine's and the filament's own"


def check(setup: Setup) -> Iterator[Finding]:
    melt = melt_allowed(setup)
    flows = over(setup, volume_flow)
    beyond = sorted((name for name in flows if flows[name] > melt), key=lambda name: -flows[name])
    if not beyond:
        return
    worst = beyond[0]
    margin = margin_above(flows[worst], melt)
    severity = graded(margin, (-0.005, "differs"), (-0.1, "spoils"), (-0.5, "fails"))
    if severity is None:
        return
    whose = min(
        (name for name in ("hotend.melt_rate", "feedstock.melt_rate") if setup.get(name) is not None),
        key=lambda name: setup.number(name),
    )
    more = f" The same goes for {features(beyond[1:])}." if beyond[1:] else ""
    effect = "loses its grip and lines break off" if severity == "fails" else "lags, and lines come out thin and weak"
    yield Finding(
        rule="flow-beyond-melt",
        severity=severity,
        settings=(source_of(setup, "speed", worst), "speed.flow_cap", source_of(setup, "width", worst), whose),
        says=f"{capital(features([worst]))}: {num(flows[worst])} mm3/s is asked for where {num(melt)} can be melted, "
        f"so the feed {effect}.{more}",
        value=flows[worst],
        limit=melt,
        unit="mm3/s",
        margin=margin,
        source=SOURCE,
        repair=(Repair("speed.flow_cap", down(melt, 0.5 if melt >= 3 else 0.1, "mm3/s")),),
    )


RULE = Rule(
    code="flow-beyond-melt",
    question="Can the hot end melt what the print asks for?",
    needs=("speed.*", "width.*", "layer.height", "hotend.melt_rate", "feedstock.melt_rate"),
    source=SOURCE,
    check=check,
    good={
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "300 mm/s",
        "hotend.melt_rate": "24 mm3/s",
        "speed.flow_cap": "22 mm3/s",
    },
    bad={
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "300 mm/s",
        "hotend.melt_rate": "11 mm3/s",
    },
    severity="fails",
    explains=("feed-speed-beyond", "heater-power"),
    formula="Q = (h (w - h) + pi h^2/4) v f",
)

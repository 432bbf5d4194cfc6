"""Pressure lead that asks more of the feed, while the head speeds up, than it can do."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.lead import lead_feed_speed
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.flow._feed import feed_limit
from convert.rules.laid import over, source_of
from convert.rules.quantities import acceleration, filament_speed, height, width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, features, num

SOURCE = "derived (linear model of pressure lead): u + K a A/A_f"


def check(setup: Setup) -> Iterator[Finding]:
    lead = setup.number("flow.lead")
    if lead <= 0:
        return
    limit_name, most = feed_limit(setup, "max_speed")
    diameter = setup.number("feedstock.diameter")

    def ramp(one: Setup, name: str) -> float:
        steady, push = filament_speed(one, name), acceleration(one, name)
        return lead_feed_speed(steady, lead, push, width(one, name), height(one, name), diameter)

    ramps = over(setup, ramp)
    beyond = sorted((name for name in ramps if ramps[name] > most), key=lambda name: -ramps[name])
    if not beyond or filament_speed(setup, beyond[0]) > most:
        return  # too fast already without the lead
    worst = beyond[0]
    margin = margin_above(ramps[worst], most)
    steady = filament_speed(setup, worst)
    bearable = acceleration(setup, worst) * (most - steady) / (ramps[worst] - steady)
    name = source_of(setup, "acceleration", worst)
    yield Finding(
        rule="feed-ramp-beyond",
        severity=graded(margin, (0.0, "note"), (-0.5, "differs")) or "note",
        settings=(name, "flow.lead", limit_name),
        says=f"Corners bulge, or the head is held back, on {features(beyond)}: with a pressure lead of {num(lead)} s "
        f"speeding up asks {num(ramps[worst])} mm/s of a feed that does {num(most)}.",
        value=ramps[worst],
        limit=most,
        unit="mm/s",
        margin=margin,
        source=SOURCE,
        repair=tuple(
            Repair(one, down(bearable, 10, "mm/s2"))
            for one in dict.fromkeys(source_of(setup, "acceleration", f) for f in beyond)
        )
        if bearable >= 10
        else (),
    )


RULE = Rule(
    code="feed-ramp-beyond",
    question="Can the feed follow the pressure lead while the head speeds up?",
    needs=("flow.lead", "acceleration.*", "speed.*", "width.*", "layer.height", "feedstock.diameter", "feed.max_speed"),
    source=SOURCE,
    check=check,
    good={
        "flow.lead": "0.035 s",
        "acceleration.default": "10000 mm/s2",
        "speed.default": "300 mm/s",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "feedstock.diameter": "1.75 mm",
        "feed.max_speed": "60 mm/s",
    },
    bad={
        "flow.lead": "0.5 s",
        "acceleration.default": "10000 mm/s2",
        "speed.default": "150 mm/s",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "feedstock.diameter": "1.75 mm",
        "feed.max_speed": "60 mm/s",
    },
    severity="differs",
    formula="u + K a A / (pi d^2/4)",
)

"""Filament asked for faster than the feed can push it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.flow import filament_area
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.flow._feed import feed_limit
from convert.rules.laid import over, source_of
from convert.rules.quantities import filament_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, features, num

SOURCE = "derived: volume flow over the filament's section, against the feed's own limit"


def check(setup: Setup) -> Iterator[Finding]:
    speeds = over(setup, filament_speed)
    limit_name, most = feed_limit(setup, "max_speed")
    beyond = sorted((name for name in speeds if speeds[name] > most), key=lambda name: -speeds[name])
    if not beyond:
        return
    worst = beyond[0]
    margin = margin_above(speeds[worst], most)
    yield Finding(
        rule="feed-speed-beyond",
        severity=graded(margin, (0.0, "differs"), (-0.25, "spoils")) or "differs",
        settings=(source_of(setup, "speed", worst), limit_name, "feedstock.diameter"),
        says=f"The feed cannot keep up on {features(beyond)}: {num(speeds[worst])} mm/s of filament "
        f"is asked for, and {num(most)} mm/s is its limit.",
        value=speeds[worst],
        limit=most,
        unit="mm/s",
        margin=margin,
        source=SOURCE,
        repair=(
            Repair("speed.flow_cap", down(most * filament_area(setup.number("feedstock.diameter")), 0.1, "mm3/s")),
        ),
    )


RULE = Rule(
    code="feed-speed-beyond",
    question="Can the feed push the filament as fast as the print asks?",
    needs=("speed.*", "width.*", "layer.height", "feedstock.diameter", "feed.max_speed", "axis.e.max_speed"),
    source=SOURCE,
    check=check,
    good={
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "250 mm/s",
        "feedstock.diameter": "1.75 mm",
        "feed.max_speed": "40 mm/s",
    },
    bad={
        "width.default": "0.8 mm",
        "layer.height": "0.4 mm",
        "speed.default": "100 mm/s",
        "feedstock.diameter": "1.75 mm",
        "axis.e.max_speed": "5 mm/s",
    },
    severity="spoils",
    formula="u = Q / (pi d^2/4)",
)

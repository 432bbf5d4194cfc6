"""Accelerations that the feed cannot follow."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.lead import feed_acceleration
from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.flow._feed import feed_limit
from convert.rules.laid import over, source_of
from convert.rules.quantities import acceleration, height, width
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, features, num

SOURCE = "derived: a A / (pi d^2/4), against the feed's own limit"


def check(setup: Setup) -> Iterator[Finding]:
    diameter = setup.number("feedstock.diameter")
    limit_name, most = feed_limit(setup, "max_acceleration")

    def push(one: Setup, name: str) -> float:
        return feed_acceleration(acceleration(one, name), width(one, name), height(one, name), diameter)

    pushes = over(setup, push)
    beyond = sorted((name for name in pushes if pushes[name] > most), key=lambda name: -pushes[name])
    if not beyond:
        return
    worst = beyond[0]
    margin = margin_above(pushes[worst], most)
    names = dict.fromkeys(source_of(setup, "acceleration", name) for name in beyond)
    bearable = acceleration(setup, worst) * most / pushes[worst]
    yield Finding(
        rule="feed-acceleration-beyond",
        severity=graded(margin, (0.0, "note"), (-1.0, "differs")) or "note",
        settings=(next(iter(names)), limit_name),
        says=f"The feed holds the head back on {features(beyond)}: {num(pushes[worst])} mm/s2 is asked of the "
        f"filament, and {num(most)} is the limit.",
        value=pushes[worst],
        limit=most,
        unit="mm/s2",
        margin=margin,
        source=SOURCE,
        repair=tuple(Repair(name, down(bearable, 10, "mm/s2")) for name in names) if bearable >= 10 else (),
    )


RULE = Rule(
    code="feed-acceleration-beyond",
    question="Can the feed follow the accelerations of the print?",
    needs=("acceleration.*", "width.*", "layer.height", "feedstock.diameter", "feed.max_acceleration"),
    source=SOURCE,
    check=check,
    good={
        "acceleration.default": "10000 mm/s2",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "feedstock.diameter": "1.75 mm",
        "feed.max_acceleration": "3000 mm/s2",
    },
    bad={
        "acceleration.default": "10000 mm/s2",
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "feedstock.diameter": "1.75 mm",
        "axis.e.max_acceleration": "100 mm/s2",
    },
    severity="differs",
    formula="a A / (pi d^2/4)",
)

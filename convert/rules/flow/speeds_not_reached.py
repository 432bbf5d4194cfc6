"""Speeds that the flow cap does not let the printer reach: which limit binds, and what is left."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_above
from convert.rules.laid import distinct, over, source_of
from convert.rules.quantities import effective_speed, flow_asked, speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, features, num

SOURCE = "derived: section x speed x flow factors against speed.flow_cap"
LEAST = 0.02
"""Excess that is not worth a word."""


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.has("speed.flow_cap"):
        return
    cap = setup.number("speed.flow_cap")
    asked = over(setup, flow_asked)
    beyond = [name for name in asked if cap > 0 and asked[name] > cap * (1 + LEAST)]
    if not beyond:
        return
    beyond.sort(key=lambda name: -asked[name])
    worst = beyond[0]
    others = distinct(setup, "speed", beyond)[1:]
    more = f" {capital(features(others))} {'is' if len(others) == 1 else 'are'} held too." if others else ""
    yield Finding(
        rule="speeds-not-reached",
        severity="note",
        settings=("speed.flow_cap", source_of(setup, "speed", worst)),
        says=f"{capital(features([worst]))}: laid at {num(effective_speed(setup, worst))} mm/s, not "
        f"{num(speed(setup, worst))}, for the cap holds {num(asked[worst])} mm3/s down to {num(cap)}.{more}",
        value=asked[worst],
        limit=cap,
        unit="mm3/s",
        margin=margin_above(asked[worst], cap),
        source=SOURCE,
    )


RULE = Rule(
    code="speeds-not-reached",
    question="Does the flow cap let the printer reach the speeds asked for?",
    needs=("speed.flow_cap", "speed.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "150 mm/s",
        "speed.flow_cap": "15 mm3/s",
    },
    bad={
        "width.default": "0.45 mm",
        "layer.height": "0.2 mm",
        "speed.default": "300 mm/s",
        "speed.flow_cap": "15 mm3/s",
    },
    severity="note",
    formula="v = cap / (section x flow factors)",
)

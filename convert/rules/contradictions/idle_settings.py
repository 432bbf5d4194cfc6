"""Numbers of features that are switched off."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.value import State
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed

SOURCE = "derived: a feature that is off reads none of its numbers"
FEATURES = {
    "retract.enabled": ("retraction", ("retract.length", "travel.hop")),
    "finish.smooth_top": ("smoothing of tops", ("finish.smooth_flow", "finish.smooth_spacing", "finish.smooth_speed")),
    "finish.grain": ("grain", ("finish.grain_depth",)),
    "purge.tower": ("the purge tower", ("purge.tower_width",)),
}
"""Flag -> what it switches, and the numbers that are read only while it is on. Support and varying
heights are left out: they are switched from part to part, and their numbers stay."""


def check(setup: Setup) -> Iterator[Finding]:
    idle = {
        flag: [name for name in names if name in setup.values and setup.value(name) not in (None, 0, State("off"))]
        for flag, (_, names) in FEATURES.items()
        if setup.value(flag) is False
    }
    idle = {flag: names for flag, names in idle.items() if names}
    if not idle:
        return
    yield Finding(
        rule="idle-settings",
        severity="note",
        settings=tuple(name for flag, names in idle.items() for name in (flag, *names)),
        says="Some numbers change nothing, for what they belong to is off: "
        f"{listed((FEATURES[flag][0] for flag in idle), 9)}.",
        source=SOURCE,
    )


RULE = Rule(
    code="idle-settings",
    question="Is everything switched on that has numbers?",
    needs=tuple(FEATURES),
    source=SOURCE,
    check=check,
    good={
        "finish.grain": "true",
        "finish.grain_depth": "0.1 mm",
        "retract.enabled": "true",
        "retract.length": "0.6 mm",
    },
    bad={"retract.enabled": "false", "retract.length": "0.6 mm"},
    severity="note",
)

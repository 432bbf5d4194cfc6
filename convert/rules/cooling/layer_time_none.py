"""No least layer time, or hardly one, for a filament that has to freeze layer by layer."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice; long pauses: Ai, Vogt, Prog. Addit. Manuf. 2022 (abstract)"
LOW = ((0.0, "note"), (-0.9, "differs"))
HIGH = ((0.0, "note"), (-1.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    time = setup.number("cooling.min_layer_time")
    family = setup.word("feedstock.family")
    names = ("cooling.min_layer_time", "feedstock.family")
    if (ends(setup, "fan")[0] or 0.0) >= setup.limit("fan.needy"):
        least = setup.limit("layer_time.least")
        says = f"Tips and thin towers melt together: {family} gets {num(time)} s to freeze in the smallest layers."
        repair = (Repair(names[0], exact(2 * least, "s")),)
        yield from below("layer-time-none", names, time, least, "s", LOW, says, SOURCE, repair)
    most = setup.limit("layer_time.most")
    says = f"Small layers take long and weld badly to a cold layer below: each lasts {num(time)} s at least."
    repair = (Repair(names[0], exact(most, "s")),)
    yield from above("layer-time-none", names[:1], time, most, "s", HIGH, says, SOURCE, repair)


RULE = Rule(
    code="layer-time-none",
    question="Does a small layer get time to freeze, and not too much of it?",
    needs=("cooling.min_layer_time", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"cooling.min_layer_time": "8 s", "feedstock.family": "PLA"},
    bad={"cooling.min_layer_time": "0 s", "feedstock.family": "PLA"},
    severity="differs",
)

"""A fan that starts only when much of a small part is done."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-4.0, "differs"))


def check(setup: Setup) -> Iterator[Finding]:
    layers = setup.get("fan.off_layers")
    if not layers or (ends(setup, "fan")[0] or 0.0) < setup.limit("fan.needy"):
        return
    height = setup.number("layer.height")
    most = setup.limit("fan.off.height")
    says = (
        f"The lowest {num(layers * height)} mm of the part droop: the fan starts after {num(layers)} layers only, "
        f"and {setup.word('feedstock.family')} needs it."
    )
    fits = usable(int, most / height + 1e-9) if height > 0 else 0
    repair = (Repair("fan.off_layers", f"{fits}"),)
    names = ("fan.off_layers", "layer.height", "feedstock.family")
    yield from above("fan-late", names, layers * height, most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="fan-late",
    question="Does the fan start early enough for a polymer that needs it?",
    needs=("fan.off_layers", "layer.height", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"fan.off_layers": "3", "layer.height": "0.2 mm", "feedstock.family": "PLA"},
    bad={"fan.off_layers": "20", "layer.height": "0.2 mm", "feedstock.family": "PLA"},
    severity="note",
)

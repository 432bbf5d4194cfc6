"""A range of varying layer heights that is no range, or reaches beyond the bore."""

from __future__ import annotations

from collections.abc import Iterator
from math import inf

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("layer.adaptive"):
        return
    least, most = finite(setup, "layer.min"), finite(setup, "layer.max")
    bore, usual = finite(setup, "nozzle.diameter"), setup.get("layer.height")
    limit = bore * setup.limit("layer.per_bore.max")
    if least >= most:
        says = f"Layers cannot vary: the thinnest may be {num(least)} mm and the thickest {num(most)} mm."
        yield _finding("differs", ("layer.min", "layer.max"), says, least, most)
    elif most > limit * (1 + 1e-9):
        says = f"Where layers grow to {num(most)} mm they hardly weld: a {num(bore)} mm bore bears {num(limit)} mm."
        repair = (Repair("layer.max", down(limit, 0.01, "mm")),) if limit > least + 0.01 else ()
        yield _finding("spoils", ("layer.max", "nozzle.diameter"), says, most, limit, repair)
    elif usual is not None and usual < inf and not least <= usual <= most:
        beyond = most if usual > most else least
        says = f"The layer height of {num(usual)} mm lies outside of its own range, {num(least)} to {num(most)} mm."
        yield _finding("differs", ("layer.height", "layer.min", "layer.max"), says, usual, beyond)


def _finding(
    severity: str, names: tuple[str, ...], says: str, value: float, limit: float, repair: tuple[Repair, ...] = ()
) -> Finding:
    margin = -abs(margin_above(value, limit))
    return Finding("adaptive-range", severity, names, says, value, limit, "mm", margin, SOURCE, repair)


RULE = Rule(
    code="adaptive-range",
    question="Is the range of varying layer heights a sound one?",
    needs=("layer.adaptive", "layer.min", "layer.max", "nozzle.diameter", "layer.height"),
    source=SOURCE,
    check=check,
    good={
        "layer.adaptive": "true",
        "layer.min": "0.1 mm",
        "layer.max": "0.28 mm",
        "layer.height": "0.2 mm",
        "nozzle.diameter": "0.4 mm",
    },
    bad={
        "layer.adaptive": "true",
        "layer.min": "0.1 mm",
        "layer.max": "0.4 mm",
        "layer.height": "0.2 mm",
        "nozzle.diameter": "0.4 mm",
    },
    severity="spoils",
)

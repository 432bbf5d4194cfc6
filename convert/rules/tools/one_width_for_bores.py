"""Nozzles of different bore, and beads of one width for all of them."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed, num

SOURCE = "common practice"
WIDTHS = ("width.default", "width.outer_wall", "width.inner_wall", "width.infill", "width.solid", "width.first_layer")


def check(setup: Setup) -> Iterator[Finding]:
    bores = setup.values.get("nozzle.diameter")
    if not isinstance(bores, tuple):
        return
    numbers = [float(bore) for bore in bores if isinstance(bore, Fraction)]
    if len(numbers) < 2 or min(numbers) <= 0 or max(numbers) / min(numbers) < setup.limit("nozzle.bores.apart"):
        return
    fixed = [name for name in WIDTHS if isinstance(setup.values.get(name), Fraction)]
    if not fixed:
        return
    width = setup.number(fixed[0])
    yield Finding(
        rule="one-width-for-bores",
        severity="note",
        settings=(fixed[0], "nozzle.diameter", *fixed[1:]),
        says=f"One of the tools lays beads that do not fit it: bores are {listed(num(bore) for bore in numbers)} mm, "
        "and "
        f"beads {num(width)} mm wide with all of them. A percent of the nozzle's bore follows the tool.",
        source=SOURCE,
    )


RULE = Rule(
    code="one-width-for-bores",
    question="Do beads follow the bore of the tool that lays them?",
    needs=("nozzle.diameter", "width.*"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4, 0.6 mm", "width.default": "110 % of nozzle.diameter"},
    bad={"nozzle.diameter": "0.4, 0.6 mm", "width.default": "0.45 mm"},
    severity="note",
)

"""A nozzle hotter than a polymer family bears: it decomposes and gives off fumes."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.heat._temperatures import NOZZLE, WORDS, temperatures
from convert.rules.laid import ends, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice (ceilings of families); decomposition and fumes as the polymer table marks them"
TOXIC = 3


def check(setup: Setup) -> Iterator[Finding]:
    if support_tool(setup):
        return  # it may hold another filament than the family names
    ceiling = setup.polymer("nozzle_ceiling", "high")
    hot = {name: value for name, value in temperatures(setup, NOZZLE).items() if value > ceiling}
    if not hot:
        return
    name, value = next(iter(hot.items()))
    family = setup.word("feedstock.family")
    decomposes, fumes = ends(setup, "decomposition")[0], ends(setup, "fumes")[1]
    near = decomposes is not None and value > decomposes - setup.limit("nozzle.below_decomposition")
    usual = ends(setup, "nozzle")[1] or ceiling
    yield Finding(
        rule="nozzle-beyond-ceiling",
        severity="hurts",
        settings=(name, "feedstock.family"),
        says=f"{num(value)} °C at {WORDS[name]} overheats {family}, which should never pass {num(ceiling)} °C: "
        "it breaks down, clogs, and gives off fumes that irritate.",
        value=value,
        limit=ceiling,
        unit="Cel",
        margin=margin_above(value, ceiling),
        source=SOURCE,
        repair=tuple(Repair(one, down(min(usual, ceiling), 1, "°C")) for one in hot),
        signal="WARNING" if near or (fumes or 0) >= TOXIC else "CAUTION",
        precaution="Keep to the filament maker's temperatures. If it scorched, air the room and leave it.",
    )


RULE = Rule(
    code="nozzle-beyond-ceiling",
    question="Does the filament bear the nozzle temperature without breaking down?",
    needs=("heat.nozzle", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PLA", "heat.nozzle": "230 °C"},
    bad={"feedstock.family": "PLA", "heat.nozzle": "265 °C"},
    severity="hurts",
    explains=("nozzle-outside-window",),
)

"""A nozzle too cold for the polymer to flow at all."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_below
from convert.rules.heat._temperatures import NOZZLE, WORDS, temperatures
from convert.rules.laid import ends, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, num, up

SOURCE = (
    "common practice: melting point + 15 K, glass transition + 80 K; the points themselves as the polymer table marks"
)


def check(setup: Setup) -> Iterator[Finding]:
    if support_tool(setup):
        return
    least, flows = _least(setup)
    cold = {name: value for name, value in temperatures(setup, NOZZLE).items() if value < least}
    if not cold:
        return
    name, value = min(cold.items(), key=lambda item: item[1])
    family = setup.word("feedstock.family")
    fails = value < flows
    effect = "the feed gear grinds it and nothing comes out" if fails else "it barely flows and does not weld"
    yield Finding(
        rule="nozzle-below-melting",
        severity="fails" if fails else "spoils",
        settings=(name, "feedstock.family"),
        says=f"{capital(WORDS[name])} is at {num(value)} °C, and {family} needs {num(least)} °C to flow: {effect}.",
        value=value,
        limit=least,
        unit="Cel",
        margin=margin_below(value, least),
        source=SOURCE,
        repair=tuple(Repair(one, up(max(least, setup.polymer("nozzle", "low")), 1, "°C")) for one in cold),
    )


def _least(setup: Setup) -> tuple[float, float]:
    """The temperature from which a family flows well, and from which at all. Low ends: a family has easier grades."""
    window = setup.polymer("nozzle", "low")
    if (ends(setup, "crystalline")[0] or 0) >= 1:
        flows = ends(setup, "melting")[0]
        over = setup.limit("nozzle.over_melting.min")
    else:
        flows = ends(setup, "glass_transition")[0]
        over = setup.limit("nozzle.over_glass.min")
    made = setup.get("feedstock.min_nozzle", window)
    if flows is None:
        return min(window, made or window) - over, window - 2 * over
    return min(flows + over, window, made or window), min(flows + over / 2, window)


RULE = Rule(
    code="nozzle-below-melting",
    question="Is the nozzle hot enough for the polymer to flow?",
    needs=("heat.nozzle", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "ABS", "heat.nozzle": "240 °C"},
    bad={"feedstock.family": "PC", "heat.nozzle": "170 °C"},
    severity="fails",
    explains=("nozzle-outside-window",),
)

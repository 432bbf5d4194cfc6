"""A nozzle temperature outside of what the filament's maker allows or, unstated, of the family's usual window."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above, margin_below
from convert.rules.heat._temperatures import NOZZLE, WORDS, temperatures
from convert.rules.laid import support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, down, num, up

SOURCE = "the filament maker's window, else common practice (windows of families)"


def check(setup: Setup) -> Iterator[Finding]:
    if support_tool(setup):
        return
    asked = temperatures(setup, NOZZLE)
    made_low, made_high = setup.get("feedstock.min_nozzle"), setup.get("feedstock.max_nozzle")
    low = setup.polymer("nozzle", "low") if made_low is None else made_low
    high = setup.polymer("nozzle", "high") if made_high is None else made_high
    if low >= high:
        return  # the window itself is wrong
    ranked = sorted(asked.items(), key=lambda item: max(item[1] - high, low - item[1]), reverse=True)
    for name, value in ranked[:1]:
        beyond = max(value - high, low - value)
        if beyond <= 0:
            return
        hot = value > high
        severity = _severity(setup, beyond)
        limit, made = (high, made_high) if hot else (low, made_low)
        effect = "strings, drips and dulls" if hot else "flows stiffly and welds badly"
        whose = "its maker" if made is not None else f"{setup.word('feedstock.family')} usually"
        verb = "allows" if made is not None else "takes"
        end = f"at {'most' if hot else 'least'} {num(limit)} °C"
        others = [one for one, other in asked.items() if (other > high if hot else other < low)]
        yield Finding(
            rule="nozzle-outside-window",
            severity=severity,
            settings=(name, "feedstock.max_nozzle" if hot else "feedstock.min_nozzle", "feedstock.family"),
            says=f"{capital(WORDS[name])} is at {num(value)} °C where {whose} {verb} {end}: the plastic {effect}.",
            value=value,
            limit=limit,
            unit="Cel",
            margin=margin_above(value, limit) if hot else margin_below(value, limit),
            source=SOURCE,
            repair=tuple(Repair(one, (down if hot else up)(limit, 1, "°C")) for one in others),
        )


def _severity(setup: Setup, beyond: float) -> str:
    if beyond > setup.limit("nozzle.window.spoils"):
        return "spoils"
    return "differs" if beyond > setup.limit("nozzle.window.note") else "note"


RULE = Rule(
    code="nozzle-outside-window",
    question="Does the nozzle temperature suit the filament?",
    needs=("heat.nozzle", "feedstock.min_nozzle", "feedstock.max_nozzle", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PETG", "heat.nozzle": "240 °C", "heat.nozzle_first": "245 °C"},
    bad={"feedstock.family": "PETG", "heat.nozzle": "185 °C"},
    severity="spoils",
)

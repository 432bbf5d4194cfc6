"""Drying so hot that the filament fuses on its spool."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_above
from convert.rules.laid import ends, finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import down, num

SOURCE = "common practice: amorphous polymers soften at the glass transition, others are dried well below melting"


def check(setup: Setup) -> Iterator[Finding]:
    value = finite(setup, "feedstock.drying_temperature")
    window = ends(setup, "drying_temperature")[1]
    if (ends(setup, "crystalline")[0] or 0) >= 1:
        melting = ends(setup, "melting")[0]
        most = melting - 40 if melting is not None else window
    else:
        glass = setup.get("feedstock.glass_transition")
        most = ends(setup, "glass_transition")[1] if glass is None else glass
    if most is None:
        return
    most = max(most, window or most)
    if value > most:
        yield Finding(
            rule="drying-hot",
            severity="spoils",
            settings=("feedstock.drying_temperature", "feedstock.glass_transition", "feedstock.family"),
            says=f"The filament softens and fuses on its spool: {num(value)} °C of drying is more than "
            f"the {num(most)} °C that it bears.",
            value=value,
            limit=most,
            unit="Cel",
            margin=margin_above(value, most),
            source=SOURCE,
            repair=(Repair("feedstock.drying_temperature", down(window or most - 5, 1, "°C")),),
        )


RULE = Rule(
    code="drying-hot",
    question="Does the filament stay firm while it dries?",
    needs=("feedstock.drying_temperature", "feedstock.family", "feedstock.glass_transition"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PLA", "feedstock.glass_transition": "58 °C", "feedstock.drying_temperature": "45 °C"},
    bad={"feedstock.family": "PLA", "feedstock.glass_transition": "58 °C", "feedstock.drying_temperature": "80 °C"},
    severity="spoils",
)

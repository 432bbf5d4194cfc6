"""Values that no machine can have."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.check import explain, is_good
from convert.model.setting import SETTINGS
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "the schema of settings: what any desktop machine may have; common practice"
PRECAUTION = "Do not send this to a machine: a heater that follows it may burn, give off fumes or catch fire."


def check(setup: Setup) -> Iterator[Finding]:
    """One finding for each such value; those that heaters follow may hurt."""
    for name, value in setup.values.items():
        setting = SETTINGS.get(name)
        if setting is None or is_good(setting, value):
            continue
        says, hint = explain(setting, value)
        heater = setting.kind == "temperature" and name.startswith("heat.")
        yield Finding(
            rule=RULE.code,
            severity="hurts" if heater else "fails",
            settings=(name,),
            says=f"No machine can do it: {says}" + (f"; {hint}." if hint else "."),
            source=SOURCE,
            signal="WARNING" if heater else None,
            precaution=PRECAUTION if heater else "",
        )


RULE = Rule(
    code="out-of-range",
    question="Is every value one that a machine can have?",
    needs=tuple(f"{group}.*" for group in ("heat", "layer", "speed", "width", "acceleration", "envelope", "nozzle")),
    source=SOURCE,
    check=check,
    good={"heat.nozzle": "215 Cel", "layer.height": "0.2 mm"},
    bad={"heat.nozzle": "900 Cel", "layer.height": "0.2 mm"},
    severity="hurts",
)

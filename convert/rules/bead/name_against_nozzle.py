"""A name that speaks of another nozzle than the setup has."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: the name against the value"
PATTERN = r"(\d?[.,]\d+)\s*(?:mm)?\s*[- _]?\s*(?:nozzle|bore)\b|\b(?:nozzle|bore)\s*[:=]?\s*(\d?[.,]\d+)"
NAMES = ("process.name", "machine.name")


def check(setup: Setup) -> Iterator[Finding]:
    import re

    bore = finite(setup, "nozzle.diameter")
    if (setup.get("tool.count") or 1.0) > 1:
        return
    for name in NAMES:
        text = setup.text(name)[:200]
        found = re.search(PATTERN, text, re.IGNORECASE)
        if found is None:
            continue
        said = float((found.group(1) or found.group(2)).replace(",", "."))
        if abs(said - bore) > 0.01:
            yield Finding(
                rule="name-against-nozzle",
                severity="differs",
                settings=("nozzle.diameter", name),
                says=f"This may be the wrong file: {text!r} speaks of a {num(said)} mm nozzle, and the bore is "
                f"{num(bore)} mm.",
                value=bore,
                limit=said,
                unit="mm",
                margin=-abs(said - bore) / said if said else 0.0,
                source=SOURCE,
            )


RULE = Rule(
    code="name-against-nozzle",
    question="Do the names speak of the nozzle that the machine has?",
    needs=("nozzle.diameter", "process.name", "machine.name"),
    source=SOURCE,
    check=check,
    good={"nozzle.diameter": "0.4 mm", "process.name": "Everyday 0.2 mm, 0.4 nozzle"},
    bad={"nozzle.diameter": "0.4 mm", "process.name": "Everyday 0.3 mm, 0.6 mm nozzle"},
    severity="differs",
)

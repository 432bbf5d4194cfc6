"""Lists with one value per tool that have more or fewer values than there are tools."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.setting import SETTINGS
from convert.rules.finding import Finding
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed

SOURCE = "derived: one value per tool"


def check(setup: Setup) -> Iterator[Finding]:
    count = known(setup, "tool.count")
    lengths = {
        name: len(value) for name, value in setup.values.items() if isinstance(value, tuple) and SETTINGS[name].per_tool
    }
    if count is None:
        return
    short = [name for name, length in lengths.items() if length < count]
    long = [name for name, length in lengths.items() if length > count]
    for names, severity, effect in (
        (short, "differs", "The last tools print with the last value of a shorter list, or with none"),
        (long, "note", "The last values belong to no tool"),
    ):
        if names:
            shown = listed(f"{name} has {lengths[name]}" for name in names)
            yield Finding(
                rule="tool-list-length",
                severity=severity,
                settings=(*names, "tool.count"),
                says=f"{effect}: there {'are' if count != 1 else 'is'} {count:g} tool{'s' if count != 1 else ''}, and "
                f"{shown}.",
                source=SOURCE,
            )


RULE = Rule(
    code="tool-list-length",
    question="Has every list as many values as there are tools?",
    needs=("tool.count", "nozzle.diameter", "heat.*", "retract.*"),
    source=SOURCE,
    check=check,
    good={"tool.count": "2", "nozzle.diameter": "0.4, 0.6 mm"},
    bad={"tool.count": "3", "nozzle.diameter": "0.4, 0.6 mm"},
    severity="differs",
)

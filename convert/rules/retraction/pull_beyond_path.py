"""A pull at a tool change that is shorter than a retraction, or longer than the way to the gear."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.retraction._pull import ordinal, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "derived: lengths along the filament's way"
BEYOND = ((0.0, "fails"),)
SHORT = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    path = setup.get("feed.path_length")
    several = (setup.get("tool.count") or 1) > 1
    for name, used in (("retract.length", pulls(setup)), ("retract.tool_change_length", several)):
        length = setup.get(name)
        if not used or not length or not path:
            continue
        says = (
            f"The feed gear loses the filament: {num(length)} mm{ordinal(setup, name)} are pulled back, and it is "
            f"{num(path)} mm from the gear to the melt."
        )
        yield from above("pull-beyond-path", (name, "feed.path_length"), length, path, "mm", BEYOND, says, SOURCE)
    change, pull = setup.get("retract.tool_change_length"), setup.get("retract.length")
    if several and change is not None and pull and pulls(setup):
        says = (
            f"A waiting nozzle drips more than a travelling one: {num(change)} mm are pulled back at a tool change, "
            "and "
            f"{num(pull)} mm before a travel."
        )
        repair = (Repair("retract.tool_change_length", exact(pull, "mm")),)
        names = ("retract.tool_change_length", "retract.length")
        yield from below("pull-beyond-path", names, change, pull, "mm", SHORT, says, SOURCE, repair)


RULE = Rule(
    code="pull-beyond-path",
    question="Does the filament stay in the gear when it is pulled back?",
    needs=("retract.length", "retract.tool_change_length", "feed.path_length", "tool.count"),
    source=SOURCE,
    check=check,
    good={
        "retract.length": "0.6 mm",
        "feed.path_length": "55 mm",
        "tool.count": "2",
        "retract.tool_change_length": "9 mm",
    },
    bad={
        "retract.length": "0.6 mm",
        "feed.path_length": "55 mm",
        "tool.count": "2",
        "retract.tool_change_length": "80 mm",
    },
    severity="fails",
)

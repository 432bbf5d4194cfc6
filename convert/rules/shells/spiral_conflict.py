"""One rising wall asked for together with what such a print cannot have."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed

SOURCE = "derived: one continuous outer wall leaves no place for more"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("order.spiral"):
        return
    wrong: list[tuple[str, str, str]] = []
    count = known(setup, "wall.count")
    if count is not None and count != 1:
        wrong.append(("wall.count", f"{count:g} walls", "1"))
    for name, what in (("cover.upper_layers", "a solid top"), ("cover.upper_thickness", "a solid top")):
        if known(setup, name):
            wrong.append((name, what, "0" if name.endswith("layers") else "0 mm"))
    if known(setup, "infill.density"):
        wrong.append(("infill.density", "infill", "0 %"))
    for name, what in (
        ("support.enabled", "support"),
        ("retract.between_layers", "retraction between layers"),
        ("layer.adaptive", "varying layer heights"),
    ):
        if setup.is_on(name):
            wrong.append((name, what, "false"))
    if not wrong:
        return
    yield Finding(
        rule="spiral-conflict",
        severity="differs",
        settings=("order.spiral", *(name for name, _, _ in wrong)),
        says=f"One rising wall leaves no room for {listed(dict.fromkeys(what for _, what, _ in wrong))}: they are left "
        "out, or the wall is no spiral.",
        source=SOURCE,
        repair=tuple(Repair(name, to) for name, _, to in wrong),
    )


RULE = Rule(
    code="spiral-conflict",
    question="Does a spiral print ask for nothing but its wall and its bottom?",
    needs=("order.spiral", "wall.count", "cover.upper_layers", "infill.density", "support.enabled"),
    source=SOURCE,
    check=check,
    good={"order.spiral": "true", "wall.count": "1", "cover.upper_layers": "0", "infill.density": "0 %"},
    bad={"order.spiral": "true", "wall.count": "3", "cover.upper_layers": "4", "infill.density": "15 %"},
    severity="differs",
)

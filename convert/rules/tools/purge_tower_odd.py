"""A purge tower without a use, or of a size that cannot stand."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "derived: volume purged over the layer height and the width of the tower"


def check(setup: Setup) -> Iterator[Finding]:
    if not setup.is_on("purge.tower"):
        return
    count = setup.get("tool.count")
    if count is not None and count < 2:
        says = "A tower may be built for nothing: filament is purged on it at tool changes, and there is one tool."
        yield Finding("purge-tower-odd", "note", ("purge.tower", "tool.count"), says, source=SOURCE)
        return
    wide = setup.get("purge.tower_width")
    if not wide:
        return
    bed = min((value for name in ("envelope.x", "envelope.y") if (value := setup.get(name))), default=None)
    if bed is not None and wide > bed:
        says = f"The purge tower does not fit: it is {num(wide)} mm wide, and the bed {num(bed)} mm."
        names = ("purge.tower_width", "envelope.x")
        yield from above("purge-tower-odd", names, wide, bed, "mm", ((0.0, "fails"),), says, SOURCE)
        return
    volume, height = setup.get("purge.volume"), setup.get("layer.height")
    if not volume or not height or not count:
        return
    deep, ratio = volume * (count - 1) / (wide * height), setup.limit("purge.tower.ratio")
    if not deep > 0:
        return
    says = (
        f"The purge tower takes much of the bed: {num(volume)} mm3 a change in layers of {num(height)} mm makes it "
        f"{num(wide)} x {num(deep)} mm."
    )
    names, even = ("purge.tower_width", "purge.volume"), (deep * wide / ratio) ** 0.5
    repair = (Repair("purge.tower_width", usable(up, even, 1, "mm")),)
    yield from above("purge-tower-odd", names, deep, wide * ratio, "mm", ((0.0, "note"),), says, SOURCE, repair)


RULE = Rule(
    code="purge-tower-odd",
    question="Is the purge tower of use, and of a size that stands?",
    needs=(
        "purge.tower",
        "purge.tower_width",
        "purge.volume",
        "tool.count",
        "envelope.x",
        "envelope.y",
        "layer.height",
    ),
    source=SOURCE,
    check=check,
    good={"purge.tower": "true", "purge.tower_width": "35 mm", "purge.volume": "140 mm3", "tool.count": "2"},
    bad={"purge.tower": "true", "purge.tower_width": "350 mm", "tool.count": "2", "envelope.x": "220 mm"},
    severity="fails",
)

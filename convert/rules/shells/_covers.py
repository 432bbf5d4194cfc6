"""What the rules on solid tops and bottoms share."""

from __future__ import annotations

from math import inf

from convert.physics.shells import layers_for
from convert.rules.finding import Repair
from convert.rules.setup import Setup


def cover_settings(setup: Setup, side: str) -> tuple[str, ...]:
    """The settings that say how thick a cover is, the one in force first."""
    names = (f"cover.{side}_layers", f"cover.{side}_thickness")
    known = tuple(name for name in names if setup.get(name) is not None)
    return known or names[:1]


def thicker(setup: Setup, side: str, thickness: float) -> tuple[Repair, ...]:
    """The layers that make a cover so thick."""
    height = setup.number("layer.height")
    if not 0 < height < inf:
        return ()
    return (Repair(f"cover.{side}_layers", f"{layers_for(thickness, height):g}"),)

"""What the rules on retraction share."""

from __future__ import annotations

from convert.rules.setup import Setup

SOFT = ("TPU", "TPE")
"""Families that stretch in their guide; they have rules of their own."""


def pulls(setup: Setup) -> bool:
    """Whether filament is pulled back at all, as far as the setup says."""
    return setup.value("retract.enabled") is not False


def ordinal(setup: Setup, name: str) -> str:
    """ " of tool 2" where a value is stated per tool, else nothing."""
    return f" of tool {setup.tool + 1}" if isinstance(setup.values.get(name), tuple) else ""


def feed_limits(setup: Setup, part: str) -> dict[str, float]:
    """Stated limits on the filament's motion, mm/s or mm/s2 (`part`: max_speed, max_acceleration), by setting."""
    names = [f"feed.{part}", f"axis.e.{part}"]
    if part == "max_acceleration":
        names.append("limit.acceleration.pullback")
    return {name: value for name in names if (value := setup.get(name)) and value != float("inf")}

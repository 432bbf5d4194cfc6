"""What the rules on motion share: what is asked of the axes by feature, travel included."""

from __future__ import annotations

from math import inf, isfinite

from convert.rules.laid import distinct, laid, source_of
from convert.rules.quantities import axis_limit
from convert.rules.setup import Missing, Setup


def asked(setup: Setup, family: str) -> dict[str, float]:
    """The stated numbers of a family ("speed", "acceleration", "jump") by feature, travel too; each setting
    once.

    Raises Missing where none is stated.
    """
    names = distinct(setup, family, [*laid(setup), "travel"])
    found = {name: setup.get(f"{family}.{name}") for name in names}
    known = {name: value for name, value in found.items() if value is not None and isfinite(value)}
    if not known:
        raise Missing(f"{family}.default")
    return known


def plan_limit(setup: Setup, part: str) -> float:
    """The smaller limit of the X and Y axes. Raises Missing where neither is stated."""
    found = axis_limit(setup, part)
    if found == inf:
        raise Missing(f"axis.x.{part} or axis.y.{part}")
    return found


def word(setup: Setup, family: str, name: str) -> str:
    """How a feature is called: "moves" where its number is that of all."""
    if source_of(setup, family, name) == f"{family}.default":
        return "general moves"
    return "travel" if name == "travel" else name


def jump(setup: Setup, feature: str) -> tuple[float, str] | None:
    """Instant speed change in force for a feature, mm/s, and the setting it comes from; None where none is stated."""
    names = [f"jump.{feature}", "axis.x.max_jump", "axis.y.max_jump"]
    found = [(value, name) for name in names if (value := setup.get(name)) is not None]
    value, name = min(found, default=(0.0, ""))
    return (value, source_of(setup, "jump", feature) if name == names[0] else name) if found else None

"""Which features a setup lays with a tool, and quantities over them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import isfinite

from convert.model.resolve import stated
from convert.physics import OutOfRange
from convert.physics.polymers import span
from convert.rules.quantities import FEATURES
from convert.rules.setup import Missing, Setup


def support_tool(setup: Setup) -> bool:
    """Whether this tool prints the support and, of several tools, perhaps nothing else."""
    return kept_for_support(setup) and setup.is_on("support.enabled")


def kept_for_support(setup: Setup) -> bool:
    """Whether this tool, of several, is the one named for support, be there support or not."""
    return setup.get("support.tool") == setup.tool + 1 and _tools(setup) > 1


def _tools(setup: Setup) -> float:
    return setup.get("tool.count") or 1.0


def laid(setup: Setup) -> tuple[str, ...]:
    """The features that this tool lays: support only where it is on, infill unless it is stated as none, and so on."""
    return tuple(name for name in FEATURES if _lays(setup, name))


def _lays(setup: Setup, name: str) -> bool:
    spiral = setup.is_on("order.spiral")
    if name in ("support", "interface"):
        tool = setup.get("support.tool")
        mine = tool is None or _tools(setup) < 2 or tool == setup.tool + 1
        some = name == "support" or _some(setup, "support.interface_layers")
        return setup.is_on("support.enabled") and mine and some
    if name == "outline":
        return setup.text("base.kind") in ("skirt", "brim")
    if name in ("inner_wall", "infill", "top", "bridge") and spiral:
        return False
    if name == "inner_wall":
        return setup.get("wall.count", 2.0) != 1
    if name == "infill":
        return setup.get("infill.density", 1.0) != 0
    if name == "top":
        return _some(setup, "cover.upper_layers") or bool(setup.get("cover.upper_thickness"))
    return True


def _some(setup: Setup, name: str) -> bool:
    """Whether a count is not stated as none."""
    return setup.get(name, 1.0) != 0


def finite(setup: Setup, name: str) -> float:
    """A number that is neither unlimited nor automatic. Raises Missing."""
    value = setup.number(name)
    if not isfinite(value):
        raise Missing(f"{name} (a number)")
    return value


def over(setup: Setup, compute: Callable[[Setup, str], float], names: Sequence[str] | None = None) -> dict[str, float]:
    """A quantity for each feature that the tool lays and whose inputs are stated; Missing where it is for none."""
    found: dict[str, float] = {}
    missing: Missing | None = None
    for name in laid(setup) if names is None else names:
        try:
            value = compute(setup, name)
            if isfinite(value):
                found[name] = value
            else:
                missing = missing or Missing(f"usable numbers for {name}")
        except Missing as error:
            missing = missing or error
        except OutOfRange as error:
            missing = missing or Missing(f"usable numbers ({error.says})")
        except ArithmeticError:  # a zero or a giant where a print has none
            missing = missing or Missing(f"usable numbers for {name}")
    if not found and missing is not None:
        raise missing
    return found


def source_of(setup: Setup, family: str, feature: str) -> str:
    """The setting that a feature's value comes from: its own, or the default of its family."""
    return stated(setup.values, f"{family}.{feature}") or f"{family}.{feature}"


def distinct(setup: Setup, family: str, features: Sequence[str]) -> list[str]:
    """The features without those that only take the same default as one before."""
    seen: set[str] = set()
    kept = []
    for name in features:
        source = source_of(setup, family, name)
        if source not in seen:
            seen.add(source)
            kept.append(name)
    return kept


def ends(setup: Setup, prop: str) -> tuple[float | None, float | None]:
    """Low and high end of a property of the feedstock's family, None where it is open; Missing without a family."""
    found = span(setup.word("feedstock.family"), prop, setup.polymers)
    return (None, None) if found is None else (found.low, found.high)

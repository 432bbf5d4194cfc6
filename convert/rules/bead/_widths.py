"""What the rules on bead width share: the beads that a tool lays, each stated width once."""

from __future__ import annotations

from convert.rules.laid import distinct, laid, over, source_of
from convert.rules.quantities import width
from convert.rules.setup import Setup

FREE = ("bridge",)
"""Beads that hang in the air: their width says nothing about a squeeze."""


def widths(setup: Setup) -> dict[str, float]:
    """Bead widths by feature, mm; features that only take the same default are named by the first of them."""
    found = over(setup, width, [name for name in laid(setup) if name not in FREE])
    return {name: found[name] for name in distinct(setup, "width", list(found))}


def width_setting(setup: Setup, feature: str) -> str:
    return source_of(setup, "width", feature)


def bead_word(setup: Setup, feature: str) -> str:
    """The feature, or "default" where its width is that of all beads."""
    return "default" if width_setting(setup, feature) == "width.default" else feature

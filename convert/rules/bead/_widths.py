"""What the rules on bead width share: the beads that a tool lays, each stated width once."""

from __future__ import annotations

from convert.rules.laid import distinct, kept_for_support, laid, over, source_of
from convert.rules.quantities import width
from convert.rules.setup import Missing, Setup

FREE = ("bridge",)
"""Beads that hang in the air: their width says nothing about a squeeze."""


def widths(setup: Setup) -> dict[str, float]:
    """Bead widths by feature, mm; features that only take the same default are named by the first of them."""
    # Widths stated in millimetres are for the bore that lays the part, not for that of a tool kept for support.
    names = ["support", "interface"] if kept_for_support(setup) else list(laid(setup))
    names = [name for name in names if name in laid(setup) and name not in FREE]
    if not names:
        raise Missing("support.enabled (the tool kept for support lays nothing else)")
    found = over(setup, width, names)
    return {name: found[name] for name in distinct(setup, "width", list(found))}


def width_setting(setup: Setup, feature: str) -> str:
    return source_of(setup, "width", feature)


def bead_word(setup: Setup, feature: str) -> str:
    """The feature, or "default" where its width is that of all beads."""
    return "default" if width_setting(setup, feature) == "width.default" else feature

"""The fates of a key in a conversion, in the order of loss."""

from __future__ import annotations

EXACT = "exact"
CONVERTED = "converted"
DERIVED = "derived"
MADE_EXPLICIT = "made_explicit"
ROUNDED = "rounded"
LINK_LOST = "link_lost"
APPROXIMATED = "approximated"
CARRIED = "carried"
UNKNOWN = "unknown"
DROPPED = "dropped"
INVALID = "invalid"

MEANINGS = {
    EXACT: "the same value in the same words",
    CONVERTED: "the same value in another unit or spelling",
    DERIVED: "computed from other settings",
    MADE_EXPLICIT: "the source relied on a default that is not the target's",
    ROUNDED: "the target holds fewer digits; the residual is given",
    LINK_LOST: "a relation had to become a number",
    APPROXIMATED: "the nearest that the target can say",
    CARRIED: "kept word for word (in no row of the table, or said again further down)",
    UNKNOWN: "in no row of the table, not kept",
    DROPPED: "the target cannot say it",
    INVALID: "its row cannot read it",
}
"""Fate -> meaning, least loss first."""

ORDER = {fate: rank for rank, fate in enumerate(MEANINGS)}


def worst(*fates: str) -> str:
    """The fate with the greatest loss.

    >>> worst(EXACT, ROUNDED, DERIVED)
    'rounded'
    """
    return max(fates, key=lambda fate: ORDER[fate])

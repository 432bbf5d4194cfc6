"""Soft filament: families that bend before they push."""

from __future__ import annotations

from convert.rules.setup import Setup

FAMILIES = ("TPU", "TPE")


def is_soft(setup: Setup) -> bool:
    """Whether the filament is soft. Raises Missing without a family."""
    return setup.word("feedstock.family") in FAMILIES

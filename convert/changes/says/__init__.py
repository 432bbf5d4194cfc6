"""What a group of changes does to the print, in clauses: one maker for each kind of group, one table of them."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from convert.changes.figures import View
from convert.changes.groups import Group
from convert.physics import OutOfRange
from convert.rules.setup import Missing


class Said(NamedTuple):
    """The clauses of a sentence, the weightiest first. `idle`: a limit or another setting cancels the change, so that
    nothing prints otherwise. `severity` is what it comes to where no finding says more.
    """

    clauses: tuple[str, ...]
    idle: bool = False
    severity: str = "differs"


Maker = Callable[[View, Group], Said | None]

MAKERS = {
    "beads": "beads:beads",
    "motion": "motion:motion",
    "travel": "motion:travel",
    "axis_speed": "motion:axis_speed",
    "layer_time": "motion:layer_time",
    "walls": "shells:walls",
    "roof": "shells:roof",
    "floor": "shells:floor",
    "infill": "shells:infill",
    "size": "shells:size",
    "nozzle": "heat:nozzle",
    "bed": "heat:bed",
    "fan": "heat:fan",
    "filament": "feed:filament",
    "retraction": "feed:retraction",
    "hop": "feed:hop",
    "lead": "feed:lead",
    "melt": "feed:melt",
    "trim": "place:trim",
    "envelope": "place:envelope",
    "base": "place:base",
    "code": "code:code",
}
"""Kind of group -> module and function. A kind without a maker, or one that gives None, is told by the phrases of
schemas/changes.tsv.
"""


def said(view: View, group: Group) -> Said | None:
    """What the maker of a group's kind says."""
    place = MAKERS.get(group.kind)
    if place is None:
        return None
    from importlib import import_module

    module, _, function = place.partition(":")
    maker: Maker = getattr(import_module(f"convert.changes.says.{module}"), function)
    try:
        return maker(view, group)
    except (Missing, OutOfRange, ArithmeticError):
        return None  # numbers that mean nothing: the words without numbers still hold

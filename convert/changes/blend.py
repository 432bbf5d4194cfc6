"""The time model between the two sides: some changes made, the others not.

A blend takes each number that the model reads from the new side if its change is among those made, and from the old
side otherwise. No change made is the old print, all made is the new one, exactly.
"""

from __future__ import annotations

from collections.abc import Callable
from operator import attrgetter

from convert.model.value import Value
from convert.physics.bead import section
from convert.physics.bodies import body
from convert.physics.layering import layer_kinds, layer_time
from convert.physics.printing import Print
from convert.rules.quantities import print_of
from convert.rules.setup import Setup

REST = -1
"""The change that numbers belong to which differ without any change that could be told."""

BODY = "block"
"""The reference body on which changes are priced."""
PARTS = ("time", "mass", "flow")
"""What a blend comes to: seconds and grams of the body (cm3 unless both sides state the density), and the largest flow
asked for, mm3/s.
"""

Total = tuple[float, float, float]
"""Time, plastic and flow."""

_READ = "value "
"""What Setup.memo calls a value that was asked for."""


class Blend:
    """Two setups and the numbers that tell them apart. `bits` gives each change that moves one its bit in a mask;
    `rest` names the numbers that belong to none.
    """

    def __init__(self, old: Setup, new: Setup, owner: Callable[[str], int | None]) -> None:
        """`owner` gives, for a setting that may differ, the change that it belongs to. Raises Missing, OutOfRange."""
        self.weighed = old.get("feedstock.density") is not None and new.get("feedstock.density") is not None
        self.layers: Layers = {}
        ends = totals(old, self.weighed, self.layers), totals(new, self.weighed, self.layers)
        self.bits: dict[int, int] = {}
        self.rest: list[str] = []
        self.common: dict[str, object] = {}
        self.variables: list[tuple[str, int, Value | None, Value | None]] = []
        self.fallback = new.values
        for key in list(dict.fromkeys(key for side in (old, new) for key in side.memo if key.startswith(_READ))):
            name = key[len(_READ) :]
            before, after = old.value(name), new.value(name)
            if before == after:
                self.common[key] = after
                continue
            change = owner(name)
            if change is None:  # a feature that is off, or apart by less than any tolerance
                change = REST
                self.rest.append(name)
            bit = self.bits.setdefault(change, len(self.bits))
            self.variables.append((key, bit, before, after))
        self.known = {0: ends[0], (1 << len(self.bits)) - 1: ends[1]}
        self.before, self.after = ends

    def __call__(self, mask: int) -> Total:
        """Time, plastic and flow with the changes whose bits are set. Raises Missing, OutOfRange."""
        found = self.known.get(mask)
        if found is None:
            setup = Setup(self.fallback)
            memo = setup.memo
            memo.update(self.common)
            for key, bit, before, after in self.variables:
                memo[key] = after if mask >> bit & 1 else before
            found = self.known[mask] = totals(setup, self.weighed, self.layers)
        return found


Layers = dict[object, tuple[float, float]]
"""Seconds and mm3 of the layers met so far, by all that they depend on."""

_COMMON = attrgetter(
    "wall_count", "travel_speed", "travelling_acceleration", "first_travel_speed", "retraction", "retraction_speed",
    "return_speed", "overfeed", "shortest_travel", "hop", "lift_speed", "lift_acceleration", "pullback_acceleration",
    "corner_deviation", "axis_speed", "axis_acceleration", "axis_jump", "flow_cap", "melt_rate", "feed_speed",
    "feed_acceleration", "least_layer_time", "slowest", "wait", "diameter",
)  # fmt: skip
"""What every layer depends on, beside its own beads."""


def totals(setup: Setup, weighed: bool, layers: Layers) -> Total:
    """Time (s), plastic (g; cm3 if not weighed), largest flow asked for (mm3/s). Raises Missing, OutOfRange.

    As `duration.estimate`, but a layer that was met before is not computed again.
    """
    print_ = print_of(setup)
    block = body(BODY)
    common = _COMMON(print_)
    time = volume = 0.0
    for kind, count in layer_kinds(block, print_).items():
        beads: tuple[object, ...]
        if kind.name == "first":
            beads = (print_.first_layer, print_.first_area)
        else:
            beads = (print_.outer_wall, print_.inner_wall, getattr(print_, kind.name))
        key = (kind, beads, common) if kind.solid else (kind, beads, common, print_.fill, print_.families)
        found = layers.get(key)
        if found is None:
            seconds, volumes, _ = layer_time(block, print_, kind)
            found = layers[key] = sum(seconds.values()), sum(volumes.values())
        time += count * found[0]
        volume += count * found[1]
    plastic = volume / 1000 * (print_.density if weighed and print_.density is not None else 1)
    return time, plastic, _peak(print_)


def _peak(print_: Print) -> float:
    """The largest flow that the beads of the body ask for, before any limit."""
    height = print_.layer_height
    beads = [(print_.outer_wall, height), (print_.solid, height), (print_.first_layer, print_.first_height)]
    if print_.wall_count > 1:
        beads.append((print_.inner_wall, height))
    if print_.fill:
        beads.append((print_.infill, height))
    if print_.upper_layers:
        beads.append((print_.top, height))
    return max(section(bead.width, high) * bead.flow * bead.speed for bead, high in beads)

"""The time model between the two sides: some changes made, the others not.

A blend takes each number that the model reads from the new side if its change is among those made, and from the old
side otherwise. No change made is the old print, all made is the new one, exactly.
"""

from __future__ import annotations

from collections.abc import Callable

from convert.model.value import Value
from convert.physics import duration
from convert.physics.bead import section
from convert.physics.bodies import body
from convert.physics.printing import Print
from convert.rules.quantities import print_of
from convert.rules.setup import Setup

BODY = "block"
"""The reference body on which changes are priced."""
PARTS = ("time", "mass", "flow")
"""What a blend comes to: seconds and grams of the body (cm3 unless both sides state the density), and the largest flow
asked for, mm3/s.
"""

_READ = "value "
"""What Setup.memo calls a value that was asked for."""


class Blend:
    """Two setups and the numbers that tell them apart. `bits` gives each change that moves one its bit in a mask."""

    def __init__(self, old: Setup, new: Setup, owner: Callable[[str], int | None]) -> None:
        """`owner` gives, for a setting that may differ, the change that it belongs to. Raises Missing, OutOfRange."""
        self.weighed = old.get("feedstock.density") is not None and new.get("feedstock.density") is not None
        ends = totals(old, self.weighed), totals(new, self.weighed)
        self.bits: dict[int, int] = {}
        self.common: dict[str, object] = {}
        self.variables: list[tuple[str, int, Value | None, Value | None]] = []
        self.fallback = new.values
        for key in list(dict.fromkeys(key for side in (old, new) for key in side.memo if key.startswith(_READ))):
            name = key[len(_READ) :]
            before, after = old.value(name), new.value(name)
            change = None if before == after else owner(name)
            if change is None:  # equal, or apart by less than any tolerance
                self.common[key] = after
            else:
                bit = self.bits.setdefault(change, len(self.bits))
                self.variables.append((key, bit, before, after))
        self.known = {0: ends[0], (1 << len(self.bits)) - 1: ends[1]}
        self.before, self.after = ends

    def __call__(self, mask: int) -> tuple[float, float, float]:
        """Time, plastic and flow with the changes whose bits are set. Raises Missing, OutOfRange."""
        found = self.known.get(mask)
        if found is None:
            setup = Setup(self.fallback)
            memo = setup.memo
            memo.update(self.common)
            for key, bit, before, after in self.variables:
                memo[key] = after if mask >> bit & 1 else before
            found = self.known[mask] = totals(setup, self.weighed)
        return found


def totals(setup: Setup, weighed: bool) -> tuple[float, float, float]:
    """Time (s), plastic (g; cm3 if not weighed), largest flow asked for (mm3/s). Raises Missing, OutOfRange."""
    print_ = print_of(setup)
    made = duration.estimate(body(BODY), print_)
    return made.time, (made.mass if weighed and made.mass is not None else made.volume / 1000), _peak(print_)


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

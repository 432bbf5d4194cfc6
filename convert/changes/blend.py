"""The time model between the two sides: some changes made, the others not.

A blend takes each number that the model reads from the new side if its change is among those made, and from the old
side otherwise. No change made is the old print, all made is the new one, exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isfinite

from convert.model.value import Value
from convert.physics import OutOfRange, duration
from convert.physics.bodies import body
from convert.rules.laid import laid
from convert.rules.quantities import flow_asked, print_of
from convert.rules.setup import Missing, Setup

BODY = "block"
"""The reference body on which changes are priced."""
PARTS = ("time", "mass", "flow")
"""What a blend comes to: seconds and grams of the body (cm3 where no density is known), and the largest flow asked
for, mm3/s.
"""

_READ = "value "
"""What Setup.memo calls a value that was asked for."""


class Blend:
    """Two setups and the numbers that tell them apart; `players` is how many changes there are."""

    def __init__(self, old: Setup, new: Setup, owner: Mapping[str, int], players: int) -> None:
        """`owner` gives, for a setting that may differ, the change that it belongs to. Raises Missing, OutOfRange."""
        self.players = players
        self.known: dict[int, tuple[float, float, float]] = {}
        for side, mask in ((old, 0), (new, (1 << players) - 1)):
            self.known[mask] = totals(side)
        self.common: dict[str, object] = {}
        self.variables: list[tuple[str, int, Value | None, Value | None]] = []
        self.fallback = new.values
        names = {key for side in (old, new) for key in side.memo if key.startswith(_READ)}
        for key in names:
            name = key[len(_READ) :]
            before, after = old.value(name), new.value(name)
            if before == after:
                self.common[key] = before
            elif name in owner:
                self.variables.append((key, owner[name], before, after))
            else:  # below every tolerance: not worth a player of its own
                self.common[key] = after

    def relevant(self) -> tuple[int, ...]:
        """The changes that move a number of the model, in order."""
        return tuple(sorted({player for _, player, _, _ in self.variables}))

    def __call__(self, mask: int) -> tuple[float, float, float]:
        """Time, plastic and flow with the changes whose bits are set. Raises Missing, OutOfRange."""
        found = self.known.get(mask)
        if found is None:
            setup = Setup(self.fallback)
            memo = setup.memo
            memo.update(self.common)
            for key, player, before, after in self.variables:
                memo[key] = after if mask >> player & 1 else before
            found = self.known[mask] = totals(setup)
        return found

    @property
    def before(self) -> tuple[float, float, float]:
        return self.known[0]

    @property
    def after(self) -> tuple[float, float, float]:
        return self.known[(1 << self.players) - 1]


def totals(setup: Setup) -> tuple[float, float, float]:
    """Time (s), plastic (g; cm3 without a density), largest flow asked for (mm3/s). Raises Missing, OutOfRange."""
    made = duration.estimate(body(BODY), print_of(setup))
    flow = 0.0
    for feature in laid(setup):
        try:
            asked = flow_asked(setup, feature)
        except Missing:
            continue
        if isfinite(asked):
            flow = max(flow, asked)
    return made.time, (made.volume / 1000 if made.mass is None else made.mass), flow


__all__ = ["BODY", "PARTS", "Blend", "Missing", "OutOfRange", "totals"]

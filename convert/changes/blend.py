"""The time model between the two sides: some changes made, the others not.

A blend takes each number that the model reads from the new side if its change is among those made, and from the old
side otherwise. No change made is the old print, all made is the new one, exactly. Each step of the model is computed
once for all blends that agree in the changes it looks at.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any, NamedTuple, TypeVar

from convert.model.value import Value
from convert.physics import OutOfRange
from convert.physics.bead import section
from convert.physics.bodies import body
from convert.physics.layering import Kind, Layers
from convert.physics.printing import CHECKS, Print
from convert.rules.setup import Missing, Setup
from convert.rules.timed import PARTS, print_of

REST = -1
"""The change that numbers belong to which differ without any change that could be told."""

BODY = body("block")
"""The reference body on which changes are priced."""

Result = TypeVar("Result")
Total = tuple[float, float, float]
"""Time, plastic and flow: seconds and grams of the body (cm3 unless both sides state the density), and the largest flow
asked for, mm3/s.
"""


class _Between(Setup):
    """The setup with the changes made whose bits are in `mask`; `seen` gathers the changes that were looked at."""

    def __init__(self, old: Setup, new: Setup, bits: dict[str, int]) -> None:
        super().__init__(new.values)
        self.old, self.new, self.bits = old, new, bits
        self.mask = self.seen = 0

    def value(self, name: str) -> Value | None:
        return self._side(name).value(name)

    def number(self, name: str) -> float:
        return self._side(name).number(name)

    def once(self, compute: Callable[..., Any], *more: Hashable) -> Any:
        return compute(self, *more)  # another mask may follow

    def _side(self, name: str) -> Setup:
        bit = self.bits.get(name, 0)
        self.seen |= bit
        return self.old if bit & ~self.mask else self.new


class _Printed(Print):
    """A print whose parts are looked up when somebody asks; those that no change moves, once."""

    __slots__ = ("_part",)

    def __init__(self, part: Callable[[str], Any]) -> None:
        self._part = part

    def __getattr__(self, name: str) -> Any:
        return self._part(name)


class _Outcome(NamedTuple):
    """What a step came to, or what went wrong, and the changes that it looked at."""

    made: Any
    seen: int
    wrong: Exception | None = None


class _Step:
    """What a step came to, by the changes made among those (`bits`) that it has been seen to look at so far."""

    __slots__ = ("bits", "found")

    def __init__(self) -> None:
        self.bits = 0
        self.found: dict[int, _Outcome] = {}


class Blend(Layers):
    """Two setups and the numbers that tell them apart. `bits` gives each change that moves one its bit in a mask;
    `rest` names the numbers that belong to none.
    """

    def __init__(self, old: Setup, new: Setup, owner: Callable[[str], int | None]) -> None:
        """`owner` gives, for a setting that may differ, the change that it belongs to. Raises Missing, OutOfRange."""
        super().__init__(BODY, _Printed(self._part))
        for side in (old, new):
            print_of(side)
        self._weighed = old.get("feedstock.density") is not None and new.get("feedstock.density") is not None
        self.bits: dict[int, int] = {}
        self.rest: list[str] = []
        moved: dict[str, int] = {}
        for name in [*old.resolved, *(name for name in new.resolved if name not in old.resolved)]:
            if old.value(name) == new.value(name):
                continue
            change = owner(name)
            if change is None:  # a feature that is off, or apart by less than any tolerance
                change = REST
                self.rest.append(name)
            moved[name] = 1 << self.bits.setdefault(change, len(self.bits))
        self._setup = _Between(old, new, moved)
        self._steps: dict[object, _Step] = {}
        self._parts: dict[str, tuple[Any, int]] = {}  # of the print with the present mask
        self._totals: dict[int, Total] = {}
        self._checks = CHECKS
        self.before, self.after = self(0), self((1 << len(self.bits)) - 1)
        # What looks at one change alone holds on the way, as it does at both ends.
        self._checks = tuple(check for check in CHECKS if self._steps[_checked, (check,)].bits.bit_count() > 1)

    def __call__(self, mask: int) -> Total:
        """Time, plastic and flow with the changes whose bits are set, as `duration.estimate` tells them. Raises
        Missing, OutOfRange, ArithmeticError.
        """
        found = self._totals.get(mask)
        if found is None:
            self._setup.mask = mask
            self._parts.clear()
            found = self._totals[mask] = self._total()
        return found

    def _total(self) -> Total:
        for check in self._checks:
            self.once(_checked, check)
        time = volume = 0.0
        for kind, count in self.once(Layers.kinds).items():
            seconds, laid = self.once(_layer, kind)
            time += count * seconds
            volume += count * laid
        density = self.print.density if self._weighed else None
        return time, volume / 1000 * (1 if density is None else density), self.once(_peak)

    def _part(self, name: str) -> Any:
        setup = self._setup
        known = self._parts.get(name)
        if known is None:
            above, setup.seen = setup.seen, 0
            try:
                known = self.once(_part, name), setup.seen
            finally:
                setup.seen |= above
            self._parts[name] = known
            if not self._steps[_part, (name,)].bits:
                setattr(self.print, name, known[0])
        made, seen = known
        setup.seen |= seen
        return made

    def once(self, step: Callable[..., Result], *more: Hashable) -> Result:
        """As there; computed only if it is not known for the changes made among those that it looks at."""
        setup = self._setup
        known = self._steps.get((step, more))
        if known is None:
            known = self._steps[step, more] = _Step()
        outcome = known.found.get(setup.mask & known.bits)
        if outcome is None:
            outcome = self._run(step, more)
            known.bits |= outcome.seen
            known.found[setup.mask & known.bits] = outcome
        made, seen, wrong = outcome
        setup.seen |= seen
        if wrong is not None:
            raise wrong.with_traceback(None)
        result: Result = made
        return result

    def _run(self, step: Callable[..., object], more: tuple[Hashable, ...]) -> _Outcome:
        setup = self._setup
        above, setup.seen = setup.seen, 0
        try:
            return _Outcome(step(self, *more), setup.seen)
        except (Missing, OutOfRange, ArithmeticError) as error:
            return _Outcome(None, setup.seen, error)
        finally:
            setup.seen = above


def _part(blend: Blend, name: str) -> object:
    return PARTS[name](blend._setup)


def _checked(blend: Blend, check: Callable[[Print], None]) -> None:
    check(blend.print)


def _layer(blend: Blend, kind: Kind) -> tuple[float, float]:
    """Seconds and mm3 of a layer."""
    seconds, volumes, _ = blend.layer(kind)
    return sum(seconds.values()), sum(volumes.values())


def _peak(blend: Blend) -> float:
    """The largest flow that the beads of the body ask for, before any limit."""
    print_ = blend.print
    height = print_.layer_height
    beads = [(print_.outer_wall, height), (print_.solid, height), (print_.first_layer, print_.first_height)]
    if print_.wall_count > 1:
        beads.append((print_.inner_wall, height))
    if print_.fill:
        beads.append((print_.infill, height))
    if print_.upper_layers:
        beads.append((print_.top, height))
    return max(section(bead.width, high) * bead.flow * bead.speed for bead, high in beads)

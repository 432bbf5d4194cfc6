"""What each change costs on the reference body: shares of the whole change, interactions shared out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from convert.changes.attribution import attribute, first_and_last
from convert.changes.blend import REST, Blend, Total
from convert.changes.compare import Fact
from convert.changes.figures import View
from convert.changes.groups import Group
from convert.model.resolve import stated
from convert.physics import OutOfRange
from convert.rules.setup import Missing


class Share(NamedTuple):
    """What one change contributes to the whole change of the reference body: s, g (or cm3), mm3/s; and standard errors,
    0 where it is exact.
    """

    settings: tuple[str, ...]
    amount: Total
    error: Total = (0.0, 0.0, 0.0)


class Costs:
    """The costs of groups of changes and of single settings; None where the time model lacks an input, or does not know
    the setting.

    With `attributed`, the costs of groups are Shapley values, listed in `shares` (`exact`, or sampled); without, means
    of the first and the last step.
    """

    def __init__(self, view: View, facts: Sequence[Fact], groups: Sequence[Group], attributed: bool) -> None:
        own = {fact.setting: at for at, fact in enumerate(facts)}
        # Setting -> the change of its own text that moves it: itself, or its base.
        self.atoms = {fact.setting: own.get(fact.derived_from or "", at) for at, fact in enumerate(facts)}
        self.shares: list[Share] = []
        self.exact = True
        self._facts: dict[int, Total] = {}
        self._groups: dict[int, Total] = {}
        self._blend = self._way(view)
        if self._blend is None:
            return
        moving = [group for group in groups if self._mask(group)]
        if attributed and moving:
            self._attribute(moving)
        for group in moving:
            if id(group) not in self._groups:
                self._groups[id(group)] = self._marginal(self._mask(group))
            if len(group.own) == 1:
                self._facts[self.atoms[group.own[0].setting]] = self._groups[id(group)]

    @property
    def totals(self) -> tuple[Total, Total] | None:
        """Time, plastic and flow of the old and of the new side."""
        return None if self._blend is None else (self._blend.before, self._blend.after)

    def of(self, group: Group) -> Total | None:
        """What a group of changes adds."""
        return self._groups.get(id(group))

    def of_fact(self, fact: Fact) -> Total | None:
        """What a single setting adds, together with what follows it."""
        atom = self.atoms[fact.setting]
        if self._blend is None or atom not in self._blend.bits:
            return None
        if atom not in self._facts:
            self._facts[atom] = self._marginal(1 << self._blend.bits[atom])
        return self._facts[atom]

    def _way(self, view: View) -> Blend | None:
        """The way from the old to the new side, change by change."""
        sides = (view.new.values, view.old.values)

        def owner(name: str) -> int | None:
            for side in sides:
                known = stated(side, name)
                if known in self.atoms:
                    return self.atoms[known]
            return self.atoms.get(name)

        try:
            return Blend(view.old, view.new, owner)
        except (Missing, OutOfRange, ArithmeticError):
            return None

    def _mask(self, group: Group) -> int:
        """The bits of a group's changes."""
        mask = 0
        for name in group.settings if self._blend is not None else ():
            bit = self._blend.bits.get(self.atoms[name])  # type: ignore[union-attr]
            mask |= 0 if bit is None else 1 << bit
        return mask

    def _attribute(self, groups: Sequence[Group]) -> None:
        assert self._blend is not None
        masks = [self._mask(group) for group in groups]
        if REST in self._blend.bits:
            masks.append(1 << self._blend.bits[REST])

        def total(chosen: int) -> Total:
            mask = 0
            for at, one in enumerate(masks):
                if chosen >> at & 1:
                    mask |= one
            return self._at(mask)

        found = attribute(len(masks), total)
        self.exact = found.exact
        for group, amount, error in zip(groups, found.values, found.errors, strict=False):
            self._groups[id(group)] = _three(amount)
            self.shares.append(Share(group.settings, _three(amount), _three(error)))
        if len(masks) > len(groups) and any(found.values[-1]):
            names = tuple(self._blend.rest)
            self.shares.append(Share(names, _three(found.values[-1]), _three(found.errors[-1])))

    def _marginal(self, mask: int) -> Total:
        """The mean of the first and the last step."""
        assert self._blend is not None
        full = (1 << len(self._blend.bits)) - 1

        def total(chosen: int) -> Total:
            return self._at((mask if chosen & 1 else 0) | (full & ~mask if chosen & 2 else 0))

        return _three(first_and_last(0, 2, total))

    def _at(self, mask: int) -> Total:
        """A blend that the model cannot take (a bead narrower than high, say) counts as the nearer end."""
        assert self._blend is not None
        try:
            return self._blend(mask)
        except (Missing, OutOfRange, ArithmeticError):
            return self._blend.after if mask.bit_count() * 2 > len(self._blend.bits) else self._blend.before


def _three(amount: Sequence[float]) -> Total:
    return amount[0], amount[1], amount[2]

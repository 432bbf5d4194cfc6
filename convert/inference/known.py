"""A profile whose values the sample should say: it settles key, unit and factor at once.

A hit is worth the more the fewer settings could have given it; a miss is held against a pair mildly, for two setups
of one person differ.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import log2

from convert.inference.choices import choice_of
from convert.inference.habits import Habit, habits
from convert.inference.items import Item
from convert.inference.values import SHARE_KINDS, USUAL, Reading, _scale, base_of
from convert.model.value import Share, Value

HIT, MISS = 0.55, 0.45
MOST_SHARE = 2.0
"""The largest share of another setting."""
CLOSE = 1e-4


class Known:
    """Known values by setting: one profile, or several pairs pooled."""

    def __init__(self, profiles: Sequence[Mapping[str, Value]]) -> None:
        self.values: dict[str, list[Value]] = {}
        for profile in profiles:
            for name, value in profile.items():
                for one in (
                    value
                    if isinstance(value, tuple) and name in habits() and habits()[name].setting.per_tool
                    else (value,)
                ):
                    self.values.setdefault(name, []).append(one)
        self.numbers = {
            name: [
                float(one) if isinstance(one, Fraction) else float(one.percent)
                for one in found
                if isinstance(one, (Fraction, Share))
            ]
            for name, found in self.values.items()
        }
        self.common: dict[float, int] = {}
        for found in self.numbers.values():
            for size in set(found):
                self.common[round(size, 6)] = self.common.get(round(size, 6), 0) + 1
        self._memo: dict[tuple[int, str], tuple[float, str]] = {}

    def evidence(self, item: Item, habit: Habit) -> float:
        """What the profile says of a pair: above 0 for it, below 0 against it."""
        return self._look(item, habit)[0]

    def order(self, item: Item, habit: Habit, possible: list[Reading]) -> list[Reading]:
        """The readings, the one in which the values agree first."""
        code = self._look(item, habit)[1]
        if not code:
            return possible
        for one in possible:
            scale = dict(one.relation)
            own = "255" if scale.get("scale") else "share" if "percent_of" in scale else one.unit
            if own == code:
                rest = [
                    Reading(other.score - 1.5, other.unit, other.source, other.relation)
                    for other in possible
                    if other is not one
                ]
                return [Reading(one.score + 0.8, one.unit, one.source, one.relation), *rest]
        return possible

    def _look(self, item: Item, habit: Habit) -> tuple[float, str]:
        name = habit.setting.id
        memo = self._memo.get((item.index, name))
        if memo is None:
            memo = self._memo[item.index, name] = self._judge(item, habit)
        return memo

    def _judge(self, item: Item, habit: Habit) -> tuple[float, str]:
        found = self.values.get(habit.setting.id)
        if not found:
            return -0.1, ""
        kind = habit.setting.kind
        if kind == "flag":
            return 0.0, ""
        if kind in ("text", "choice"):
            return self._text(item, habit, found)
        numbers = self.numbers[habit.setting.id]
        if not numbers or not item.numbers:
            return 0.0, ""
        if any(isinstance(one, Share) for one in found) and any(one.unit == "%" for one in item.numbers):
            hit = any(abs(one.value - value) < 1e-6 * max(1, abs(value)) for one in item.numbers for value in numbers)
            return (self._worth(numbers), "share") if hit else (-MISS, "")
        best = (-MISS, "")
        if self._is_share(item, habit, numbers):
            best = (self._worth(numbers), "share")
        elif item.percents and kind != "percent":
            return best
        codes = [code for code, _ in USUAL.get(kind, ())]
        for code in codes:
            factor, offset = _scale(code, kind, habit.setting.unit)
            said = [one.value * factor + offset for one in item.numbers]
            hits = sum(any(abs(one - value) <= CLOSE * max(abs(value), 1e-9) for value in numbers) for one in said)
            if hits and hits * 2 >= len(set(said)):
                worth = self._worth(said) * hits / len(said)
                if all(one.value in (0, 1) for one in item.numbers):
                    worth *= 0.4
                if worth > best[0]:
                    best = (worth, code)
        return best

    def _is_share(self, item: Item, habit: Habit, numbers: Sequence[float]) -> bool:
        """Whether the values, as shares of what such a share is usually of, are the values of the profile."""
        bases = self.numbers.get(base_of(habit.setting.id), ())
        whole = 100.0 if item.percents else 1.0
        if habit.setting.kind not in SHARE_KINDS or not all(
            0 < one.value <= MOST_SHARE * whole for one in item.numbers
        ):
            return False
        return any(
            abs(one.value / whole * base - value) <= CLOSE * abs(value) and one.value != whole
            for one in item.numbers
            for base in bases
            for value in numbers
        )

    def _worth(self, numbers: Sequence[float]) -> float:
        """A rare number proves much, a common one little."""
        times = min(self.common.get(round(one, 6), 1) for one in numbers)
        digits = max(len(f"{abs(one):.6g}".replace(".", "").strip("0")) for one in numbers)
        return HIT * (1 + min(digits, 4)) / log2(1 + times) if times > 1 else HIT * (1.4 + min(digits, 4))

    def _text(self, item: Item, habit: Habit, found: Sequence[Value]) -> tuple[float, str]:
        if habit.setting.kind == "text":
            hit = any(text == value for text in item.texts for value in found)
            return (
                (2.0, "") if hit and any(len(str(value)) > 2 for value in found) else (-0.3 if item.texts else 0.0, "")
            )
        choices = habit.setting.choices
        said = [choice_of(text, choices) for text in item.texts]
        sure = [choice for choice, strength in said if strength > 0.5]
        if not sure:
            return 0.0, ""
        return (0.7, "") if any(choice in found for choice in sure) else (-MISS, "")

"""A setup as rules see it: machine, feedstock and process together, as plain numbers in the schema's units.

A missing input is never assumed silently. `number` raises `Missing`, which the engine turns into "cannot tell: needs
X"; `assume` gives a stated value and lists it among the assumptions.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Mapping
from fractions import Fraction
from functools import wraps
from typing import Any, TypeVar

from convert.errors import InputError
from convert.model.resolve import effective
from convert.model.setting import SETTINGS
from convert.model.value import State, Value
from convert.physics.limits import limit as find_limit
from convert.physics.polymers import span

Compute = TypeVar("Compute", bound=Callable[..., Any])


class Missing(Exception):
    """An input that the setup does not state."""

    def __init__(self, needs: str) -> None:
        super().__init__(needs)
        self.needs = needs


def once(compute: Compute) -> Compute:
    """A function of a setup that is computed once for each setup."""

    @wraps(compute)
    def found(setup: Setup, *more: Hashable) -> Any:
        return setup.once(compute, *more)

    return found  # type: ignore[return-value]


class Setup:
    """Values of one setup, for one tool. `limits` and `polymers` are a policy's values in the place of the tables'."""

    def __init__(
        self,
        values: Mapping[str, Value],
        tool: int = 0,
        names: Mapping[str, str] | None = None,
        limits: Mapping[str, float] | None = None,
        polymers: Mapping[str, tuple[float | None, float | None]] | None = None,
    ) -> None:
        self.values = values
        self.tool = tool
        self.names = dict(names or {})
        self.limits, self.polymers = limits, polymers
        self.assumed: dict[str, str] = {}
        self.resolved: dict[str, Value | None] = {}
        self.numbers: dict[str, float] = {}
        self.memo: dict[object, Any] = {}

    # ---- values

    def value(self, name: str) -> Value | None:
        """The resolved value for this tool, features taking their default; None where it is not stated."""
        if name not in self.resolved:
            try:
                found = effective(self.values, name)
            except InputError as error:
                raise Missing(f"{name} ({error.says})") from None
            if isinstance(found, tuple) and SETTINGS[name].kind != "outline":  # also a percent of a per-tool setting
                found = found[min(self.tool, len(found) - 1)] if found else None
            self.resolved[name] = found
        return self.resolved[name]

    def has(self, name: str) -> bool:
        """Whether a usable value is stated ("automatic" is none)."""
        value = self.value(name)
        return value is not None and value != State("automatic")

    def number(self, name: str) -> float:
        """A number in the schema's unit; inf for unlimited, 0 for off. Raises Missing."""
        known = self.numbers.get(name)
        if known is not None:
            return known
        value = self.value(name)
        if isinstance(value, Fraction):
            self.numbers[name] = known = value.numerator / value.denominator
            return known
        if isinstance(value, State) and value.word == "unlimited":
            return math.inf
        if isinstance(value, State) and value.word == "off":
            return 0.0
        raise Missing(name)

    def get(self, name: str, default: float | None = None) -> float | None:
        """A number, or the default where it is not stated."""
        try:
            return self.number(name)
        except Missing:
            return default

    def flag(self, name: str) -> bool:
        value = self.value(name)
        if isinstance(value, bool):
            return value
        raise Missing(name)

    def is_on(self, name: str) -> bool:
        """Whether a flag is stated and on."""
        return self.value(name) is True

    def word(self, name: str) -> str:
        value = self.value(name)
        if isinstance(value, str):
            return value
        raise Missing(name)

    def text(self, name: str) -> str:
        """A text, or "" where it is not stated."""
        value = self.value(name)
        return value if isinstance(value, str) else ""

    def assume(self, name: str, value: float, why: str) -> float:
        """A stated number, or `value`, which is then listed among the assumptions."""
        found = self.get(name)
        if found is not None:
            return found
        self.assumed[name] = f"{value:g} {SETTINGS[name].unit} ({why})" if name in SETTINGS else f"{value:g} ({why})"
        return value

    # ---- quantities

    def once(self, compute: Callable[..., Any], *more: Hashable) -> Any:
        """What compute(self, *more) gives, computed when it is first asked for."""
        key = compute, more
        if key not in self.memo:
            self.memo[key] = compute(self, *more)
        return self.memo[key]

    # ---- tables

    def limit(self, name: str) -> float:
        """A threshold of the limits table, or the policy's in its place."""
        return find_limit(name, self.limits).value

    def polymer(self, prop: str, end: str = "low") -> float:
        """A property of the feedstock's family, low or high end. Raises Missing."""
        family = self.word("feedstock.family")
        found = span(family, prop, self.polymers)
        number = None if found is None else (found.low if end == "low" else found.high)
        if number is None:
            raise Missing(f"{prop} of {family}")
        return number

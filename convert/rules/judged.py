"""How most rules speak: a value beyond a limit, its severity taken from the margin; and physics of odd inputs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from math import isfinite
from typing import TypeVar

from convert.errors import InputError
from convert.model.check import is_good
from convert.model.phrase import parse_phrase
from convert.model.resolve import stated
from convert.model.setting import SETTINGS
from convert.model.value import Share
from convert.physics import OutOfRange
from convert.rules.finding import Finding, Repair, graded, margin_above, margin_below
from convert.rules.setup import Missing, Setup

Steps = tuple[tuple[float, str], ...]
Result = TypeVar("Result")
ROUNDING = 1e-6
"""Share of a limit by which a value may be beyond it and still be equal."""


def above(
    rule: str,
    settings: tuple[str, ...],
    value: float,
    limit: float,
    unit: str,
    steps: Steps,
    says: str,
    source: str,
    repair: tuple[Repair, ...] = (),
) -> Iterator[Finding]:
    """A finding where a value lies above an upper limit; steps as in `graded`, mildest first."""
    yield from _beyond(margin_above, rule, settings, value, limit, unit, steps, says, source, repair)


def below(
    rule: str,
    settings: tuple[str, ...],
    value: float,
    limit: float,
    unit: str,
    steps: Steps,
    says: str,
    source: str,
    repair: tuple[Repair, ...] = (),
) -> Iterator[Finding]:
    """A finding where a value lies below a lower limit."""
    yield from _beyond(margin_below, rule, settings, value, limit, unit, steps, says, source, repair)


def _beyond(
    margin_of: Callable[[float, float], float],
    rule: str,
    settings: tuple[str, ...],
    value: float,
    limit: float,
    unit: str,
    steps: Steps,
    says: str,
    source: str,
    repair: tuple[Repair, ...],
) -> Iterator[Finding]:
    if not (isfinite(value) and isfinite(limit)):
        return  # "unlimited" is a word, no measure
    margin = margin_of(value, limit)
    severity = graded(margin + ROUNDING, *steps)
    if severity is not None:
        yield Finding(rule, severity, settings, says, value, limit, unit, margin, source, mends(repair))


def mends(repair: tuple[Repair, ...]) -> tuple[Repair, ...]:
    """The repairs, if all of them are values that their settings may have.

    >>> mends((Repair("wall.count", "2"),)), mends((Repair("infill.density", "140 %"),))
    ((Repair(setting='wall.count', to='2'),), ())
    """
    for one in repair:
        try:
            good = is_good(SETTINGS[one.setting], parse_phrase(one.to, SETTINGS[one.setting]))
        except InputError:
            good = False
        if not good:
            return ()
    return repair


def known(setup: Setup, name: str) -> float | None:
    """A stated number that is one; None for "unlimited", which is a word."""
    value = setup.get(name)
    return value if value is not None and isfinite(value) else None


def roots(setup: Setup, *names: str) -> tuple[str, ...]:
    """The settings that numbers come from: each itself or the default it falls back to, then what it is a percent of.

    So a finding about the first layer's speed is known to follow from a slip in the general one.
    """
    found: dict[str, None] = {}
    bases: dict[str, None] = {}
    for name in names:
        here, into = name, found
        while (known := stated(setup.values, here) or here) not in into:
            into[known] = None
            value = setup.values.get(known)
            if not isinstance(value, Share):
                break
            here, into = value.of, bases
    return tuple(found | bases)


def usable(compute: Callable[..., Result], *inputs: object) -> Result:
    """What a formula gives; Missing where the numbers of the setup are none that it can take ("unlimited" among them).

    >>> usable(max, 2, 3)
    3
    """
    try:
        return compute(*inputs)
    except OutOfRange as error:
        raise Missing(f"usable numbers ({error.says})") from None
    except (ArithmeticError, ValueError):
        raise Missing("usable numbers") from None

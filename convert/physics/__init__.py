"""The physics of material extrusion: pure functions over plain floats, one topic a module.

Units are those of a workshop and stand in every docstring: mm, s, mm/s, mm2, mm3/s, Cel (K for differences), MPa, N, W,
g/cm3, J/(g.K), W/(m.K). Shares are 0..1, never percents; angles are degrees. Every formula says how well it is founded:

    published        the named source gives it, and that was read there or in published data that carries it
    quoted           taken from an abstract, excerpt or summary of the source, which itself was not seen
    derived          elementary geometry, mechanics or the heat equation; the derivation stands in a line
    common practice  a rule of the trade, no source
    judgement        this project's own choice; the reasons stand beside it
    from memory      believed, not checked; a source that is named is where it should stand

`convert.physics.models` lists them all for `compute`; `convert.physics.duration` is the one time model.
"""

from __future__ import annotations

from convert.errors import UsageError

INFINITY = float("inf")


class OutOfRange(UsageError, ValueError):
    """An argument lies where the formula means nothing.

    >>> raise OutOfRange("width", 0.1, "at least the height, 0.2")
    Traceback (most recent call last):
    convert.physics.OutOfRange: width is 0.1; it must be at least the height, 0.2
    """

    def __init__(self, argument: str, value: float, allowed: str) -> None:
        super().__init__(f"{argument} is {value:.6g}", None, f"it must be {allowed}")
        self.args = (argument, value, allowed)
        self.argument, self.value, self.allowed = argument, value, allowed


def positive(**arguments: float) -> None:
    """Refuse arguments that are not above zero and finite.

    >>> positive(width=0.45, height=-0.2)
    Traceback (most recent call last):
    convert.physics.OutOfRange: height is -0.2; it must be above 0 and finite
    """
    for name, value in arguments.items():
        if not 0 < value < INFINITY:
            raise OutOfRange(name, value, "above 0 and finite")


def not_negative(**arguments: float) -> None:
    """Refuse arguments that are below zero or not finite."""
    for name, value in arguments.items():
        if not 0 <= value < INFINITY:
            raise OutOfRange(name, value, "0 or more and finite")


def finite(**arguments: float) -> None:
    """Refuse arguments that are no finite numbers."""
    for name, value in arguments.items():
        if not -INFINITY < value < INFINITY:
            raise OutOfRange(name, value, "finite")


def within(low: float, high: float, **arguments: float) -> None:
    """Refuse arguments outside low..high, ends included."""
    for name, value in arguments.items():
        if not low <= value <= high:
            raise OutOfRange(name, value, f"{low:.6g}..{high:.6g}")


def whole(least: int = 0, **arguments: float) -> None:
    """Refuse arguments that are no whole numbers of at least `least`."""
    for name, value in arguments.items():
        if not least <= value < INFINITY or value != int(value):
            raise OutOfRange(name, value, f"a whole number, {least} or more")

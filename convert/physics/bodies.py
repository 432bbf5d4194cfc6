"""The named reference bodies on which a change of settings is priced in time and plastic."""

from __future__ import annotations

from typing import NamedTuple

from convert.errors import UsageError

TRAVELS = 8
"""Travels in every layer, between its paths and to the next layer."""


class Body(NamedTuple):
    """A solid box x, y, z (mm) and the length in mm of each of the 8 travels in a layer of it."""

    name: str
    x: float
    y: float
    z: float
    travel: float


BODIES = (
    Body("block", 60, 40, 30, 25),  # an ordinary part: infill and walls share the time
    Body("tower", 12, 12, 80, 8),  # short lines, short layers: acceleration and the least layer time rule
    Body("tile", 120, 120, 2, 25),  # long lines, all skin: speed and flow limits rule
)


def body(name: str) -> Body:
    """The reference body of this name.

    >>> body("tower").z
    80
    """
    for known in BODIES:
        if known.name == name:
            return known
    raise UsageError(f"no body is called {name!r}", None, "there are " + ", ".join(known.name for known in BODIES))

"""Thresholds that rules judge by: `schemas/limits.tsv`, one row each, with status and source.

Most are common practice. A policy may set any of them: functions take `overrides`, name -> value in the row's unit.

>>> limit("liner.ptfe.max").value, limit("liner.ptfe.max").unit, limit("liner.ptfe.max").status
(250.0, 'Cel', 'quoted')
>>> limit("shell.min", {"shell.min": 0.5}).value
0.5
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from convert.errors import UsageError
from convert.physics import finite
from convert.physics.tables import rows


class Limit(NamedTuple):
    """One row: a threshold in `unit` (UCUM)."""

    name: str
    value: float
    unit: str
    status: str
    """as in `convert.physics`, or policy where a policy set it"""
    source: str
    meaning: str


@cache
def limits() -> Mapping[str, Limit]:
    """All limits by name, in the order of the table, read on first use."""
    return {
        name: Limit(name, float(value), unit, status, source, meaning)
        for name, value, unit, status, source, meaning in rows("limits.tsv", "name value unit status source meaning")
    }


def limit(name: str, overrides: Mapping[str, float] | None = None) -> Limit:
    """The limit of this name; UsageError where there is none."""
    known = limits()
    if name not in known:
        from difflib import get_close_matches  # only on the way to an error

        close = get_close_matches(name[:60], list(known), 3, 0.5)
        raise UsageError(
            f"no limit is called {name[:60]!r}", None, f"did you mean {', '.join(close)}?" if close else ""
        )
    if overrides and name in overrides:
        finite(**{name: overrides[name]})
        return known[name]._replace(value=float(overrides[name]), status="policy", source="policy")
    return known[name]


def check_overrides(overrides: Mapping[str, float]) -> None:
    """Refuse a policy that sets a limit which does not exist.

    >>> check_overrides({"shell.mni": 0.5})  # doctest: +ELLIPSIS
    Traceback (most recent call last):
    convert.errors.UsageError: no limit is called 'shell.mni'; did you mean shell.min, ...
    """
    for name in overrides:
        limit(name, overrides)

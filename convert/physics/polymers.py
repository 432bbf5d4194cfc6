"""What is known of polymer families: `schemas/polymers.tsv`, one value (a span) a row, with status and source.

Families are those of the setting `feedstock.family`; `GRADES` adds some that sources tell apart. Windows are starting
points for an audit, not limits; the maker's data sheet comes first. Ranks: `moisture` 0 none .. 4 extreme (takes up
water); `fumes` 0 low, 1 some, 2 irritant (styrene, caprolactam), 3 toxic when overheated; `crystalline` 1 where
crystals carry the part in use. `flow_hint` holds for a 0.4 mm bore and a heated zone of ordinary length;
`nozzle_ceiling` is the nozzle temperature never to pass.

>>> heat = span("PP", "fusion_heat")
>>> heat.low, heat.high, heat.unit, heat.status, heat.source
(207.0, 207.0, 'J/g', 'quoted', 'Blaine, Polymer Heats of Fusion, TN048')
>>> span("PA12", "glass_transition").low, span("PA12", "moisture").family, span("BVOH", "melting")
(40.0, 'PA', None)
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from convert.physics import OutOfRange
from convert.physics.tables import rows

GRADES = {
    "PA6": "PA",
    "PA66": "PA",
    "PA12": "PA",
    "TPU-95A": "TPU",
    "TPU-85A": "TPU",
    "PS": "HIPS",
    "PTFE": "",
}
"""Grades and relatives with rows of their own, and the family that answers for what they lack."""


class Span(NamedTuple):
    """One row: low..high in `unit` (UCUM), equal where one value is given; None: open at that end."""

    family: str
    quantity: str
    low: float | None
    high: float | None
    unit: str
    status: str
    """as in `convert.physics`, or policy where a policy set it"""
    source: str

    @property
    def middle(self) -> float | None:
        """The middle of the span, or its only end."""
        if self.low is None or self.high is None:
            return self.high if self.low is None else self.low
        return (self.low + self.high) / 2


@cache
def spans() -> Mapping[tuple[str, str], Span]:
    """All rows by family and quantity, read on first use."""
    found = {}
    for family, name, low, high, unit, status, source in rows(
        "polymers.tsv", "family quantity low high unit status source"
    ):
        ends = (float(low) if low else None, float(high) if high else None)
        found[family, name] = Span(family, name, *ends, unit, status, source)
    return found


def families() -> tuple[str, ...]:
    """The families that have rows, grades included.

    >>> "PLA" in families(), "PA12" in families()
    (True, True)
    """
    return tuple(dict.fromkeys(family for family, _ in spans()))


def quantities(family: str) -> dict[str, Span]:
    """What is known of a family, by quantity; a grade's own rows come before its family's.

    >>> list(quantities("BVOH"))[:2]
    ['nozzle', 'bed']
    """
    parent = GRADES.get(family, "")
    found = {name: row for (owner, name), row in spans().items() if owner == parent}
    return found | {name: row for (owner, name), row in spans().items() if owner == family}


def span(
    family: str, quantity: str, overrides: Mapping[str, tuple[float | None, float | None]] | None = None
) -> Span | None:
    """The row of a family and quantity, None where nothing is known; a policy's "family.quantity" comes first.

    >>> span("PLA", "nozzle", {"PLA.nozzle": (200, 235)}).high
    235
    """
    row = spans().get((family, quantity)) or spans().get((GRADES.get(family, ""), quantity))
    key = f"{family}.{quantity}"
    if not overrides or key not in overrides:
        return row
    low, high = overrides[key]
    if low is not None and high is not None and not low <= high:
        raise OutOfRange(key, low, f"at most its upper end, {high:.6g}")
    unit = row.unit if row else next((one.unit for one in spans().values() if one.quantity == quantity), "1")
    return Span(family, quantity, low, high, unit, "policy", "policy")

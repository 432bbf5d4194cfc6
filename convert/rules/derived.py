"""The table of derived quantities: what the settings of a setup come to, each with its inputs, unit and formula.

`explain` prints them and a comparison shows them before and after; rules use the functions behind them directly.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from convert.errors import UsageError
from convert.physics import bead
from convert.physics.duration import Estimate
from convert.rules.quantities import (
    bead_mass,
    corner_speed,
    effective_speed,
    filament_speed,
    floor_thickness,
    flow_allowed,
    flow_asked,
    height,
    infill_spacing,
    lead_length,
    peak_speed,
    reach_distance,
    retraction_time,
    ring_wavelength,
    roof_thickness,
    section,
    slope_roughness,
    volume_flow,
    wall_stack,
    width,
)
from convert.rules.setup import Missing, Setup
from convert.rules.timed import estimate


class Quantity(NamedTuple):
    """One derived quantity. `compute` takes the setup, and the feature where `per_feature` says so."""

    name: str
    unit: str
    meaning: str
    formula: str
    needs: tuple[str, ...]
    compute: Callable[..., float]
    per_feature: bool = False

    def __call__(self, setup: Setup, feature: str | None = None) -> float:
        """The value. Raises Missing."""
        return self.compute(setup, feature) if self.per_feature else self.compute(setup)


def _rows() -> tuple[Quantity, ...]:
    beads = ("width.*", "layer.height")
    asked = (*beads, "speed.*", "flow.*")
    moved = (*asked, "acceleration.*", "axis.x.max_speed", "axis.x.max_acceleration", "speed.flow_cap")
    rows = [
        Quantity(
            "bead_section", "mm2", "section of a bead with rounded sides", "h (w - h) + pi h^2/4", beads, section, True
        ),
        Quantity(
            "bead_aspect", "1", "bead width over height", "w / h", beads, lambda s, f: width(s, f) / height(s, f), True
        ),
        Quantity(
            "bead_spacing",
            "mm",
            "distance of beads that leave no gap",
            "w - h (1 - pi/4)",
            beads,
            lambda s, f: bead.spacing(width(s, f), height(s, f)),
            True,
        ),
        Quantity(
            "flow_asked", "mm3/s", "volume flow asked for", "section x speed x flow factors", asked, flow_asked, True
        ),
        Quantity(
            "flow_allowed",
            "mm3/s",
            "smallest stated limit on volume flow",
            "min(cap, melt rates, feed speeds x filament area)",
            ("hotend.melt_rate", "feedstock.melt_rate", "speed.flow_cap"),
            flow_allowed,
        ),
        Quantity(
            "volume_flow", "mm3/s", "volume flow commanded", "min(flow_asked, speed.flow_cap)", asked, volume_flow, True
        ),
        Quantity(
            "filament_speed",
            "mm/s",
            "speed of the filament",
            "volume_flow / (pi d^2/4)",
            (*asked, "feedstock.diameter"),
            filament_speed,
            True,
        ),
        Quantity(
            "effective_speed",
            "mm/s",
            "speed after the flow cap and the axis limit",
            "min(asked, cap / section, axis limit)",
            moved,
            effective_speed,
            True,
        ),
        Quantity(
            "reach_distance", "mm", "distance to reach that speed from rest", "v^2 / 2a", moved, reach_distance, True
        ),
        Quantity(
            "corner_speed", "mm/s", "speed through a corner of 90 degrees", "see compute", moved, corner_speed, True
        ),
        Quantity(
            "ring_wavelength",
            "mm",
            "spacing of ringing on the wall",
            "v / f",
            ("motion.resonance_x",),
            ring_wavelength,
            True,
        ),
        Quantity(
            "lead_length", "mm", "filament moved ahead by the pressure lead", "K u", ("flow.lead",), lead_length, True
        ),
        Quantity(
            "bead_mass",
            "g",
            "mass of a metre of bead",
            "section x factors x density",
            (*beads, "feedstock.density"),
            bead_mass,
            True,
        ),
        Quantity(
            "wall_stack",
            "mm",
            "thickness of the walls",
            "w_o + (n-1) (w_i - h (1 - pi/4))",
            ("wall.count", "width.outer_wall", "width.inner_wall", "layer.height"),
            wall_stack,
        ),
        Quantity(
            "roof_thickness",
            "mm",
            "solid roof",
            "max(n h, least)",
            ("cover.upper_layers", "layer.height"),
            roof_thickness,
        ),
        Quantity(
            "floor_thickness",
            "mm",
            "solid floor",
            "max(h1 + (n-1) h, least)",
            ("cover.lower_layers", "layer.first"),
            floor_thickness,
        ),
        Quantity(
            "infill_spacing",
            "mm",
            "distance between infill lines of one direction",
            "k section / (h density)",
            ("infill.density", "infill.pattern", "width.infill", "layer.height"),
            infill_spacing,
        ),
        Quantity(
            "retraction_time",
            "s",
            "one retraction and return",
            "l/v + l/v_back",
            ("retract.length", "retract.speed"),
            retraction_time,
        ),
        Quantity("slope_roughness", "um", "Ra of a 45 degree slope", "stair steps", ("layer.height",), slope_roughness),
    ]
    for length in (5, 20, 100):
        rows.append(
            Quantity(
                f"peak_speed_{length}",
                "mm/s",
                f"highest speed on a line of {length} mm, rest to rest",
                f"min(v, sqrt({length} a))",
                moved,
                lambda s, f, length=length: peak_speed(s, f, length),
                True,
            )
        )
    for name in ("block", "tower", "tile"):
        rows += _of_body(name)
    return tuple(rows)


def _of_body(name: str) -> list[Quantity]:
    """The figures of one reference body."""
    what = f"of the {name}"
    needs = ("layer.*", "width.*", "speed.*", "acceleration.*", "wall.count", "cover.*", "infill.density")

    def row(
        head: str, unit: str, meaning: str, formula: str, part: Callable[[Estimate], float], *more: str
    ) -> Quantity:
        return Quantity(
            f"{head}_{name}",
            unit,
            f"{meaning} {what}",
            formula,
            (*needs, *more),
            lambda setup: part(estimate(setup, name)),
        )

    return [
        row("time", "s", "time", "time model", lambda made: made.time),
        row("mass", "g", "plastic", "volume x density", lambda made: _known(made.mass, _DENSITY), _DENSITY),
        row("length", "m", "filament", "volume / (pi d^2/4)", lambda made: made.length / 1000),
        row("price", "1", "price", "mass x price", lambda made: _known(made.price, _PRICE), _DENSITY, _PRICE),
        row("layer_time", "s", "mean layer", "time / layers", lambda made: made.layer_time),
    ]


_DENSITY = "feedstock.density"
_PRICE = "feedstock.price"


def _known(value: float | None, needs: str) -> float:
    if value is None:
        raise Missing(needs)
    return value


QUANTITIES = {row.name: row for row in _rows()}
"""All derived quantities by name."""


def quantity(name: str) -> Quantity:
    """The quantity of this name; UsageError with the closest ones."""
    from difflib import get_close_matches

    if name in QUANTITIES:
        return QUANTITIES[name]
    close = get_close_matches(name, QUANTITIES, 3)
    hint = f"did you mean {', '.join(close)}?" if close else f"there are {', '.join(QUANTITIES)}"
    raise UsageError(f"there is no quantity {name[:60]!r}", None, hint)

"""Which way a print goes when a setting rises: signs for time, plastic, strength and surface, each with its source.

Signs are +1, -1 and 0; None where the evidence is mixed or depends on the rest of the print. Numbers come from the
models and the time model; these signs say only what no formula says. A row holds for an id, or for all ids of a group
("speed.").

>>> effect("speed.infill").surface, effect("wall.count").strength, effect("layer.height").strength
(-1, 1, None)
>>> effect("machine.name") is None
True
"""

from __future__ import annotations

from typing import NamedTuple

_GENERAL = "Homrani et al., Polymers 16 (2024) 2253; Appl. Mech. 6 (2025) 17 (abstracts)"
_CHACON = "Chacon, Caminero, Garcia-Plaza, Nunez, Materials & Design 124 (2017) 143-157 (abstract)"
_WELD = "weld_share (derived); J. Thermoplastic Composite Materials 2021, 08927057211053036 (abstract)"


class Effect(NamedTuple):
    """What a rise of a setting does; time + longer, material + more, strength + stronger, surface + better."""

    setting: str
    time: int | None
    material: int | None
    strength: int | None
    surface: int | None
    status: str
    source: str


EFFECTS = (
    Effect(
        "layer.height",
        -1,
        None,
        None,
        -1,
        "derived",
        "time as 1/h until flow binds, roughness as h, counted solid layers get thicker; strength mixed: " + _CHACON,
    ),
    Effect("layer.first", -1, 0, None, None, "derived", "one layer only"),
    Effect("width.", -1, None, None, -1, "derived", "fewer lines; strength mixed: Machines 11 (2023) 844 (abstract)"),
    Effect("speed.", -1, 0, None, -1, "derived", "colder core, more ringing; high feed was favourable in " + _CHACON),
    Effect("acceleration.", -1, 0, 0, -1, "derived", "ringing grows with acceleration"),
    Effect("jump.", -1, 0, 0, -1, "derived", "corners taken faster"),
    Effect("heat.nozzle", 0, 0, 1, -1, "quoted", _WELD + "; strings and sag common practice"),
    Effect("heat.bed", 0, 0, 1, -1, "derived", "warmer layer below: weld_temperature; flared foot common practice"),
    Effect("heat.chamber", 0, 0, 1, None, "derived", "warmer layer below: weld_temperature; less warp"),
    Effect(
        "fan.",
        0,
        0,
        -1,
        1,
        "quoted",
        "PLA weaker by 4 at 5 m/s, better geometry: Lee, Liu, Additive Manufacturing 2019, 196-203 (abstract)",
    ),
    Effect(
        "cooling.min_layer_time",
        1,
        0,
        None,
        1,
        "quoted",
        "Ai, Vogt, Prog. Addit. Manuf. 2022: weaker beyond pauses of about 5 s, PC more than PP (abstract)",
    ),
    Effect("wall.count", 1, 1, 1, 0, "quoted", _GENERAL),
    Effect("cover.upper_layers", 1, 1, 1, 1, "quoted", _GENERAL + "; closed tops common practice"),
    Effect("cover.lower_layers", 1, 1, 1, 0, "quoted", _GENERAL),
    Effect("infill.density", 1, 1, 1, 0, "quoted", _GENERAL + "; less than walls or skins"),
    Effect(
        "flow.",
        0,
        1,
        1,
        None,
        "quoted",
        "stronger until beads fill the layer: Dawoud, Taha, Ebeid, J. Manuf. Processes 21 (2016) 39-45 (abstract)",
    ),
    Effect("retract.length", 1, 0, 0, None, "common practice", "fewer strings, until the strand is drawn cold"),
    Effect("travel.hop", 1, 0, 0, None, "common practice", "fewer scars, more strings"),
)
"""Rows in the order of the settings; the first that fits an id counts."""

_APART = {
    "fan.extraction",
    "fan.full_range_from",
    "fan.off_layers",
    "fan.quick_layer",
    "flow.lead",
    "flow.lead_smoothing",
    "speed.flow_cap",
    "speed.ramp_layers",
}
"""Ids that share a group's first word but not its meaning."""


def effect(setting: str) -> Effect | None:
    """The row of a setting id, None where nothing is known; a first-layer temperature counts as the temperature."""
    if setting in _APART:
        return None
    plain = setting.removesuffix("_first") if setting.startswith("heat.") else setting
    for row in EFFECTS:
        if plain == row.setting or (row.setting.endswith(".") and plain.startswith(row.setting)):
            return row
    return None

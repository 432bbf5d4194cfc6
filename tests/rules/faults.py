"""Faults to plant in any sound setup: slips that people make, each bad enough for any practitioner to object.

A row: the fault, the settings of which a finding must name one, and what it changes.
"""

from __future__ import annotations

from convert.rules.quantities import melt_allowed, section
from convert.rules.setup import Setup
from tests.rules.fault_kinds import (
    BED,
    END,
    HOT,
    START,
    Changes,
    Fault,
    Plant,
    base,
    family,
    of_bore,
    phrase,
    pulling,
    put,
    screwed,
    self_supported,
    sparse,
    spiral,
    stated,
    supported,
    times,
    to,
    turned,
    upright,
    walled,
    window,
)  # fmt: skip

SOFT = ("TPU", "TPE")
HEATED = ("ABS", "ASA", "PC", "PA", "PA-filled", "PEEK", "HIPS")  # families that nobody prints on a cold plate
CALM = ("ABS", "ASA", "PC", "PA-filled", "PEEK")  # families that a full fan splits or lifts
COOLED = ("PLA", "PLA-filled")


def swapped(one: tuple[str, ...], other: tuple[str, ...]) -> Plant:
    return lambda s: {
        **{a: phrase(s.number(b), a) for a, b in zip(one, other, strict=True)},
        **{b: phrase(s.number(a), b) for a, b in zip(one, other, strict=True)},
    }


def infill_beyond_melt(s: Setup) -> Changes:
    if not sparse(s):
        return None
    return {"speed.infill": phrase(3 * melt_allowed(s) / section(s, "infill"), "speed.infill"), "speed.flow_cap": ""}


def cap_beyond_melt(s: Setup) -> Changes:
    """A cap that lets through three times what melts, and speeds that make use of it."""
    if not sparse(s):
        return None
    most = 3 * melt_allowed(s)
    return {
        "speed.flow_cap": phrase(most, "speed.flow_cap"),
        "speed.infill": phrase(most / section(s, "infill"), "speed.infill"),
    }


def hurried(s: Setup) -> Changes:
    if not family(*SOFT)(s):
        return None
    return {**{f"speed.{f}": "200 mm/s" for f in ("default", "infill", "outer_wall")}, "speed.flow_cap": ""}


def weaker_axis(s: Setup) -> float:
    return min(s.number(f"axis.{axis}.max_acceleration") for axis in "xy")


def outline(s: Setup) -> Changes:
    """An outline that is wider than the plate."""
    if s.text("envelope.shape") != "rectangle":
        return None
    x, y = s.number("envelope.x") + 60, s.number("envelope.y")
    return {"envelope.shape": "outline", "envelope.outline": f"0/0 {x:.9g}/0 {x:.9g}/{y:.9g} 0/{y:.9g} mm"}


def centred_outline(s: Setup) -> Changes:
    if s.text("envelope.origin") != "corner":
        return None
    return {"envelope.shape": "outline", "envelope.outline": "-100/-100 100/-100 100/100 -100/100 mm"}


def other_origin(s: Setup) -> Changes:
    if not upright(s) or s.number("envelope.x") > 400:
        return None
    return {"envelope.origin": "corner" if s.text("envelope.origin") == "centre" else "centre"}


def kept_free(s: Setup) -> Changes:
    if not upright(s) or s.text("envelope.origin") != "corner":
        return None
    return {"envelope.excluded": "0/0 200/0 200/150 0/150 mm"}


def far_bed(s: Setup) -> float:
    """35 K above the glass, where the plate gets that hot."""
    return min(s.number("bed.max_temperature"), s.number("feedstock.glass_transition") + 35)


def softening(s: Setup) -> bool:
    room = s.number("bed.max_temperature") - s.number("feedstock.glass_transition")
    return family("PLA", "PETG", "PVB", "PCTG")(s) and room >= 30


FAULTS: tuple[Fault, ...] = (
    # heat
    Fault("nozzle 60 K above the family's ceiling", HOT, put(HOT, lambda s: s.polymer("nozzle_ceiling", "high") + 60)),
    Fault(
        "nozzle beyond the hot end",
        (*HOT, "hotend.max_temperature"),
        put(HOT, lambda s: s.number("hotend.max_temperature") + 20),
    ),
    Fault("nozzle 60 K too cold", HOT, put(HOT, lambda s: window(s, "nozzle", "low") - 60)),
    Fault("nozzle 25 K too cold", HOT, put(HOT, lambda s: window(s, "nozzle", "low") - 25)),
    Fault("nozzle 25 K above its maker's window", HOT, put(HOT, lambda s: s.number("feedstock.max_nozzle") + 25)),
    Fault("nozzle in kelvin", HOT, turned(HOT, 1, 273.15)),
    Fault("nozzle in degrees Fahrenheit", HOT, turned(HOT, 1.8, 32)),
    Fault("nozzle and bed swapped", (*HOT, *BED), swapped(HOT, BED)),
    Fault(
        "waiting nozzle hotter than printing",
        ("heat.nozzle_standby",),
        put(("heat.nozzle_standby",), lambda s: s.number("heat.nozzle") + 20, stated("heat.nozzle_standby")),
    ),
    Fault(
        "bed beyond its heater", (*BED, "bed.max_temperature"), put(BED, lambda s: s.number("bed.max_temperature") + 20)
    ),
    Fault("bed cold", BED, put(BED, lambda s: 25.0, family(*HEATED))),
    Fault("bed softens the foot", BED, put(BED, far_bed, softening)),
    Fault("bed without a heater", ("bed.heated", *BED), to({"bed.heated": "false"})),
    Fault(
        "chamber beyond its heater",
        ("heat.chamber", "chamber.max_temperature"),
        put(("heat.chamber",), lambda s: s.number("chamber.max_temperature") + 40),
    ),
    Fault("chamber off", ("heat.chamber",), to({"heat.chamber": "off"}, family("ABS", "ASA", "PC", "PEEK"))),
    Fault(
        "chamber too warm",
        ("heat.chamber",),
        to({"chamber.heated": "true", "chamber.max_temperature": "70 °C", "heat.chamber": "60 °C"}, family(*COOLED)),
    ),
    Fault(
        "liner too hot", ("hotend.liner", *HOT), to({"hotend.liner": "ptfe"}, lambda s: s.number("heat.nozzle") > 265)
    ),
    Fault("drying above the glass", ("feedstock.drying_temperature",), times("feedstock.drying_temperature", 2)),
    Fault(
        "maker's window upside down",
        ("feedstock.min_nozzle", "feedstock.max_nozzle"),
        swapped(("feedstock.min_nozzle",), ("feedstock.max_nozzle",)),
    ),
    # units
    Fault("outer wall in mm/min", ("speed.outer_wall",), times("speed.outer_wall", 60)),
    Fault("travel in mm/min", ("speed.travel",), times("speed.travel", 60)),
    Fault("first layer in mm/min", ("speed.first_layer",), times("speed.first_layer", 60)),
    Fault("limit of X in mm/min", ("axis.x.max_speed",), times("axis.x.max_speed", 60)),
    Fault("limit of Z in mm/min", ("axis.z.max_speed",), times("axis.z.max_speed", 60, screwed)),
    Fault(
        "limit of Z in mm/s where mm/min is meant", ("axis.z.max_speed",), times("axis.z.max_speed", 1 / 60, screwed)
    ),
    Fault("retraction speed in mm/min", ("retract.speed",), times("retract.speed", 60)),
    Fault("acceleration in m/s2", ("acceleration.default",), times("acceleration.default", 0.001)),
    Fault("limit of X in m/s2", ("axis.x.max_acceleration",), times("axis.x.max_acceleration", 0.001)),
    Fault("layer in micrometres", ("layer.height",), times("layer.height", 1000)),
    Fault("bore in inches", ("nozzle.diameter",), times("nozzle.diameter", 1 / 25.4)),
    Fault("plate in inches", ("envelope.x", "envelope.y"), times("envelope.x", 1 / 25.4, upright)),
    Fault("tolerance in micrometres", ("size.tolerance",), times("size.tolerance", 1000)),
    Fault("density in kg/m3", ("feedstock.density",), times("feedstock.density", 1000)),
    Fault("density tenfold", ("feedstock.density",), times("feedstock.density", 10)),
    Fault("filament tenfold", ("feedstock.diameter",), times("feedstock.diameter", 10)),
    Fault("layer time in milliseconds", ("cooling.min_layer_time",), times("cooling.min_layer_time", 1000)),
    Fault("flow factor as a fraction", ("flow.factor",), times("flow.factor", 0.01)),
    Fault("infill density as a fraction", ("infill.density",), times("infill.density", 0.01)),
    Fault("fan 255", ("fan.max",), to({"fan.max": "255 %"})),
    Fault("pressure lead in milliseconds", ("flow.lead",), times("flow.lead", 1000)),
    # beads, layers
    Fault("layer above 0.9 of the bore", ("layer.height",), of_bore("layer.height", 0.95)),
    Fault("layer of a twenty-fifth of the bore", ("layer.height",), of_bore("layer.height", 0.04)),
    Fault("first layer of no height", ("layer.first",), to({"layer.first": "0 mm"})),
    Fault("first layer higher than the bore", ("layer.first",), of_bore("layer.first", 1.2)),
    Fault("outer wall half the bore", ("width.outer_wall",), of_bore("width.outer_wall", 0.5)),
    Fault("outer wall three bores wide", ("width.outer_wall",), of_bore("width.outer_wall", 3)),
    Fault("twice the bore", ("nozzle.diameter", "width.default", "width.outer_wall"), times("nozzle.diameter", 2)),
    Fault("outer wall overfed", ("flow.outer_wall",), to({"flow.outer_wall": "180 %"})),
    Fault("all underfed", ("flow.factor",), to({"flow.factor": "50 %"})),
    Fault("all overfed", ("flow.factor",), to({"flow.factor": "150 %"})),
    Fault("first layer underfed", ("flow.first_layer",), to({"flow.first_layer": "40 %"})),
    Fault("solid layers underfed", ("flow.solid",), to({"flow.solid": "40 %"})),
    Fault("top overfed", ("flow.top", "flow.factor"), to({"flow.top": "140 %"}, walled)),
    Fault(
        "varying layers crossed",
        ("layer.min", "layer.max"),
        to({"layer.adaptive": "true", "layer.min": "0.3 mm", "layer.max": "0.1 mm"}),
    ),
    Fault(
        "varying layers as thick as the bore",
        ("layer.max",),
        lambda s: {
            "layer.adaptive": "true",
            "layer.min": "0.05 mm",
            "layer.max": phrase(s.number("nozzle.diameter"), "layer.max"),
        },
    ),
    # shells and inside
    Fault("no walls", ("wall.count",), to({"wall.count": "0"}, walled)),
    Fault("walls said twice", ("wall.thickness", "wall.count"), to({"wall.thickness": "12 mm"}, walled)),
    Fault(
        "roof of one layer",
        ("cover.upper_layers",),
        to({"cover.upper_layers": "1", "cover.upper_thickness": ""}, sparse),
    ),
    Fault("infill away from the walls", ("infill.wall_reach",), to({"infill.wall_reach": "-60 %"}, sparse)),
    Fault("infill through the walls", ("infill.wall_reach",), to({"infill.wall_reach": "95 %"}, sparse)),
    Fault("infill every tenth layer", ("infill.stride",), to({"infill.stride": "10"}, sparse)),
    Fault("infill denser than full", ("infill.density",), to({"infill.density": "180 %"}, sparse)),
    Fault("spiral with walls, roof and infill", ("order.spiral",), to({"order.spiral": "true"}, walled)),
    Fault("spiral of three walls", ("wall.count", "order.spiral"), to({"wall.count": "3"}, spiral)),
    Fault("spiral with infill", ("infill.density", "order.spiral"), to({"infill.density": "20 %"}, spiral)),
    Fault("outlines 3 mm in", ("size.outline",), to({"size.outline": "-3 mm"})),
    Fault("holes 3 mm wider", ("size.hole",), to({"size.hole": "3 mm"})),
    Fault("foot 2 mm in", ("size.first_layer",), to({"size.first_layer": "-2 mm"})),
    Fault("foot 2 mm out", ("size.first_layer",), to({"size.first_layer": "2 mm"})),
    Fault(
        "smoothing at full flow",
        ("finish.smooth_flow",),
        to({"finish.smooth_flow": "100 %"}, lambda s: s.is_on("finish.smooth_top")),
    ),
    # motion and flow
    Fault(
        "acceleration three times the axis",
        ("acceleration.default",),
        put(("acceleration.default",), lambda s: 3 * weaker_axis(s)),
    ),
    Fault(
        "outer wall three times the axis",
        ("acceleration.outer_wall",),
        put(("acceleration.outer_wall",), lambda s: 3 * weaker_axis(s)),
    ),
    Fault(
        "corners 2 mm off",
        ("motion.corner_deviation",),
        to({"motion.corner_deviation": "2 mm"}, stated("motion.corner_deviation")),
    ),
    Fault("axis that swings at 1.5 Hz", ("motion.resonance_x",), to({"motion.resonance_x": "1.5 Hz"})),
    Fault("first layer at 200 mm/s", ("speed.first_layer",), to({"speed.first_layer": "200 mm/s"})),
    Fault("travel at a crawl", ("speed.travel",), to({"speed.travel": "8 mm/s"})),
    Fault("infill three times what melts", ("speed.infill",), infill_beyond_melt),
    Fault("cap three times what melts", ("speed.flow_cap", "speed.infill"), cap_beyond_melt),
    Fault(
        "filament that hardly melts",
        ("feedstock.melt_rate", "speed.infill", "speed.flow_cap", "speed.outer_wall"),
        to({"feedstock.melt_rate": "0.5 mm3/s"}),
    ),
    Fault("nozzle 1 mm too low", ("offset.z",), to({"offset.z": "-1 mm"})),
    Fault("nozzle 1 mm too high", ("offset.z",), to({"offset.z": "1 mm"})),
    # filament
    Fault("retraction tenfold", ("retract.length",), times("retract.length", 10)),
    Fault(
        "retraction of a remote feed with a direct one",
        ("retract.length",),
        to({"retract.length": "6.5 mm"}, lambda s: pulling(s) and s.text("feed.drive") == "direct"),
    ),
    Fault(
        "retraction of a direct feed with a remote one",
        ("retract.length",),
        to({"retract.length": "0.4 mm"}, lambda s: pulling(s) and s.text("feed.drive") == "remote"),
    ),
    Fault("2 mm pushed in excess", ("retract.overfeed",), to({"retract.overfeed": "2 mm"}, pulling)),
    Fault("hops of 20 mm", ("travel.hop",), to({"travel.hop": "20 mm"}, pulling)),
    Fault(
        "brass with abrasive filament",
        ("nozzle.material", "feedstock.abrasive"),
        to({"nozzle.material": "brass", "feedstock.abrasive": "true"}),
    ),
    Fault(
        "soft filament through a long guide",
        ("feed.drive", "feed.path_length"),
        to({"feed.drive": "remote", "feed.path_length": "600 mm"}, family(*SOFT)),
    ),
    Fault("soft filament in a hurry", ("speed.infill", "speed.default", "speed.outer_wall"), hurried),
    Fault(
        "family PLA on a hotter filament's card",
        ("feedstock.family", *HOT, *BED, "feedstock.max_nozzle"),
        to({"feedstock.family": "PLA"}, family(*CALM, "PCTG")),
    ),
    Fault(
        "family PEEK on a common card",
        ("feedstock.family", *HOT),
        to({"feedstock.family": "PEEK"}, family("PLA", "PETG", "ABS")),
    ),
    Fault(
        "name of another family",
        ("feedstock.name", "feedstock.family"),
        to({"feedstock.name": "Saltmarsh PETG"}, family("PLA", "ABS")),
    ),
    Fault(
        "glass transition in kelvin",
        ("feedstock.glass_transition",),
        lambda s: (
            turned(("feedstock.glass_transition",), 1, 273.15)(s) if window(s, "glass_transition", "high") else None
        ),
    ),
    # cooling
    Fault("least fan above most", ("fan.min", "fan.max"), to({"fan.min": "80 %", "fan.max": "20 %"})),
    Fault(
        "full fan where it splits the part",
        ("fan.max", "fan.min"),
        to({"fan.min": "100 %", "fan.max": "100 %"}, family(*CALM)),
    ),
    Fault(
        "no fan where it is needed", ("fan.max", "fan.min"), to({"fan.min": "0 %", "fan.max": "0 %"}, family(*COOLED))
    ),
    Fault(
        "bridges without a fan", ("fan.bridge",), to({"fan.bridge": "0 %"}, lambda s: walled(s) and family("PLA")(s))
    ),
    Fault(
        "slowed to five times the speed",
        ("cooling.slowest",),
        put(("cooling.slowest",), lambda s: 5 * s.number("speed.default")),
    ),
    Fault(
        "five minutes a layer", ("cooling.min_layer_time", "cooling.slowest"), to({"cooling.min_layer_time": "300 s"})
    ),
    # support, plate and tools
    Fault("support gap huge", ("support.gap_z",), to({"support.gap_z": "4 mm"}, supported)),
    Fault("support far aside", ("support.gap_xy",), to({"support.gap_xy": "10 mm"}, supported)),
    Fault("support everywhere", ("support.steepness",), to({"support.steepness": "5 °"}, supported)),
    Fault("support solid", ("support.density",), to({"support.density": "100 %"}, self_supported)),
    Fault("support welded on", ("support.gap_z",), to({"support.gap_z": "0 mm"}, self_supported)),
    Fault("support welded to the sides", ("support.gap_xy",), to({"support.gap_xy": "0 mm"}, self_supported)),
    Fault("support by a tool that is not there", ("support.tool",), to({"support.tool": "5"}, supported)),
    Fault("brim apart from the part", ("base.brim_setback",), to({"base.brim_setback": "3 mm"}, base("brim"))),
    Fault("raft welded on", ("base.raft_gap",), to({"base.raft_gap": "0 mm"}, base("raft"))),
    Fault("raft far below", ("base.raft_gap",), to({"base.raft_gap": "2 mm"}, base("raft"))),
    Fault("outline beyond the plate", ("envelope.outline",), outline),
    Fault("outline about another zero point", ("envelope.outline", "envelope.origin"), centred_outline),
    Fault("zero point elsewhere", ("envelope.origin", *START, *END), other_origin),
    Fault("primes where nothing may be", ("envelope.excluded", *START), kept_free),
)

"""The versioned lists of rules. An upgrade adds rules only to the next version, so it cannot silently fail somebody's
build.

One list of names, one place. A rule is the object RULE of its module; modules are loaded when the set is asked for.
"""

from __future__ import annotations

from convert.errors import UsageError
from convert.rules.rule import Rule

VERSION_1: dict[str, tuple[str, ...]] = {
    "slips": (
        "speed-per-minute",
        "speed-per-second",
        "retraction-per-second",
        "acceleration-in-metres",
        "length-in-microns",
        "length-in-inches",
        "fan-fraction",
        "fan-of-255",
        "share-fraction",
        "flow-fraction",
        "density-in-kilograms",
        "lead-in-milliseconds",
        "time-in-another-unit",
        "filament-three-millimetres",
        "shrinkage-fraction",
        "temperature-in-another-scale",
        "out-of-range",
    ),
    "geometry": (
        "envelope-missing",
        "envelope-odd",
        "kept-free-area",
        "offset-beyond-first-layer",
        "origin-against-outline",
        "outline-against-size",
        "outline-broken",
        "part-by-part-room",
        "resonance-odd",
        "round-bed",
        "tool-offset-beyond",
    ),
    "motion": (
        "acceleration-beyond-limit",
        "bridge-hasty",
        "corner-rules-both",
        "corner-too-fast",
        "corner-unslowed",
        "first-layer-faster",
        "first-layer-hasty",
        "jump-beyond-axis",
        "lift-speed-odd",
        "line-too-short",
        "outer-wall-faster",
        "ringing",
        "slowest-commanded",
        "speed-beyond-axis",
        "travel-slow",
    ),
    "heat": (
        "bed-above-glass",
        "bed-beyond-machine",
        "bed-drop",
        "bed-outside-window",
        "chamber-beyond-machine",
        "chamber-cold",
        "chamber-warm",
        "drying-hot",
        "heater-missing",
        "heater-power",
        "liner-limit",
        "liner-too-hot",
        "makers-window",
        "nozzle-below-melting",
        "nozzle-beyond-ceiling",
        "nozzle-beyond-hotend",
        "nozzle-cold-for-flow",
        "nozzle-outside-window",
        "nozzle-step",
        "standby-temperature",
        "ventilation",
    ),
    "flow": (
        "bore-choked",
        "cap-above-melt",
        "feed-acceleration-beyond",
        "feed-ramp-beyond",
        "feed-speed-beyond",
        "filament-diameter",
        "first-layer-flow",
        "flow-beyond-melt",
        "flow-factor-odd",
        "flow-product-odd",
        "flow-step",
        "lead-beyond-drive",
        "melt-stay",
        "speeds-not-reached",
    ),
    "bead": (
        "adaptive-range",
        "bead-aspect",
        "bead-strand",
        "bead-thin",
        "bead-wide",
        "bead-widths-apart",
        "beads-of-another-nozzle",
        "first-layer-squeeze",
        "first-layer-thick",
        "first-layer-thin",
        "layer-off-step",
        "layer-thick",
        "layer-thin",
        "name-against-nozzle",
    ),
    "shells": (
        "cover-open",
        "covers-twice-stated",
        "floor-thin",
        "grain-deep",
        "narrow-lost",
        "roof-over-sparse",
        "roof-thin",
        "seam-scattered",
        "smoothing-pass",
        "spiral-conflict",
        "walls-few",
        "walls-twice-stated",
    ),
    "infill": (
        "infill-crossing",
        "infill-dense",
        "infill-span",
        "infill-weak",
        "patches-solid",
        "solid-often",
        "stride-thick",
        "tie-length-odd",
        "wall-reach-odd",
    ),
    "retraction": (
        "drive-against-path",
        "hop-odd",
        "overfeed-odd",
        "pull-beyond-path",
        "retraction-below-slack",
        "retraction-empty",
        "retraction-grinds",
        "retraction-length",
        "retraction-not-reached",
        "retraction-off",
        "return-hasty",
        "shortest-travel-odd",
        "travel-costly",
        "wipe-odd",
    ),
    "cooling": (
        "extraction-strong",
        "fan-against-family",
        "fan-bridge-low",
        "fan-late",
        "fan-on-first-layer",
        "fan-range",
        "layer-time-missed",
        "layer-time-none",
        "quick-layer-late",
        "slowest-odd",
        "waiting-long",
    ),
    "support": (
        "base-empty",
        "brim-apart",
        "raft-welded",
        "skirt-touches",
        "support-density-odd",
        "support-far",
        "support-fused",
        "support-gap-uneven",
        "support-interface-thin",
        "support-side-gap",
        "support-steepness-odd",
        "warp-unaided",
    ),
    "dimensions": (
        "arcs-unknown",
        "foot-sign",
        "path-tolerance",
        "size-against-itself",
        "size-offset-large",
    ),
    "feedstock": (
        "abrasive-nozzle",
        "density-odd",
        "drying-weak",
        "filled-bore",
        "glass-odd",
        "name-against-family",
        "price-odd",
        "shrinkage-odd",
        "shrinkage-twice",
        "soft-flow",
        "soft-remote",
        "soft-retraction",
        "soluble-gap",
        "soluble-part",
        "surface-against-family",
        "temperatures-of-another-family",
    ),
    "tools": (
        "one-width-for-bores",
        "purge-missing",
        "purge-small",
        "purge-tower-odd",
        "support-tool-missing",
        "tool-list-length",
        "tool-offset-missing",
    ),
    "contradictions": (
        "idle-settings",
        "part-by-part-conflict",
        "ramp-without-start",
    ),
}
"""Group -> rules of version 1; a rule `a-b` of group g is convert/rules/g/a_b.py. Those on command code follow by
themselves.
"""

RULESETS = {1: VERSION_1}
LATEST = 1

_loaded: dict[int, tuple[Rule, ...]] = {}


def rules(version: int = LATEST) -> tuple[Rule, ...]:
    """All rules of a version, in the order of the list. UsageError for an unknown version."""
    if version not in RULESETS:
        raise UsageError(f"there is no rule set {version}", hint=f"there are {', '.join(str(v) for v in RULESETS)}")
    if version not in _loaded:
        from importlib import import_module

        from convert.rules.observed import RULES as ON_CODE

        _loaded[version] = ON_CODE + tuple(
            import_module(f"convert.rules.{group}.{code.replace('-', '_')}").RULE
            for group, codes in RULESETS[version].items()
            for code in codes
        )
    return _loaded[version]


def rule(code: str, version: int = LATEST) -> Rule:
    """One rule. UsageError with the closest codes."""
    from difflib import get_close_matches

    known = {one.code: one for one in rules(version)}
    if code in known:
        return known[code]
    close = get_close_matches(code, known, 3)
    raise UsageError(
        f"there is no rule {code[:60]!r}",
        hint=f"did you mean {', '.join(close)}?" if close else "'explain --list' names all",
    )


def group_of(code: str, version: int = LATEST) -> str:
    """The group a rule belongs to."""
    return next((group for group, codes in RULESETS[version].items() if code in codes), "code")

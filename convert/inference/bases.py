"""What a percent is of, where the file leaves one base only.

A sample rarely says what a percent is a percent of, and a wrong base is a wrong value. It is taken for settled where
nothing but one value is left to be the base, for hardly anybody writes a percent of a percent. A feature is a share of
the default of its family, when that stands in the file as a value, if it has no other customary base; or if that one is
a share itself, in a family of shares. Widths that are percents throughout can only be shares of the nozzle.
"""

from __future__ import annotations

from collections.abc import Mapping

from convert.inference.match import Pair

PLAIN = ("inner_wall", "infill")
"""Features that are customarily a share of the default; an outer wall may be one of the inner wall as well."""
RIVALS = {"outer_wall": ("inner_wall",), "solid": ("infill",), "top": ("solid",), "overhang": ("outer_wall",)}
"""What else a feature is customarily a share of. Where that is a share itself, only the default is left."""
THROUGHOUT = 4
"""Shares in a family from which it is taken to be written as shares of one base throughout."""


def is_share(pair: Pair) -> bool:
    """Whether the values are percents of another setting."""
    return any(name == "percent_of" for name, _ in pair.readings[0].relation)


def settled(setting: str, base: str, chosen: Mapping[str, Pair]) -> bool:
    """Whether nothing but `base` comes into question. chosen: setting -> pair, for all keys that are clear."""
    family, _, feature = setting.partition(".")
    if base not in chosen or is_share(chosen[base]):
        return False
    if family == "width":
        return all(is_share(pair) for name, pair in chosen.items() if name.startswith("width."))
    if base != f"{family}.default":
        return False
    rivals = [f"{family}.{other}" for other in RIVALS.get(feature, ())]
    shares = {name for name, pair in chosen.items() if name.startswith(f"{family}.") and is_share(pair)}
    return feature in PLAIN or (bool(rivals) and shares.issuperset(rivals) and len(shares) >= THROUGHOUT)

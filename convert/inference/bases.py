"""What a percent is of, where the file leaves one base only.

A sample rarely says what a percent is a percent of, and a wrong base is a wrong value. It is taken for settled in two
cases: a feature that has no customary base but the default of its family, when that default stands in the file as a
value; and widths that are percents throughout, which can only be shares of the nozzle, for nobody writes a percent of a
percent there.
"""

from __future__ import annotations

from collections.abc import Mapping

from convert.inference.match import Pair

PLAIN = ("inner_wall", "infill")
"""Features that are customarily a share of the default; an outer wall may be one of the inner wall as well."""


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
    return feature in PLAIN and base == f"{family}.default"

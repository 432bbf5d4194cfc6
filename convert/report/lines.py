"""A settings file as plain lines for git to compare: order, spacing, comments and units are gone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from convert.model.value import Value
from convert.report.values import spoken
from convert.report.visible import visible


def lines(
    name: str,
    scopes: tuple[str, ...],
    parents: Iterable[str],
    own: Mapping[str, Value],
    keys: Iterable[tuple[str, str]],
) -> list[str]:
    """One profile: what it says itself, sorted by id, a line each (command code a line for each of its own), then the
    keys that no table names.

    >>> from fractions import Fraction
    >>> for line in lines("fine", ("process",), ["base"], {"layer.height": Fraction(1, 5)}, [("lustre", "high")]):
    ...     print(line)
    [process] fine
    inherits from base
    layer.height = 0.2 mm
    (not understood) lustre = high
    """
    made = [visible(f"[{' '.join(scopes)}] {name}"), *(visible(f"inherits from {parent}") for parent in parents)]
    for setting in sorted(own):
        first, *more = spoken(own[setting], setting).split("\n")
        made.append(visible(f"{setting} = {first}"))
        made += [visible(f"{setting} | {line}") for line in more]
    return made + [visible(f"(not understood) {key} = {text}") for key, text in sorted(keys)]

"""What the rules on heat share: the temperatures a setup asks for, and ratings that they are held against."""

from __future__ import annotations

from collections.abc import Iterator
from math import isfinite

from convert.rules.finding import Finding, Repair, graded, margin_above
from convert.rules.setup import Missing, Setup
from convert.rules.words import down, num

NOZZLE = ("heat.nozzle", "heat.nozzle_first")
BED = ("heat.bed", "heat.bed_first")
CHAMBER = ("heat.chamber",)

WORDS = {
    "heat.nozzle": "the nozzle",
    "heat.nozzle_first": "the nozzle on the first layer",
    "heat.bed": "the bed",
    "heat.bed_first": "the bed on the first layer",
    "heat.chamber": "the chamber",
}


def temperatures(setup: Setup, names: tuple[str, ...]) -> dict[str, float]:
    """The stated ones above 0, hottest first. Missing where none is stated; empty where all are off."""
    found = {name: value for name in names if (value := setup.get(name)) is not None and isfinite(value)}
    if not found:
        raise Missing(names[0])
    return {name: value for name, value in sorted(found.items(), key=lambda item: -item[1]) if value > 0}


def lowered(found: dict[str, float], limit: float) -> tuple[Repair, ...]:
    """Repairs that take every temperature beyond a limit down to it."""
    return tuple(Repair(name, down(limit, 1, "°C")) for name, value in found.items() if value > limit)


def beyond_rating(setup: Setup, code: str, names: tuple[str, ...], rating: str, source: str) -> Iterator[Finding]:
    """A heated part that is asked for more than its rating: the print fails, and far beyond it there may be a fire."""
    for name, value in list(temperatures(setup, names).items())[:1]:
        most = setup.number(rating)
        margin = margin_above(value, most)
        severity = graded(margin, (0.0, "fails"), (-setup.limit("hot.beyond_rating"), "hurts"))
        if severity is None:
            return
        harm = severity == "hurts"
        ends = "it may catch fire if nothing stops it" if harm else "the controller stops the print, or the part wears"
        yield Finding(
            rule=code,
            severity=severity,
            settings=(name, rating),
            says=f"{num(value)} °C is asked of {WORDS[name]}, which is rated to {num(most)} °C: {ends}.",
            value=value,
            limit=most,
            unit="Cel",
            margin=margin,
            source=source,
            repair=lowered(temperatures(setup, names), most),
            signal="WARNING" if harm else None,
            precaution="Stay within the rating of every heated part, and leave its maximum in the controller as it is."
            if harm
            else "",
        )

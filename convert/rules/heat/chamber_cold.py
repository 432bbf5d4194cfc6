"""A polymer that warps in a cold chamber, and no warm one."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, margin_below
from convert.rules.laid import ends, support_tool
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num, up

SOURCE = "common practice (windows of families)"
HIGH = 70.0
"""Families that need this much of a chamber cannot do without."""


def check(setup: Setup) -> Iterator[Finding]:
    least = ends(setup, "chamber")[0]
    room = setup.limit("chamber.room")
    if least is None or least <= room + 15 or support_tool(setup):
        return
    heated = setup.value("chamber.heated")
    value = setup.get("heat.chamber")
    if value is None and heated is not False:
        value = setup.number("heat.chamber")
    warm = max(value or 0.0, room)
    if warm >= least:
        return
    family = setup.word("feedstock.family")
    lacking = (least - warm) / (least - room)
    severity = "note"
    if lacking > 0.5 and heated is not False:
        severity = "spoils" if least >= HIGH else "differs"
    elif lacking > 0.5 and least >= HIGH:
        severity = "differs"
    has = "the machine has no chamber heater" if heated is False else f"the chamber is at {num(warm)} °C"
    if heated is not False and not value:
        has = "the chamber heater is off"
    most = setup.get("chamber.max_temperature")
    repair = (Repair("heat.chamber", up(least, 1, "°C")),) if heated and (most is None or most >= least) else ()
    yield Finding(
        rule="chamber-cold",
        severity=severity,
        settings=("heat.chamber", "chamber.heated", "feedstock.family"),
        says=f"Large parts of {family} warp and crack between layers: {has}, and {num(least)} °C is usual.",
        value=warm,
        limit=least,
        unit="Cel",
        margin=margin_below(warm, least),
        source=SOURCE,
        repair=repair,
    )


RULE = Rule(
    code="chamber-cold",
    question="Is the chamber warm enough for a polymer that warps?",
    needs=("heat.chamber", "chamber.heated", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "ASA", "chamber.heated": "true", "heat.chamber": "55 °C"},
    bad={"feedstock.family": "ASA", "chamber.heated": "true", "heat.chamber": "off"},
    severity="differs",
)

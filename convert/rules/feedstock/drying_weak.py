"""A polymer that takes up water, and drying that is not stated or hardly dries it."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, margin_below
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "suppliers' drying tables and common practice, as the polymer table marks them"
THIRSTY = 3


def check(setup: Setup) -> Iterator[Finding]:
    if (ends(setup, "moisture")[0] or 0) < THIRSTY:
        return
    family = setup.word("feedstock.family")
    name = "feedstock.drying_temperature"
    asked, least = setup.get(name), ends(setup, "drying_temperature")[0]
    effect = f"Damp {family} foams, strings and comes out weak"
    if asked is None:
        how = f", at {num(least)} °C for instance" if least is not None else ""
        says = f"{effect}, and the card says nothing of drying it{how}."
        yield Finding("drying-weak", "note", (name, "feedstock.family"), says, source=SOURCE)
        return
    if least is not None:
        least -= setup.limit("drying.cool")
        if asked < least:
            says = f"{effect}: {num(asked)} °C hardly dries it."
            margin = margin_below(asked, least)
            yield Finding("drying-weak", "note", (name, "feedstock.family"), says, asked, least, "Cel", margin, SOURCE)
    hours, enough = setup.get("feedstock.drying_time"), ends(setup, "drying_time")[0]
    if hours is not None and enough is not None:
        enough *= setup.limit("drying.short")
        if hours < enough:
            says = f"{effect}: {num(hours)} h hardly dry it."
            names = ("feedstock.drying_time", "feedstock.family")
            margin = margin_below(hours, enough)
            yield Finding("drying-weak", "note", names, says, hours, enough, "h", margin, SOURCE)


RULE = Rule(
    code="drying-weak",
    question="Is a polymer that takes up water dried?",
    needs=("feedstock.family", "feedstock.drying_temperature", "feedstock.drying_time"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PA", "feedstock.drying_temperature": "80 °C", "feedstock.drying_time": "6 h"},
    bad={"feedstock.family": "PA", "feedstock.drying_temperature": "45 °C", "feedstock.drying_time": "1 h"},
    severity="note",
)

"""A pressure lead that stands in milliseconds where seconds are meant, or was taken so."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.slips._slip import SOURCE, mistaken, slip

CLASSES = {"lead": ("flow.lead",), "smoothing": ("flow.lead_smoothing",)}


def check(setup: Setup) -> Iterator[Finding]:
    long = mistaken(setup, CLASSES, lambda value: value / 1000, upwards=True)
    if long:
        says = "The feed gear is sent far ahead of the print and grinds the filament"
        yield slip("lead-in-milliseconds", "fails", long, says, "written in ms")
    short = mistaken(setup, CLASSES, lambda value: value * 1000, upwards=False)
    if short:
        says = "The pressure lead does nothing: corners bulge and lines start thin"
        yield slip("lead-in-milliseconds", "differs", short, says, "that was taken as ms")


RULE = Rule(
    code="lead-in-milliseconds",
    question="Is the pressure lead in seconds, or does it stand in milliseconds?",
    needs=("flow.lead", "flow.lead_smoothing"),
    source=SOURCE,
    check=check,
    good={"flow.lead": "1.4 s", "flow.lead_smoothing": "0.04 s"},
    bad={"flow.lead": "35 s"},
    severity="fails",
    explains=("*",),
    formula="1 s = 1000 ms",
)

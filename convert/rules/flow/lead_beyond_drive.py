"""A pressure lead of the other kind of drive."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair, graded, margin_above, margin_below
from convert.rules.laid import finite
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"


def check(setup: Setup) -> Iterator[Finding]:
    lead, drive = finite(setup, "flow.lead"), setup.word("feed.drive")
    if lead <= 0:
        return
    most = setup.limit(f"lead.{drive}.max")
    if drive == "direct" and setup.text("feedstock.family") in ("TPU", "TPE"):
        most *= 2  # soft filament gives way more
    margin = margin_above(lead, most)
    severity = graded(margin, (0.0, "differs"), (-0.5, "spoils"), (-4.0, "fails"))
    place = "on the head" if drive == "direct" else "behind a long guide"
    if severity:
        yield Finding(
            rule="lead-beyond-drive",
            severity=severity,
            settings=("flow.lead", "feed.drive"),
            says=f"Lines begin thick and end thin, and the gear may grind: a pressure lead of {num(lead)} s is more "
            f"than the {num(most)} s that a drive {place} takes.",
            value=lead,
            limit=most,
            unit="s",
            margin=margin,
            source=SOURCE,
            repair=(Repair("flow.lead", exact(most, "s")),),
        )
    elif drive == "remote" and lead < setup.limit("lead.remote.low"):
        least = setup.limit("lead.remote.low")
        yield Finding(
            rule="lead-beyond-drive",
            severity="note",
            settings=("flow.lead", "feed.drive"),
            says=f"Corners still bulge: a pressure lead of {num(lead)} s is that of a drive on the head.",
            value=lead,
            limit=least,
            unit="s",
            margin=margin_below(lead, least),
            source=SOURCE,
        )


RULE = Rule(
    code="lead-beyond-drive",
    question="Does the pressure lead suit the drive?",
    needs=("flow.lead", "feed.drive"),
    source=SOURCE,
    check=check,
    good={"flow.lead": "0.6 s", "feed.drive": "remote"},
    bad={"flow.lead": "0.6 s", "feed.drive": "direct"},
    severity="spoils",
    explains=("feed-ramp-beyond",),
)

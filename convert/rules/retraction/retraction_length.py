"""A retraction that does not fit the way from the feed gear to the nozzle."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.retraction._pull import SOFT, ordinal, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import exact, num

SOURCE = "common practice"
LONG = {"direct": ((0.0, "differs"), (-0.5, "spoils"), (-4.0, "fails")), "remote": ((0.0, "differs"), (-0.5, "spoils"))}
SHORT = {"direct": ((0.0, "note"),), "remote": ((0.0, "note"), (-0.25, "differs"))}
DRIVES = {"direct": "with the drive on the head", "remote": "through a long guide"}


def check(setup: Setup) -> Iterator[Finding]:
    if not pulls(setup) or setup.text("feedstock.family") in SOFT:
        return
    length = setup.number("retract.length")
    drive = setup.word("feed.drive")
    if not length > 0:
        return
    least, most = setup.limit(f"retraction.{drive}.low"), setup.limit(f"retraction.{drive}.high")
    names = ("retract.length", "feed.drive")
    what = f"{num(length)} mm{ordinal(setup, 'retract.length')} {DRIVES[drive]}"
    says = (
        f"The nozzle may clog: {what} draws soft plastic up into the cold part, where {num(most)} mm is the most that "
        "is usual."
    )
    repair = (Repair("retract.length", exact(most, "mm")),)
    yield from above("retraction-length", names, length, most, "mm", LONG[drive], says, SOURCE, repair)
    says = f"Strings are to be expected: {what} is little, where {num(least)} mm is the least that is usual."
    repair = (Repair("retract.length", exact(least, "mm")),)
    yield from below("retraction-length", names, length, least, "mm", SHORT[drive], says, SOURCE, repair)


RULE = Rule(
    code="retraction-length",
    question="Does the retraction fit the way from the feed gear to the nozzle?",
    needs=("retract.enabled", "retract.length", "feed.drive", "feedstock.family"),
    source=SOURCE,
    check=check,
    good={"retract.length": "0.6 mm", "feed.drive": "direct"},
    bad={"retract.length": "5 mm", "feed.drive": "direct"},
    severity="spoils",
)

"""A kind of drive that the length of the guide belies."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, below
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "differs"),)


def check(setup: Setup) -> Iterator[Finding]:
    drive, path = setup.text("feed.drive"), setup.get("feed.path_length")
    if not drive or not path:
        return
    names = ("feed.drive", "feed.path_length")
    if drive == "direct":
        most = setup.limit("feed.path.direct")
        says = (
            "Retraction and pressure lead may be a long guide's: the drive is said to sit on the head, and the "
            "filament's "
            f"way to the nozzle is {num(path)} mm."
        )
        repair = (Repair("feed.drive", "remote"),)
        yield from above("drive-against-path", names, path, most, "mm", STEPS, says, SOURCE, repair)
    else:
        least = setup.limit("feed.path.remote")
        says = (
            f"Retraction and pressure lead may be a short way's: the drive is said to sit apart from the head, and the "
            f"filament's way to the nozzle is {num(path)} mm."
        )
        repair = (Repair("feed.drive", "direct"),)
        yield from below("drive-against-path", names, path, least, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="drive-against-path",
    question="Does the length of the guide fit the kind of drive?",
    needs=("feed.drive", "feed.path_length"),
    source=SOURCE,
    check=check,
    good={"feed.drive": "direct", "feed.path_length": "62 mm"},
    bad={"feed.drive": "direct", "feed.path_length": "540 mm"},
    severity="differs",
)

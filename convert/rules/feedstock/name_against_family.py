"""A filament whose name speaks of another polymer than its family."""

from __future__ import annotations

from collections.abc import Iterator

from convert.model.setting import SETTINGS
from convert.rules.finding import Finding
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import listed

SOURCE = "derived: the name against the family"
SYNONYMS = {"NYLON": "PA", "PA6": "PA", "PA66": "PA", "PA12": "PA", "PLA+": "PLA", "PET": "PETG"}
SHORT = ("PE", "PP", "PC")
"""Two letters are as likely a maker's own; they count only where they stand alone in capitals."""


def check(setup: Setup) -> Iterator[Finding]:
    import re

    family = setup.word("feedstock.family")
    text = setup.text("feedstock.name")[:200]
    known = {name for name in SETTINGS["feedstock.family"].choices if name != "other"}
    said = set()
    for word in re.split(r"[^A-Za-z0-9+]+", text):
        name = SYNONYMS.get(word.upper(), word.upper())
        if name in known and (name not in SHORT or word.isupper()):
            said.add(name)
    if not said or family == "other" or any(_kin(name, family) for name in said):
        return
    yield Finding(
        rule="name-against-family",
        severity="differs",
        settings=("feedstock.family", "feedstock.name"),
        says=f"This may be the wrong file: {text!r} speaks of {listed(sorted(said))}, and the family is {family}.",
        source=SOURCE,
    )


def _kin(one: str, other: str) -> bool:
    """Whether two families are of one polymer, filled or not; PET and PETG are named for each other."""
    same = {one.split("-")[0], other.split("-")[0]}
    return len(same) == 1 or same <= {"PET", "PETG", "PCTG"} or same <= {"TPU", "TPE"}


RULE = Rule(
    code="name-against-family",
    question="Does the filament's name speak of its family?",
    needs=("feedstock.family", "feedstock.name"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PETG-filled", "feedstock.name": "Corvane Flint PETG"},
    bad={"feedstock.family": "PLA", "feedstock.name": "Harbour PETG blue"},
    severity="differs",
)

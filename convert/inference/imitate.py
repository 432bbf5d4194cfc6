"""Writing in the shape of a sample: the sample's own bytes, with the values replaced that the source states.

Nothing is added that the table has no key for, and what the source does not state stays as the sample has it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from convert.dialects import conversion as conversions
from convert.dialects.accounting import account
from convert.dialects.beads import TWINS
from convert.dialects.conversion import Conversion, OutputFile
from convert.dialects.fates import CARRIED, DROPPED
from convert.dialects.inherit import Family, Origins
from convert.dialects.ledger import Side
from convert.dialects.plan import Item, Plan, base_name
from convert.dialects.reader import FileReading, Reading
from convert.errors import Location, NothingDone, OutputError, Problem, UsageError
from convert.model.profile import Profile
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Value

LEFT = "left as in the sample"


@dataclass(slots=True)
class Imitation:
    """A conversion into samples: what was left as it stood there, and what had no place."""

    conversion: Conversion
    left: int = 0
    homeless: list[str] = field(default_factory=list)


def imitate(family: Family, readings: Sequence[Reading], samples: Sequence[FileReading]) -> Imitation:
    """Bring the setup that `readings` form into the sample files (resolved, all of one dialect).

    NothingDone without a profile on either side; UsageError where a scope has several profiles to choose from.
    """
    source, profiles = _setup(readings)
    targets = _targets(samples, profiles)
    if not targets:
        raise NothingDone("the sample has no profile that the source could go into", hint="give another sample")
    result = Conversion()
    result.ledger.source = Side(", ".join(sorted({r.table.dialect for r in readings})), [f.path for f in family.files])
    result.ledger.target.dialect = samples[0].table.dialect
    done = []
    for file in samples:
        items = [
            Item(reading.name, reading.scopes, _wanted(reading, source), profiles, source, reading=reading)
            for reading in targets
            if reading.file is file
        ]
        one = Plan(base_name(file.path), items, file)
        try:
            tree = conversions.put(one, file) if items else file.tree
            back = conversions._read_back(one, tree, file.table, result)
        except OutputError as error:
            result.problems.append(Problem(error.says, error.where or Location(one.name), error.hint))
            continue
        result.files.append(OutputFile(one.name, tree.source.data))
        result.ledger.target.files.append(one.name)
        done.append((one, back))
    account(family, done, result.ledger)
    return _told(Imitation(result), source, [item for one, _ in done for item in one.items])


def _setup(readings: Sequence[Reading]) -> tuple[dict[str, Value], list[Profile]]:
    """The values of the one setup that the profiles form; parents speak through their children."""
    live = [reading for reading in readings if reading.profile is not None]
    parents = {
        id(ancestor)
        for reading in live
        if reading.profile is not None and isinstance(reading.profile.origins, Origins)
        for ancestor in reading.profile.origins.chain[1:]
    }
    live = [reading for reading in live if id(reading) not in parents] or live
    if not live:
        raise NothingDone("there is nothing to convert", hint="give files of a known dialect, or samples of one")
    values: dict[str, Value] = {}
    owner: dict[str, Reading] = {}
    for reading in live:
        for scope in reading.scopes:
            if scope in owner:
                names = ", ".join(sorted({owner[scope].name, reading.name}))
                raise UsageError(f"several {scope} profiles: {names}", hint="pick one with --profile NAME")
            owner[scope] = reading
        assert reading.profile is not None
        values.update(reading.profile.settings)
    return values, [reading.profile for reading in live if reading.profile is not None]


def _targets(samples: Sequence[FileReading], profiles: Sequence[Profile]) -> list[Reading]:
    """The sample's profiles that are written: of each scope the one of the source's name, else the first child."""
    everything = [r for file in samples for r in file.readings if r.profile is not None]
    parents = {
        id(ancestor)
        for reading in everything
        if reading.profile is not None and isinstance(reading.profile.origins, Origins)
        for ancestor in reading.profile.origins.chain[1:]
    }
    names = {profile.name for profile in profiles}
    scopes = {scope for profile in profiles for scope in profile.scopes}
    chosen: list[Reading] = []
    for scope in SCOPES:
        mine = [reading for reading in everything if scope in reading.scopes]
        if scope not in scopes or not mine or any(one is other for one in chosen for other in mine):
            continue
        mine.sort(key=lambda reading: (reading.name not in names, id(reading) in parents))
        chosen.append(mine[0])
    return chosen


def _wanted(reading: Reading, source: Mapping[str, Value]) -> dict[str, Value]:
    """The source's values, and the sample's own where the source says nothing."""
    values = {
        name: value
        for name, value in reading.own.items()
        if not (name not in source and TWINS.get(name) in source and TWINS[name] not in reading.table.by_setting)
    }
    values.update((name, value) for name, value in source.items() if SETTINGS[name].scope in reading.scopes)
    return values


def _told(made: Imitation, source: Mapping[str, Value], items: Sequence[Item]) -> Imitation:
    """Mark what stayed as in the sample, and name what the sample has no place for."""
    ledger = made.conversion.ledger
    for at, entry in enumerate(ledger.entries):
        if entry.side != "target":
            continue
        named = (entry.setting,) if isinstance(entry.setting, str) else entry.setting or ()
        if not any(name in source or TWINS.get(name) in source for name in named):
            made.left += 1
            if named or entry.fate == CARRIED:
                ledger.entries[at] = entry._replace(fate=CARRIED, says=LEFT, before=None)
    said = {
        name for item in items if item.said for name, outcome in item.said.outcomes.items() if outcome.fate != DROPPED
    }
    made.homeless = [name for name in source if name not in said]
    return made

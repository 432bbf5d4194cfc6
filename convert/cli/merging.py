"""Brings a three-way merge into the files of OURS: every byte that says nothing else stays.

Three versions of one dialect are compared as each profile says it itself, and the keys that no table names word for
word. Across dialects the base is first said in the dialect of each side: what a dialect rounds, drops or states as a
number in the place of a relation is then in the base too, and nobody's change.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from convert.api import Inputs, Session, judged
from convert.changes.equality import same_resolved
from convert.changes.merge import Decision, apply, interactions, merge_settings
from convert.cli.mergekeys import loose_settings, merge_keys, put_keys
from convert.cli.versions import Base, Match, find, resolved
from convert.dialects.beads import TWINS
from convert.dialects.conversion import OutputFile
from convert.dialects.inherit import Family, Origins, around
from convert.dialects.plan import base_name
from convert.dialects.reader import FileReading, Reading
from convert.errors import BeadwiseError, Location, NothingDone, OutputError
from convert.model.profile import Profile, equal_values
from convert.model.resolve import bases, resolve
from convert.model.value import Value
from convert.report.merge import Merge, ProfileMerge
from convert.report.values import spoken
from convert.text.source import Source


@dataclass(frozen=True, slots=True)
class Check:
    """What is to be found in the merged file; `own` is what OURS said itself before."""

    profile: ProfileMerge
    theirs: Match
    alike: bool
    own: Mapping[str, Value]


def merge_inputs(
    session: Session, base: Inputs, ours: Inputs, theirs: Inputs, beside: Sequence[Profile] = ()
) -> tuple[Merge, list[OutputFile]]:
    """Merge what was read; the files of OURS with what THEIRS changed. `beside` are profiles that all three use.

    Raises OutputError where a merged file would not read back, NothingDone where nothing belongs together.
    """
    root = Base(session, base, {name: value for one in reversed(beside) for name, value in one.settings.items()})
    merge = Merge()
    made: list[OutputFile] = []
    paired: set[int] = set()
    after: list[FileReading] = []
    before = [replace(one, settings=dict(one.settings)) for one in judged(ours)]  # merging changes the profiles of OURS
    checks: list[Check] = []
    for file in [file for file in ours.family.files if file.requested]:
        data, done = _merge_file(session, root, ours, theirs, file, merge, paired, checks)
        made.append(OutputFile(base_name(file.path), data))
        after.append(done)
    if not merge.profiles:
        raise NothingDone("no profile of OURS is in THEIRS", hint="profiles belong together by kind and name")
    made += _new_files(base, ours, theirs, merge, paired)
    result = _reread(ours, after)
    _check(merge, checks, result)
    decisions = [one for profile in merge.profiles for one in profile.decisions]
    if {"ours", "theirs"} <= {one.take for one in decisions} | ({"ours"} if merge.takes("conflict") else set()):
        merge.interactions = interactions(
            [*before, *beside], [*judged(theirs), *beside], [*judged(result), *beside], decisions
        )
    return merge, made


def _merge_file(
    session: Session,
    root: Base,
    ours: Inputs,
    theirs: Inputs,
    file: FileReading,
    merge: Merge,
    paired: set[int],
    checks: list[Check],
) -> tuple[bytes, FileReading]:
    dialect = file.table.dialect
    base = root.said_in(dialect)
    native = base is root.inputs
    readings = [one for one in file.readings if any(one is other for other in ours.readings)]
    partner: tuple[FileReading, FileReading | None] | None = None
    gone: list[str] = []
    for reading in readings:
        profile = reading.profile
        assert profile is not None
        yours, was = find(profile, theirs, ours), find(profile, base, ours)
        if yours is None:
            if was is not None and any(one.table.dialect == dialect for one in theirs.readings):
                gone.append(f"{reading.label}: THEIRS no longer has the profile {profile.name!r}; OURS keeps it")
            continue
        there = yours.reading
        if there is not None:
            paired.add(id(there))
        alike = (
            native and there is not None and there.table.dialect == dialect and (was is None or was.reading is not None)
        )
        if there is not None and alike:
            before = was.reading if was is not None else None
            partner = partner or (there.file, before.file if before is not None else None)
            aside = loose_settings(reading, there, before)
            decisions = merge_settings(before.own if before is not None else {}, reading.own, there.own, None, aside)
        else:
            said = root.behind(yours, profile)
            if base.readings and (said is None or was is None):
                merge.lost.append(f"{reading.label}: BASE has no profile that {profile.name!r} can be compared with")
                continue
            decisions = merge_settings(
                was.meant if was is not None else {},
                profile.settings,
                yours.meant,
                said.meant if said is not None else {},
                _twins(was, yours),
            )
        known = {**root.beside, **(was.around if was is not None else around(profile, ours.profiles))}
        one = ProfileMerge(profile.name, profile.scopes, decisions, {}, known, _derived(was))
        merge.profiles.append(one)
        checks.append(Check(one, yours, alike, dict(reading.own)))
        _assign(reading, decisions, alike)
    data, done = _written(session, ours, file, readings, merge, partner)
    if partner is None or data != partner[0].tree.source.data:
        merge.lost += gone
    return data, done


def _written(
    session: Session,
    ours: Inputs,
    file: FileReading,
    readings: list[Reading],
    merge: Merge,
    partner: tuple[FileReading, FileReading | None] | None,
) -> tuple[bytes, FileReading]:
    """The bytes of the merged file, and the file read again."""
    data = file.tree.source.data
    if partner is not None:
        yours, was = partner
        if was is not None and was.tree.source.data == data:
            # OURS changed nothing, its comments and order included.
            merge.keys += merge_keys(was, file, yours)[0]
            data = yours.tree.source.data
            return data, _parsed(session, data, file)
        if was is not None and was.tree.source.data == yours.tree.source.data:
            merge.keys += merge_keys(was, file, yours)[0]
            return data, _parsed(session, data, file)
    if any(one.take == "theirs" for profile in merge.profiles for one in profile.decisions):
        conversion = session.edit(Inputs(family=ours.family, readings=readings), {})
        mine = [made for made in conversion.files if made.name == file.path]
        if not mine:
            problem = conversion.problems[0] if conversion.problems else None
            raise OutputError(problem.says if problem else "the merged file cannot be written", Location(file.path))
        data = mine[0].data
    if partner is None:
        return data, _parsed(session, data, file)
    keys, changes = merge_keys(partner[1], file, partner[0])
    merge.keys += keys
    now = _parsed(session, data, file)
    if changes:
        data = put_keys(now.tree, changes, partner[0].tree).source.data
        now = _parsed(session, data, file)
    return data, now


def _parsed(session: Session, data: bytes, file: FileReading) -> FileReading:
    found = session.file(Source.from_bytes(data, file.path), file.table.dialect)
    assert isinstance(found, FileReading)
    return found


def _reread(ours: Inputs, after: Sequence[FileReading]) -> Inputs:
    """The merged files as a family of their own; parents that nobody asked to merge are looked up again."""
    return resolved(Inputs(family=Family(opener=ours.family.opener)), after)


def _twins(was: Match | None, yours: Match) -> set[str]:
    """Counts and thicknesses that only one of two dialects states: the one that both know tells of the change."""
    if was is None:
        return set()
    return {
        name
        for name, twin in TWINS.items()
        if (name in was.meant) != (name in yours.meant) and twin in was.meant and twin in yours.meant
    }


def _derived(match: Match | None) -> frozenset[str]:
    """Counts that nobody stated."""
    leaves = match.leaves if match is not None else ()
    return frozenset(name for leaf in leaves if isinstance(leaf.origins, Origins) for name in leaf.origins.derived)


def _assign(reading: Reading, decisions: Sequence[Decision], alike: bool) -> None:
    """Put what THEIRS changed into a profile of OURS."""
    assert reading.profile is not None
    settings = reading.profile.settings
    merged = apply(settings, decisions)
    settings.clear()
    settings.update(merged)
    derived = reading.profile.origins.derived if isinstance(reading.profile.origins, Origins) else {}
    if alike:  # both say it in one dialect: what it makes of that is nobody's statement
        for name in derived:
            settings.pop(name, None)
        return
    taken = {one.setting for one in decisions if one.take == "theirs"}
    for name in taken:
        if TWINS.get(name) in derived and TWINS[name] not in taken:
            settings.pop(TWINS[name], None)
    for one in decisions:
        if one.take == "theirs" and one.setting not in reading.table.by_setting and one.theirs is not None:
            settings.pop(TWINS.get(one.setting, ""), None)


# ---- what came of it


def _check(merge: Merge, checks: Sequence[Check], result: Inputs) -> None:
    """Compare what the merged files say with what was to be taken from THEIRS; what differs is refused."""
    for check in checks:
        one, yours, alike = check.profile, check.theirs, check.alike
        found = next(
            (r for r in result.readings if r.name == one.name and r.profile and r.profile.scopes == one.scopes), None
        ) or next((r for r in result.readings if r.profile and r.profile.scopes == one.scopes), None)
        if found is None or found.profile is None:
            raise OutputError(f"the merged file would not be read as before: {one.name!r} is gone")
        known = around(found.profile, result.profiles)
        taken = [d for d in one.decisions if d.take == "theirs"]
        wrong = [d.setting for d in taken if not _holds(d, found, alike, known, yours)]
        for name in wrong:
            twin = TWINS.get(name, "")
            if name not in found.table.by_setting and any(d.setting == twin for d in taken) and twin not in wrong:
                continue
            lacks = "has no key for it" if name not in found.table.by_setting else "cannot say this value"
            one.refused[name] = f"{found.table.dialect} {lacks}, so the change of THEIRS is not in the merged file"
        merge.notes += _followers(check, found, known, {d.setting for d in taken})


def _followers(check: Check, found: Reading, known: Mapping[str, Value], taken: set[str]) -> Iterator[str]:
    """What changed along with the changes, although nobody changed it: worth knowing."""
    one = check.profile
    for name, value in found.own.items():
        if name in taken or name not in check.own:
            continue
        if not equal_values(value, check.own[name]):
            before, after = spoken(check.own[name], name), spoken(value, name)
            yield f"{one.name}: {name} follows, {before} -> {after}, so that the count behind it stays"
        elif not check.alike and not taken.isdisjoint(bases(value)) and not bases(check.theirs.meant.get(name, value)):
            here, there = _resolved(known, name), _resolved(check.theirs.around, name)
            if here is not None and there is not None and not same_resolved(name, here, there):
                says, theirs = spoken(value, name), spoken(there, name)
                yield f"{one.name}: {name} stays {says}, which is {spoken(here, name)} now; THEIRS has {theirs}"


def _resolved(known: Mapping[str, Value], name: str) -> Value | None:
    try:
        return resolve(known, name)
    except BeadwiseError:
        return None


def _holds(one: Decision, found: Reading, alike: bool, known: Mapping[str, Value], yours: Match) -> bool:
    assert found.profile is not None
    now = found.own.get(one.setting) if alike else found.profile.settings.get(one.setting)
    if equal_values(now, one.theirs):
        return True
    if alike:
        return False
    if one.theirs is None:
        return one.setting not in found.own
    here, there = _resolved(known, one.setting), _resolved(yours.around, one.setting)
    return here is not None and there is not None and same_resolved(one.setting, here, there)


def _new_files(base: Inputs, ours: Inputs, theirs: Inputs, merge: Merge, paired: set[int]) -> list[OutputFile]:
    """Profiles that only THEIRS has: whole files are taken as they are, the rest is told."""
    made = []
    taken = {base_name(file.path) for file in ours.family.files if file.requested}
    added = {one.key for one in merge.keys if one.take == "theirs"}
    for file in [file for file in theirs.family.files if file.requested]:
        single = [one for one in file.readings if any(one is other for other in theirs.readings)]
        new = [one for one in single if id(one) not in paired and one.profile is not None]
        lone = [
            one
            for one in new
            if one.profile is not None
            and not any(p.scopes == one.profile.scopes and p.name == one.name for p in base.profiles + ours.profiles)
        ]
        same_dialect = any(one.table.dialect == file.table.dialect for one in ours.readings)
        if not lone or not same_dialect:
            continue
        if len(lone) == len(single) and base_name(file.path) not in taken and len(theirs.family.files) > 1:
            made.append(OutputFile(base_name(file.path), file.tree.source.data))
            continue
        for one in lone:
            if not {record.key for record in one.records} <= added:
                merge.lost.append(
                    f"{one.label}: only THEIRS has the profile {one.name!r}; it is not in the merged file"
                )
    return made

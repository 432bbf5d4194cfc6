"""Finds, for a profile of OURS, what BASE and THEIRS say about it, whatever their dialects and however they are cut."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from convert import files
from convert.api import Inputs, Session, judged
from convert.dialects.inherit import Family, around, read_sources
from convert.dialects.reader import FileReading, Reading
from convert.errors import InputError, Location, OutputError
from convert.model.profile import Profile
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.text.limits import LIMITS
from convert.text.source import Source


@dataclass(frozen=True, slots=True)
class Match:
    """What one version says about a profile. `reading` is None where it is put together from `leaves`."""

    meant: Mapping[str, Value]
    around: Mapping[str, Value]
    leaves: tuple[Profile, ...]
    dialect: str
    reading: Reading | None = None


@dataclass(slots=True)
class Base:
    """The common base, as it was read, and as each side's dialect says it (made when it is asked for).

    `beside` is what the files say that all three use.
    """

    session: Session
    inputs: Inputs
    beside: Mapping[str, Value] = field(default_factory=dict)
    projected: dict[str, Inputs] = field(default_factory=dict)

    def said_in(self, dialect: str) -> Inputs:
        """The base in a dialect: as it was read where it is that dialect's, else converted and read back."""
        base = self.inputs
        if not base.readings or all(one.table.dialect == dialect for one in base.readings):
            return base
        if dialect not in self.projected:
            conversion = self.session.convert(base, dialect)
            if conversion.problems:
                problem = conversion.problems[0]
                raise OutputError(f"BASE cannot be said in {dialect}: {problem.says}", problem.where, problem.hint)
            read = [self.session.file(Source.from_bytes(made.data, made.name), dialect) for made in conversion.files]
            self.projected[dialect] = resolved(Inputs(), [one for one in read if isinstance(one, FileReading)])
        return self.projected[dialect]

    def behind(self, match: Match, profile: Profile) -> Match | None:
        """What the base, in the dialect of a side, says where the side says `match`."""
        inputs = self.said_in(match.dialect)
        found = []
        for leaf in match.leaves:
            same = [one for one in inputs.profiles if one.scopes == leaf.scopes]
            named = [one for one in same if one.name == leaf.name]
            if not named and len(same) != 1:
                return None
            found.append((named or same)[0])
        return _joined(found, profile.scopes, match.dialect)


def find(profile: Profile, inputs: Inputs, beside: Inputs) -> Match | None:
    """What a version says about a profile: the one of its scopes and name, the only one of its scopes, or what the
    version says about these scopes if it forms one setup. `beside` is the side that the profile belongs to.
    """
    same = [one for one in inputs.readings if one.profile is not None and one.profile.scopes == profile.scopes]
    found = next((one for one in same if one.name == profile.name), None)
    rivals = [one for one in beside.profiles if one.scopes == profile.scopes]
    if found is None and len(same) == 1 and len(rivals) <= 1:
        found = same[0]
    if found is not None and found.profile is not None:
        known = around(found.profile, inputs.profiles)
        return Match(found.profile.settings, known, (found.profile,), found.table.dialect, found)
    if same:
        return None
    leaves = judged(inputs)
    held = [scope for one in leaves for scope in one.scopes]
    if not set(profile.scopes) <= set(held) or len(held) != len(set(held)):
        return None
    leaves = [one for one in leaves if not set(one.scopes).isdisjoint(profile.scopes)]
    match = _joined(leaves, profile.scopes, inputs.readings[0].table.dialect)
    if sum(one.scopes == profile.scopes for one in judged(beside)) > 1 and not _is_called(match, profile):
        return None
    return match


def _is_called(match: Match, profile: Profile) -> bool:
    """Whether a part of a setup bears the profile's name."""
    return any(match.meant.get(f"{scope}.name") == profile.name for scope in profile.scopes)


def _joined(leaves: Sequence[Profile], scopes: tuple[str, ...], dialect: str) -> Match:
    """What several profiles say together, cut to some scopes."""
    known = {
        name: value
        for one in reversed(leaves)
        for name, value in one.settings.items()
        if SETTINGS[name].scope in one.scopes or not one.scopes
    }
    values = {name: value for name, value in known.items() if SETTINGS[name].scope in scopes}
    return Match(values, known, tuple(leaves), dialect)


# ---- reading


def read_as(session: Session, path: str, shown: str, dialect: str | None, fallback: str | None = None) -> Inputs:
    """Read the file `path` as if it stood at `shown`: its parents are looked for there. An empty file says nothing.

    `fallback` is the dialect for a file that by itself shows none.
    """
    inputs = Inputs()
    inputs.family = Family(opener=session.read([]).family.opener)
    source = Source.from_bytes(files.read_bytes(path, LIMITS["size"].most), shown)
    if not source.text.strip():
        return inputs
    try:
        found = session.file(source, dialect)
    except InputError:
        if fallback is None:
            raise
        found = session.file(source, fallback)
    if not isinstance(found, FileReading):
        if fallback is None:
            raise InputError(found.says(), Location(shown), "name the dialect with --from")
        found = session.file(source, fallback)
        assert isinstance(found, FileReading)
    return resolved(inputs, [found])


def resolved(inputs: Inputs, read: Sequence[FileReading]) -> Inputs:
    """Inputs with these files, inheritance followed. Raises the first error."""
    readings, errors = read_sources(inputs.family, read)
    if errors:
        raise errors[0]
    inputs.readings = readings
    return inputs

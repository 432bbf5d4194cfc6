"""Follows inheritance and fills in defaults: from what each profile says itself to what it means.

A parent is found by name (in the same file first, then in all files at hand) or by file (a path beside the child).
Later parents override earlier ones, the profile itself overrides all, and what is still absent takes the dialect's
default.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from convert.dialects import beads
from convert.dialects.reader import FileReading, Reading, location
from convert.errors import InputError, Location
from convert.model.profile import Carried, Layout, Origin, Profile
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Value

DEPTH = 64
"""Generations of parents; nobody keeps more on purpose."""

Opener = Callable[[str], "FileReading | None"]


class Origins(Mapping[str, Origin]):
    """Where each value of a profile comes from; looked up when somebody asks."""

    __slots__ = ("chain", "defaults", "derived")

    def __init__(
        self, chain: tuple[Reading, ...], defaults: Mapping[str, Value], derived: Mapping[str, str] | None = None
    ) -> None:
        self.chain, self.defaults, self.derived = chain, defaults, dict(derived or {})

    def owner(self, setting: str) -> Reading | None:
        """The profile that says the value: the first of the chain, child before parents."""
        for reading in self.chain:
            if setting in reading.own:
                return reading
        return None

    def __getitem__(self, setting: str) -> Origin:
        owner = self.owner(setting)
        if owner is None:
            first = self.chain[0]
            if setting in self.derived:
                return Origin(how="derived", file=first.file.path, line=None, key="", source=self.derived[setting])
            if setting in self.defaults:
                return Origin(how="default", file=first.file.path, line=None, key="", source=first.table.dialect)
            raise KeyError(setting)
        if owner is self.chain[0]:
            return owner.origin(setting)
        return owner.origin(setting, "inherited", owner.name)

    def __iter__(self) -> Iterator[str]:
        seen = {*self.defaults, *self.derived}
        yield from seen
        for reading in self.chain:
            for setting in reading.own:
                if setting not in seen:
                    seen.add(setting)
                    yield setting

    def __len__(self) -> int:
        return sum(1 for _ in self)


@dataclass(slots=True)
class Family:
    """All readings at hand, and the way to more of them."""

    files: list[FileReading] = field(default_factory=list)
    by_path: dict[str, FileReading] = field(default_factory=dict)
    by_name: dict[tuple[str, str], list[Reading]] = field(default_factory=dict)
    opener: Opener | None = None
    searched: set[tuple[str, str]] = field(default_factory=set)

    def add(self, file: FileReading) -> None:
        self.files.append(file)
        self.by_path.setdefault(os.path.abspath(file.path), file)
        for reading in file.readings:
            self.by_name.setdefault((file.table.dialect, reading.name), []).append(reading)

    def open(self, path: str, dialect: str) -> FileReading | None:
        """A further file of the family, read once."""
        known = self.by_path.get(os.path.abspath(path))
        if known is not None or self.opener is None:
            return known
        found = self.opener(path)
        if found is None or found.table.dialect != dialect:
            return None
        found.requested = False
        self.add(found)
        return found

    def named(self, child: Reading, name: str) -> Reading | None:
        """The profile of this name: in the child's own file, then in any file, then in the files beside it."""
        for reading in self.by_name.get((child.table.dialect, name), ()):
            if reading.file is child.file and _fits(reading, child):
                return reading
        for reading in self.by_name.get((child.table.dialect, name), ()):
            if _fits(reading, child):
                return reading
        folder = os.path.dirname(os.path.abspath(child.file.path))
        if self.opener is None or (folder, child.table.dialect) in self.searched:
            return None
        self.searched.add((folder, child.table.dialect))
        for path in _beside(child.file.path, child.table.extension):
            self.open(path, child.table.dialect)
        return next((r for r in self.by_name.get((child.table.dialect, name), ()) if _fits(r, child)), None)


def _fits(parent: Reading, child: Reading) -> bool:
    return parent is not child and (set(parent.scopes) & set(child.scopes) != set() or not parent.own)


def _beside(path: str, extension: str) -> list[str]:
    """Files with the dialect's extension in the folder of `path`, in order; a bounded look, not a walk."""
    folder = os.path.dirname(path)
    try:
        names = sorted(os.listdir(folder or "."))
    except OSError:
        return []
    return [
        os.path.join(folder, name) for name in names if name.endswith(extension) and os.path.join(folder, name) != path
    ][:500]


def resolve(family: Family) -> None:
    """Give every reading its profile, or its error: a missing parent, a circle."""
    done: dict[int, tuple[Reading, ...]] = {}
    at = 0
    while at < len(family.files):  # files may be added on the way
        for reading in family.files[at].readings:
            try:
                chain = _chain(reading, family, done, ())
                reading.profile = _profile(reading, chain)
                reading.meant = dict(reading.profile.settings)
            except InputError as error:
                reading.error = error
        at += 1


def _chain(
    reading: Reading, family: Family, done: dict[int, tuple[Reading, ...]], above: tuple[Reading, ...]
) -> tuple[Reading, ...]:
    """The profile and its ancestors, nearest first."""
    if id(reading) in done:
        return done[id(reading)]
    if any(reading is other for other in above):
        circle = " -> ".join([r.name for r in above[[r is reading for r in above].index(True) :]] + [reading.name])
        raise InputError(f"profiles inherit in a circle: {circle}", _where(above[-1]), "take one of the links away")
    if len(above) >= DEPTH:
        raise InputError(f"more than {DEPTH} generations of parents", _where(reading), "merge some of them")
    chain: list[Reading] = [reading]
    for name, index in reversed(reading.parents):
        parent = _parent(reading, name, family)
        if parent is None:
            how = reading.table.layout.parent.get("by", "name")
            looked = "file" if how == "file" else "profile of that name and kind"
            raise InputError(
                f"inherits from {name!r}, and there is no such {looked} here",
                _where(reading, index),
                "give the parent's file too, or take the link away",
            )
        chain += [r for r in _chain(parent, family, done, (*above, reading)) if not any(r is other for other in chain)]
    done[id(reading)] = tuple(chain)
    return done[id(reading)]


def _parent(reading: Reading, name: str, family: Family) -> Reading | None:
    if reading.table.layout.parent.get("by", "name") == "name":
        return family.named(reading, name)
    relative = name.replace("\\", "/")
    if os.path.isabs(relative) or "\0" in relative:
        return None
    path = os.path.normpath(os.path.join(os.path.dirname(reading.file.path), relative))
    found = family.open(path, reading.table.dialect)
    return next((r for r in found.readings if _fits(r, reading) or r is reading), None) if found else None


def _where(reading: Reading, index: int = -1) -> Location:
    if index < 0 and reading.parents:
        index = reading.parents[0][1]
    source = reading.file.tree.source
    return location(reading, index) if index >= 0 else source.location(reading.start)


def _profile(reading: Reading, chain: tuple[Reading, ...]) -> Profile:
    table = reading.table
    if len(chain) == 1:
        settings = dict(reading.own)
    else:
        settings = {}
        for ancestor in reversed(chain):
            settings.update(ancestor.own)
    defaults = {}
    if table.defaults:
        broken = frozenset().union(*(one.broken for one in chain))
        for name, value in table.default_for(reading.scopes):
            if name in broken:
                continue  # the key is there: what it says is not known, but it is not the default
            # A count that is absent takes no default where the thickness is stated, and the other way round.
            if name not in settings and beads.TWINS.get(name) not in settings:
                settings[name] = defaults[name] = value
    derived = beads.read_counts(settings, table) if table.beads else {}
    settings.update((name, made.value) for name, made in derived.items())
    brought = _brought(reading) if table.codec else None
    origins = Origins(chain, defaults, {name: made.sources for name, made in derived.items()})
    return Profile(
        name=reading.name,
        scopes=reading.scopes,
        settings=settings,
        origins=origins,
        carried=dict(brought.carried) if brought else {},
        layouts=dict(brought.layouts) if brought else {},
    )


def _brought(reading: Reading) -> Profile:
    """What a canonical document carries for other dialects; it also states its scopes itself."""
    from convert.model import codec

    text = reading.file.tree.source.text
    found = codec.decode_frame(codec.loads(text, reading.file.path), reading.file.path)
    reading.scopes = found.scopes or reading.scopes
    return found


def carry(reading: Reading) -> None:
    """Put into the profile what the way back needs: keys without a row, and the file's own text."""
    tree = reading.file.tree
    if reading.profile is None or reading.table.codec:
        return  # the canonical document brings its own
    carried = []
    for record in [*reading.records, *reading.file.stray]:
        if record.role in ("unknown", "beaten", "invalid"):
            path, key, _, _ = tree.rows[record.entry]
            carried.append(Carried(path, key, tree.raw(record.entry)))
    dialect = reading.table.dialect
    if carried:
        reading.profile.carried[dialect] = tuple(carried)
    source = tree.source
    mark = source.bom.decode("latin-1")
    name = source.path.replace("\\", "/").rsplit("/", 1)[-1]
    reading.profile.layouts[dialect] = Layout(name, source.encoding, source.text, mark)


def read_sources(
    family: Family, files: Sequence[FileReading], profiles: Sequence[str] = ()
) -> tuple[list[Reading], list[InputError]]:
    """Resolve a family; the profiles asked for (glob patterns on their names) and the errors of the others."""
    from fnmatch import fnmatchcase

    for file in files:
        family.add(file)
    resolve(family)
    readings, errors = [], []
    for file in list(family.files):
        if not file.requested:
            continue
        for reading in file.readings:
            if profiles and not any(fnmatchcase(reading.name, pattern) for pattern in profiles):
                continue
            if reading.error is not None:
                errors.append(reading.error)
            else:
                readings.append(reading)
    return readings, errors


def around(profile: Profile, everything: Sequence[Profile]) -> dict[str, Value]:
    """All that is known beside a profile: of each scope it lacks, the only profile at hand that has it."""
    known: dict[str, Value] = {}
    for scope in SCOPES:
        if scope not in profile.scopes:
            others = [other for other in everything if scope in other.scopes]
            if len(others) == 1:
                known.update((name, v) for name, v in others[0].settings.items() if SETTINGS[name].scope == scope)
    known.update(profile.settings)
    return known

"""What the library offers: thin calls that return typed results, never print and never exit.

    read      files -> profiles, with all problems
    convert   files -> files of another dialect, with a ledger; nothing is written to disk
    audit     files -> findings about the setups they form
    diff      two sides -> what changed, and what it does to the print
    edit      files -> the same files with some settings changed, all other bytes kept
    write     one profile -> files of a dialect, with a ledger
    learn     samples of an unknown dialect -> its name table

A `Session` holds the name tables in force, so that several calls share them.
"""

from __future__ import annotations

import os
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from convert import files
from convert.dialects.beads import TWINS
from convert.dialects.detect import HINT, Match, Unknown, detect, match, parse
from convert.dialects.inherit import Family, Origins, read_sources, resolve
from convert.dialects.reader import FileReading, Reading, read_tree
from convert.dialects.registry import Head, Registry
from convert.dialects.table import Table
from convert.errors import BeadwiseError, InputError, Location, NothingDone, Problem, UsageError
from convert.model.profile import Profile
from convert.model.setting import SCOPES, SETTINGS
from convert.model.setting import setting as find_setting
from convert.model.value import Value
from convert.text.limits import LIMITS
from convert.text.source import Source

if TYPE_CHECKING:
    from convert.changes.compare import Speller
    from convert.changes.difference import Difference
    from convert.dialects.conversion import Conversion
    from convert.inference.imitate import Imitation
    from convert.inference.lesson import Lesson
    from convert.rules.bundle import Result

MOST_POLICY = 4_000_000
"""A policy file is some pages of text."""


@dataclass(slots=True)
class UnknownFile:
    """A well-formed file of no known dialect."""

    path: str
    found: Unknown

    def problem(self) -> Problem:
        return Problem(self.found.says(), Location(self.path), HINT)


@dataclass(slots=True)
class Inputs:
    """What reading some files gave: profiles, files of unknown dialects, and errors; nothing is missing from the
    three.
    """

    family: Family = field(default_factory=Family)
    readings: list[Reading] = field(default_factory=list)
    unknown: list[UnknownFile] = field(default_factory=list)
    errors: list[BeadwiseError] = field(default_factory=list)

    @property
    def profiles(self) -> list[Profile]:
        return [reading.profile for reading in self.readings if reading.profile is not None]

    def unusable(self) -> list[BeadwiseError | Problem]:
        """What is wrong with files that cannot be used: that could not be read, or are of no known dialect."""
        return [*self.errors, *(one.problem() for one in self.unknown)]

    def doubts(self) -> list[Problem]:
        """`problems`, and what is wrong with the values themselves: out of range, circles of relations."""
        from convert.model.check import check

        failed = {(error.says, error.where) for error in self.errors}
        found = [one for one in self.problems() if (one.says, one.where) not in failed]
        return found + [one for profile in self.profiles for one in check(profile)]

    def problems(self) -> list[Problem]:
        """Everything worth saying about the files that could be read."""
        found = [problem for file in self.family.files if file.requested for problem in file.problems()]
        return found + [one.problem() for one in self.unknown]


class Session:
    """Name tables in force: shipped, the user's own, and those given by path."""

    def __init__(self, tables: Sequence[str] = ()) -> None:
        self.registry = Registry(tables)

    def file(self, source: Source, dialect: str | None = None) -> FileReading | Unknown:
        """Read one file through its dialect's table, or the table asked for."""
        if dialect is not None:
            table = self.registry.table(dialect)
            tree = parse(source, table)
            found = match(tree, table)
            if not found.known:
                raise InputError(f"has no key of {dialect}", Location(source.path), "is it another dialect?")
            return read_tree(tree, table)
        result = detect(source, self.registry)
        if isinstance(result, Match):
            return read_tree(result.tree, result.table, shape=result.shape)
        return result

    def read(self, paths: Sequence[str], dialect: str | None = None, profiles: Sequence[str] = ()) -> Inputs:
        """Read files (a folder stands for the files in it, "-" for standard input)."""
        if dialect is not None:
            self.registry.table(dialect)
        inputs = Inputs()
        inputs.family.opener = self._opener(dialect)
        read: list[FileReading] = []
        for path in _expand(paths, inputs.errors):
            try:
                source = Source.from_bytes(files.read_bytes(path, LIMITS["size"].most), path)
                found = self.file(source, dialect)
                if isinstance(found, Unknown):
                    inputs.unknown.append(UnknownFile(path, found))
                else:
                    read.append(found)
            except BeadwiseError as error:
                if isinstance(error, UsageError):
                    raise
                error.where = error.where or Location(path)
                inputs.errors.append(error)
        readings, errors = read_sources(inputs.family, read, profiles)
        inputs.readings = readings
        inputs.errors += errors
        if profiles and not readings and not errors and read:
            names = ", ".join(sorted({r.name for file in read for r in file.readings})[:12])
            raise UsageError(f"no profile is called {' or '.join(profiles)}", hint=f"there are {names}")
        return inputs

    def _opener(self, dialect: str | None):  # type: ignore[no-untyped-def]
        def open_one(path: str) -> FileReading | None:
            try:
                source = Source.from_bytes(files.read_bytes(path, LIMITS["size"].most), path)
                found = self.file(source, dialect)
            except BeadwiseError:
                return None  # a neighbour that cannot be read is no parent; the child says what it misses
            return found if isinstance(found, FileReading) else None

        return open_one

    def convert(self, inputs: Inputs, to: str) -> Conversion:
        """Convert what was read. Raises NothingDone if there is nothing to convert."""
        from convert.dialects.conversion import Conversion, convert_readings

        table = self.registry.table(to)
        if not inputs.readings:
            if inputs.errors and not inputs.unknown:
                return Conversion()
            raise NothingDone("there is nothing to convert", hint="give files of a known dialect ('beadwise tables')")
        return convert_readings(inputs.family, inputs.readings, table)

    def convert_like(self, inputs: Inputs, samples: Sequence[str], profiles: Sequence[str] = ()) -> Imitation:
        """Convert what was read into the shape of sample files: their bytes, with the values replaced.

        Samples, and files of `inputs`, of a dialect that no table knows are learned first; only what is clear is used.
        """
        from convert.inference.imitate import imitate

        if inputs.unknown and not inputs.errors:
            paths = [one.path for one in inputs.unknown]
            dialect = self._adopt(paths, "source")
            known = [found.path for found in inputs.family.files if found.requested]
            inputs.unknown = []
            more = self.read(paths, dialect, profiles)
            inputs.errors += more.errors
            if known:
                more = self.read([*known, *paths], None, profiles)
            inputs.family, inputs.readings = more.family, more.readings
        family = Family()
        found: list[FileReading] = []
        for path in samples:
            one = self.file(Source.from_bytes(files.read_bytes(path, LIMITS["size"].most), path))
            if isinstance(one, Unknown):
                found = []
                break
            found.append(one)
        if not found:
            dialect = self._adopt(samples, "sample")
            for path in samples:
                one = self.file(Source.from_bytes(files.read_bytes(path, LIMITS["size"].most), path), dialect)
                assert isinstance(one, FileReading)
                found.append(one)
        if len({one.table.dialect for one in found}) > 1:
            raise UsageError("the samples are of several dialects", hint="give samples of one program")
        read_sources(family, found)
        return imitate(inputs.family, inputs.readings, found)

    def _adopt(self, paths: Sequence[str], word: str) -> str:
        """Learn a dialect for this session only; the name that it goes by."""
        stem = os.path.basename(paths[0]).partition(".")[0].lower()
        name = f"{''.join(c if c.isascii() and c.isalnum() else '-' for c in stem)}-{word}".lstrip("-0123456789")
        lesson = self.learn(paths, name)
        if lesson.draft.table is None:
            hint = "learn it with --ask or --same-as first, and give the table with --table"
            raise NothingDone("too little could be learned from this sample", Location(paths[0]), hint)
        self.registry.heads[name] = Head(name, lesson.draft.table.syntax, "", "given")
        self.registry._loaded[name] = lesson.draft.table
        return name

    def edit(self, inputs: Inputs, values: Mapping[str, Value | None]) -> Conversion:
        """Set settings in the files that were read, each in its own dialect; None takes a setting away.

        A setting goes into the profiles that hold its scope; files without such a profile come out as they are.
        """
        from convert.dialects.conversion import Conversion, OutputFile, convert_readings

        result = Conversion()
        for file in [file for file in inputs.family.files if file.requested]:
            readings = [reading for reading in file.readings if reading in inputs.readings]
            for reading in readings:
                _assign(reading, values, readings)
            if readings:
                one = convert_readings(inputs.family, readings, file.table)
                for made in one.files:
                    result.files.append(OutputFile(file.path, made.data))
                result.problems += one.problems
                result.ledger.equal += one.ledger.equal
                result.ledger.entries += [e for e in one.ledger.entries if e.side == "target"]
        return result

    def reread(self, inputs: Inputs, path: str, data: bytes, dialect: str) -> FileReading:
        """A file of `inputs` with other bytes, resolved among the other files."""
        after = self.file(Source.from_bytes(data, path), dialect)
        assert isinstance(after, FileReading)
        family = Family(opener=inputs.family.opener)
        family.add(after)
        for file in inputs.family.files:
            if file.path != path:
                family.add(file)
        resolve(family)
        return after

    def audit(self, inputs: Inputs, policy: str | None = None) -> Result:
        """Judge the setups that the profiles form. `policy` is the path of a policy file.

        A profile that others at hand inherit from is judged through them, not by itself. Raises NothingDone without a
        single profile.
        """
        from convert.rules import bundle
        from convert.rules import policy as policies

        found = policies.load(files.read_bytes(policy, MOST_POLICY), policy) if policy is not None else None
        profiles = judged(inputs)
        check_number(profiles)
        setups = bundle.combinations(profiles)
        if not setups:
            raise NothingDone("there is no profile to audit", hint="give files of a known dialect ('beadwise tables')")
        return bundle.audit_all(setups, found)

    def diff(
        self,
        old: Inputs,
        new: Inputs,
        beside: Inputs | None = None,
        attributed: bool = True,
        everything: bool = False,
        brief: bool = False,
    ) -> Difference:
        """Compare two sides. `beside` are profiles that belong to both; `everything` keeps unchanged figures too,
        `brief` only the main ones.

        Profiles that others at hand inherit from are compared through them. `compared` of the result may be 0: then
        nothing could be compared.
        """
        from convert.changes.difference import difference
        from convert.dialects.inherit import carry

        for inputs in (old, new):
            for reading in inputs.readings:
                carry(reading)
        sides = [judged(inputs) for inputs in (old, new)]
        rest = [
            [one for one in inputs.profiles if not any(one is other for other in side)]
            for inputs, side in zip((old, new), sides, strict=True)
        ]
        return difference(
            sides[0],
            sides[1],
            judged(beside) if beside is not None else (),
            _spelling,
            attributed=attributed,
            everything=everything,
            parents=(rest[0], rest[1]),
            brief=brief,
        )

    def learn(
        self,
        paths: Sequence[str],
        name: str = "learned",
        same_as: Sequence[str] = (),
        changed: str | None = None,
        accept: float = 0.9,
        answers: Mapping[str, str] | None = None,
    ) -> Lesson:
        """Learn the dialect of sample files. `name` is what it will be called.

        same_as: files of known dialects whose values the samples should say. changed: "SETTING=VALUE", the one change
        between two samples. accept: how sure a key must be. answers: label of a key -> setting ("" for none).
        """
        from convert.inference.lesson import study

        errors: list[BeadwiseError] = []
        most = LIMITS["size"].most
        sources = [Source.from_bytes(files.read_bytes(path, most), path) for path in _expand(paths, errors)]
        known = []
        if same_as:
            inputs = self.read(same_as)
            errors += inputs.errors
            errors += [InputError(p.says, p.where, p.hint) for p in (one.problem() for one in inputs.unknown)]
            known = [profile.settings for profile in inputs.profiles]
        if errors:
            raise errors[0]
        return study(sources, name, known, changed, accept, dict(answers or {}))

    def write(self, profile: Profile, to: str) -> Conversion:
        """Say a profile in a dialect: files, and a ledger of what the dialect cannot say.

        UsageError for an unknown setting, or a value that its setting cannot have.
        """
        from convert.dialects.conversion import convert_readings
        from convert.model import codec
        from convert.model.check import check

        for name in profile.settings:
            find_setting(name)
        for wrong in check(profile):
            raise UsageError(wrong.says, wrong.where, wrong.hint)
        table = self.registry.table(to)
        document = self.registry.table("canonical")

        text = codec.profile_to_text(profile)
        file = read_tree(parse(Source.from_bytes(text.encode(), f"{profile.name}.json"), document), document)
        family = Family()
        readings, errors = read_sources(family, [file])
        if errors:
            raise errors[0]
        return convert_readings(family, readings, table)


def _spelling(profile: Profile) -> Speller:
    """How a profile's file says its settings: own, inherited, default or derived, and their cells."""
    from convert.changes.compare import Spelled, origin_of

    origins = profile.origins
    if not isinstance(origins, Origins):
        return origin_of(profile)
    own, derived = origins.chain[0], origins.derived

    def speller(name: str) -> Spelled | None:
        if name not in profile.settings:
            return None
        owner = origins.owner(name)
        if owner is None:
            return Spelled("derived" if name in derived else "default")
        lens, cells = owner.table.by_setting.get(name), owner.cells
        said = [cells[key] for key in lens.keys if key in cells] if lens is not None else ()
        return Spelled("own" if owner is own else "inherited", tuple([(cell.value, cell.unit) for cell in said]))

    return speller


def _assign(reading: Reading, values: Mapping[str, Value | None], edited: Sequence[Reading]) -> None:
    """Put values into one profile; one that inherits a setting from a profile edited with it gets it from there."""
    assert reading.profile is not None
    settings, origins = reading.profile.settings, reading.profile.origins
    for name in origins.derived if isinstance(origins, Origins) else ():
        settings.pop(name, None)  # it was made of what the file states, and of the values as they were
    for name, value in values.items():
        if SETTINGS[name].scope not in reading.scopes:
            continue
        owner = origins.owner(name) if isinstance(origins, Origins) else reading
        by_parent = owner is not reading and any(owner is other for other in edited)
        if value is None:
            settings.pop(name, None)
        else:
            settings[name] = value
            if by_parent:
                reading.meant[name] = value
            if name not in reading.table.by_setting:
                # A dialect that states the thickness is told the count as a thickness, and vice versa.
                settings.pop(TWINS.get(name, ""), None)


def check_number(profiles: Sequence[Profile]) -> None:
    """UsageError if the profiles form more setups than anybody means."""
    from math import prod

    from convert.dialects.plan import MOST_SETUPS

    parts = [p for p in profiles if len(p.scopes) < len(SCOPES)]
    number = prod(sum(scope in p.scopes for p in parts) or 1 for scope in SCOPES)
    if number > MOST_SETUPS:
        hint = "give fewer files at once, or pick profiles with --profile"
        raise UsageError(f"{number} setups come of these profiles, and {MOST_SETUPS} are the most", None, hint)


def judged(inputs: Inputs) -> list[Profile]:
    """The profiles that stand for a print themselves: those that no other one at hand inherits from."""
    parents = {
        id(ancestor)
        for reading in inputs.readings
        if reading.profile is not None and isinstance(reading.profile.origins, Origins)
        for ancestor in reading.profile.origins.chain[1:]
    }
    own = [reading.profile for reading in inputs.readings if reading.profile is not None and id(reading) not in parents]
    return own or inputs.profiles


def _real(path: str) -> str:
    """What tells two names of one file; a name that no file can have stands for itself."""
    try:
        return os.path.realpath(path)
    except ValueError:
        return path


def _expand(paths: Sequence[str], errors: list[BeadwiseError]) -> list[str]:
    """Files in the order given; a folder gives its files, hidden ones left out."""
    found: list[str] = []
    seen: set[str] = set()
    for path in paths:
        if path == "-" or not os.path.isdir(path):
            if path == "-" or _real(path) not in seen:  # a file given twice is one file
                found.append(path)
                seen.add(_real(path))
            continue
        try:
            names = sorted(name for name in os.listdir(path) if not name.startswith("."))
        except OSError as error:
            errors.append(InputError(f"cannot be read: {files.reason(error)}", Location(path), "check its permissions"))
            continue
        inside = [os.path.join(path, name) for name in names if os.path.isfile(os.path.join(path, name))]
        if not inside:
            errors.append(InputError("has no files in it", Location(path), "sub-folders are not searched here"))
        found += [one for one in inside if _real(one) not in seen]
        seen.update(_real(one) for one in inside)
    return found


def read(
    paths: str | Sequence[str], dialect: str | None = None, profiles: Sequence[str] = (), tables: Sequence[str] = ()
) -> Inputs:
    """Read files into profiles; what could not be read is in `errors` and `unknown`."""
    return Session(tables).read([paths] if isinstance(paths, str) else paths, dialect, profiles)


def convert(
    paths: str | Sequence[str],
    to: str,
    dialect: str | None = None,
    profiles: Sequence[str] = (),
    tables: Sequence[str] = (),
) -> Conversion:
    """Convert files; nothing is written to disk. Raises the first error of a file that cannot be read."""
    session = Session(tables)
    inputs = session.read([paths] if isinstance(paths, str) else paths, dialect, profiles)
    if inputs.errors:
        raise inputs.errors[0]
    return session.convert(inputs, to)


def audit(
    paths: str | Sequence[str], policy: str | None = None, dialect: str | None = None, tables: Sequence[str] = ()
) -> Result:
    """Judge the setups that files form. Raises the first error of a file that cannot be read."""
    session = Session(tables)
    inputs = session.read([paths] if isinstance(paths, str) else paths, dialect)
    if inputs.errors:
        raise inputs.errors[0]
    return session.audit(inputs, policy)


def learn(
    paths: str | Sequence[str], name: str = "learned", same_as: Sequence[str] = (), accept: float = 0.9
) -> Lesson:
    """Learn the dialect of sample files: the name table, and what each key was taken for and why."""
    return Session().learn([paths] if isinstance(paths, str) else paths, name, same_as, None, accept)


def diff(
    old: str | Sequence[str],
    new: str | Sequence[str],
    beside: Sequence[str] = (),
    dialect: str | None = None,
    tables: Sequence[str] = (),
) -> Difference:
    """Compare two sides, each a path or several; `beside` are files that belong to both. Raises the first error of a
    file that cannot be read, and NothingDone where nothing could be compared.
    """
    session = Session(tables)
    sides = [session.read([paths] if isinstance(paths, str) else paths, dialect) for paths in (old, new, beside)]
    for inputs in sides:
        if inputs.errors:
            raise inputs.errors[0]
    found = session.diff(sides[0], sides[1], sides[2])
    if not found.compared:
        raise NothingDone("nothing could be compared", hint="give two sides that state the same scope")
    return found


def write(profile: Profile, to: str, tables: Sequence[str] = ()) -> Conversion:
    """Say a profile in a dialect: files, and a ledger of what the dialect cannot say."""
    return Session(tables).write(profile, to)


def tables_document(registry: Registry) -> dict:
    """The tables/1 result."""
    rows = []
    for name in registry.names():
        table: Table = registry.table(name)
        rows.append(
            {
                "dialect": name,
                "title": table.title,
                "syntax": table.syntax,
                "settings": table.settings,
                "source": table.source,
                "about": table.about,
            }
        )
    return {"beadwise": "tables/1", "tables": rows}

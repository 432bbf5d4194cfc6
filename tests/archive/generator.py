"""Makes archives of known content: copies, families, all dialects, zips, parents in other files, broken files."""

from __future__ import annotations

import os
import zipfile
from dataclasses import dataclass, field
from fractions import Fraction
from random import Random

from convert.api import Session, read
from convert.dialects.conversion import convert_readings
from convert.dialects.detect import parse
from convert.dialects.inherit import Family, read_sources
from convert.dialects.reader import read_tree
from convert.model import codec
from convert.model.profile import Profile
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.text.source import Source
from tests.zoo import WORKSHOP

PAIRS = (("quern", "canonical"), ("withy", "canonical"))
"""Dialects that hold a whole setup; the second says exactly what reading the first gives."""
ENDS = {"quern": "quern.ini", "withy": "withy.gcode", "canonical": "setup.json"}
BEGIN = 1_500_000_000
DAY = 86_400


@dataclass
class Truth:
    """What is in an archive: every path's fate, exact copies, groups of one meaning, family edges (child -> parent)."""

    read: set[str] = field(default_factory=set)
    refused: set[str] = field(default_factory=set)
    skipped: set[str] = field(default_factory=set)
    exact: list[set[str]] = field(default_factory=list)
    same: list[set[str]] = field(default_factory=list)
    parents: dict[str, str | None] = field(default_factory=dict)
    slips: set[tuple[str, str]] = field(default_factory=set)


def template(number: int) -> Profile:
    """A whole setup of the workshop, as its dialect says it; each begins a family of its own."""
    names = (
        "Kestavo C3 - Meadow - Kestavo fine",
        "Mulrane B2 - Harbour remote - Mulrane strong",
        "Orrindale Duo - Meadow with Brook - Orrindale fine",
        "Pellanor R24 - Meadow remote - Pellanor vase",
    )
    dialect = PAIRS[number % 2][0]
    found = read([os.path.join(WORKSHOP, dialect, f"{names[number % 4]}.{ENDS[dialect]}")]).profiles[0]
    return Profile(found.name, found.scopes, dict(found.settings))


VARIED = tuple(
    name
    for name, setting in SETTINGS.items()
    if setting.is_number and setting.scope == "process" and setting.kind in ("speed", "acceleration", "percent")
)


class Maker:
    """Writes one archive."""

    def __init__(self, root: str, seed: int) -> None:
        self.root, self.random = root, Random(seed)
        self.session = Session()
        self.truth = Truth()
        self.day = 0
        self.seen: set[tuple] = set()

    def write(self, path: str, data: bytes) -> str:
        full = os.path.join(self.root, *path.split("/"))
        os.makedirs(os.path.dirname(full), exist_ok=True)
        with open(full, "wb") as file:
            file.write(data)
        self.day += 1
        os.utime(full, (BEGIN + self.day * DAY, BEGIN + self.day * DAY))
        return path

    def say(self, profile: Profile, dialect: str) -> bytes:
        registry = self.session.registry
        document = registry.table("canonical")
        text = codec.dumps(codec.profile_to_json(profile)).encode()
        file = read_tree(parse(Source.from_bytes(text, f"{profile.name}.json"), document), document)
        family = Family()
        readings, errors = read_sources(family, [file])
        assert not errors
        made = convert_readings(family, readings, registry.table(dialect))
        assert not made.problems
        (one,) = made.files
        return one.data

    def changed(self, profile: Profile, count: int) -> Profile:
        """Another profile, some of whose plain numbers are a bit off; never one that was made before."""
        values: dict[str, Value] = dict(profile.settings)
        plain = sorted(name for name in VARIED if isinstance(old := values.get(name), Fraction) and old >= 20)
        for name in self.random.sample(plain, count):
            setting, old = SETTINGS[name], values[name]
            assert isinstance(old, Fraction)
            while True:
                new = Fraction(round(old * Fraction(self.random.randint(70, 140), 100)))
                if new != old and (setting.maximum is None or new <= setting.maximum):
                    break
            values[name] = new
        return Profile(profile.name, profile.scopes, values)

    def family(self, number: int, size: int) -> None:
        """A tree of near-copies, each in its own file; the members' dialects vary."""
        root, pair = template(number), PAIRS[number % 2]
        made = [(root, "")]
        truth = self.truth
        for at in range(size):
            if at:
                parent = self.random.randrange(len(made))
                profile = self.changed(made[parent][0], self.random.randint(1, 3))
            else:
                parent, profile = -1, self.changed(root, 6)
                made.clear()
            dialect = self.random.choice(pair)
            path = f"family-{number}/member {at}.{ENDS[dialect]}"
            data = self.say(profile, dialect)
            self.write(path, data)
            truth.read.add(path)
            truth.parents[path] = made[parent][1] if parent >= 0 else None
            made.append((profile, path))
            if self.random.random() < 0.3:
                copies = {path, self.write(f"copies/{number}-{at} again.{ENDS[dialect]}", data)}
                truth.exact.append(copies)
                truth.read |= copies
            if self.random.random() < 0.3:
                other = pair[1 - pair.index(dialect)]
                twin = f"twins/{number}-{at}.{ENDS[other]}"
                self.write(twin, self.say(profile, other))
                truth.read.add(twin)
                truth.same.append({path, twin})

    def broken(self, number: int) -> None:
        """Files that are no sound settings, one of each kind."""
        kinds = {
            f"broken/cut {number}.thread.json": b'{"sort": "thread", "called": "cut',
            f"broken/open {number}.hasp.xml": b"<hasp><card title='x'><fact name='y'>1</card></hasp>",
            f"broken/binary {number}.quern.ini": b"\x00\x01\x02" * 50,
            f"broken/stranger {number}.ini": b"[one]\nsome = 1\nother = 2\nthird = yes\n",
            f"broken/empty {number}.trug": b"",
            f"broken/twice {number}.toml": b"a = 1\na = 2\n",
            f"broken/unzip {number}.zip": b"PK\x03\x04 and no more",
        }
        for path, data in kinds.items():
            self.truth.refused.add(self.write(path, data))
        self.truth.skipped.add(self.write(f"broken/photo {number}.jpg", bytes(range(256)) * 8))
        self.truth.skipped.add(self.write(f"broken/.hidden {number}.quern.ini", b"a = 1\n"))
        self.truth.skipped.add(self.write(f"broken/letter {number}.txt", b"Dear all,\n\nplease find enclosed.\n"))

    def zipped(self, number: int) -> None:
        """The workshop's sedge files, children and parents, in a zip; a zip in it, and a hidden file."""
        folder = os.path.join(WORKSHOP, "sedge")
        path = self.write(f"old/sedge {number}.zip", b"")
        with zipfile.ZipFile(os.path.join(self.root, path), "w", zipfile.ZIP_DEFLATED) as file:
            for name in sorted(os.listdir(folder)):
                with open(os.path.join(folder, name), "rb") as source:
                    file.writestr(zipfile.ZipInfo(f"in/{name}", (2015, 1, 2, 3, 4, 6)), source.read())
                self.truth.read.add(f"{path}!in/{name}")
            file.writestr("inner.zip", b"PK")
            file.writestr("in/.hidden", b"x")
        self.truth.skipped |= {f"{path}!inner.zip", f"{path}!in/.hidden"}
        os.utime(os.path.join(self.root, path), (BEGIN, BEGIN))

    def workshop(self, dialects: tuple[str, ...]) -> None:
        """Files of the workshop as they are."""
        for dialect in dialects:
            folder = os.path.join(WORKSHOP, dialect)
            for name in sorted(os.listdir(folder)):
                with open(os.path.join(folder, name), "rb") as file:
                    self.truth.read.add(self.write(f"shop/{dialect}/{name}", file.read()))


def make(root: str, seed: int, families: int = 2, size: int = 12, zips: int = 1) -> Truth:
    """An archive in an empty folder."""
    maker = Maker(root, seed)
    for number in range(families):
        maker.family(number, size)
    maker.broken(seed)
    for number in range(zips):
        maker.zipped(number)
    maker.workshop(("master", "trug", "hasp", "skep", "canonical"))
    return maker.truth

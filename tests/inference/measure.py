"""How good the matcher is on a dialect of the development set: its records against the truth file."""

from __future__ import annotations

import json
import os
import random
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

from convert.inference import choices, terse, vocabulary
from convert.inference.learn import Learned, learn
from convert.inference.vocabulary import fold
from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.resources import read_bytes
from convert.text.source import Source

HERE = os.path.dirname(os.path.abspath(__file__))
SETS = ("unknown", "unseen")
"""The folders of the two sets of dialects; each says how it is split."""


def split(which: str) -> dict[str, list[str]]:
    """The dialects of a set that are tuned on, and those that are held."""
    with open(os.path.join(HERE, which, "split.toml"), "rb") as file:
        return tomllib.load(file)


def home(dialect: str) -> str:
    """The folder of a dialect of either set."""
    return next(path for which in SETS if os.path.isdir(path := os.path.join(HERE, which, dialect)))


def sources(dialect: str, sample: str = "a") -> list[Source]:
    """The files of a sample."""
    folder = os.path.join(home(dialect), sample)
    found = []
    for name in sorted(os.listdir(folder)):
        with open(os.path.join(folder, name), "rb") as file:
            found.append(Source.from_bytes(file.read(), name))
    return found


def profile(dialect: str) -> dict[str, Value]:
    """The known profile that goes with sample a."""
    with open(os.path.join(home(dialect), "profile.toml"), "rb") as file:
        todo: list[tuple[str, object]] = list(tomllib.load(file).items())
    found: dict[str, Value] = {}
    while todo:
        name, value = todo.pop()
        if isinstance(value, dict):
            todo += [(f"{name}.{key}", inner) for key, inner in value.items()]
        elif name in SETTINGS:
            found[name] = value if isinstance(value, bool) else parse_phrase(str(value), SETTINGS[name])
    return found


@dataclass
class Judged:
    """One key: the truth, the record, and whether setting and unit with relation are right."""

    row: dict
    record: object
    setting: bool
    unit: bool
    rank: int


@dataclass
class Score:
    """The figures of one dialect or of several."""

    judged: list[Judged] = field(default_factory=list)

    @property
    def accepted(self) -> list[Judged]:
        return [one for one in self.judged if one.record is not None and one.record.decision == "accepted"]

    @property
    def precision(self) -> float:
        taken = self.accepted
        return sum(one.setting and one.unit for one in taken) / len(taken) if taken else 1.0

    @property
    def recall(self) -> float:
        real = [one for one in self.judged if one.row["setting"]]
        return sum(one.setting and one.unit and one in self.accepted for one in real) / len(real)

    @property
    def wrong_units(self) -> list[Judged]:
        return [one for one in self.accepted if one.setting and not one.unit]

    def top(self, most: int) -> float:
        real = [one for one in self.judged if one.row["setting"]]
        return sum(0 < one.rank <= most for one in real) / len(real)

    def line(self) -> str:
        return (
            f"keys {sum(bool(one.row['setting']) for one in self.judged):4}  precision {self.precision:.3f}"
            f"  recall {self.recall:.3f}  top-1 {self.top(1):.3f}  top-5 {self.top(5):.3f}"
            f"  accepted {len(self.accepted):4}  wrong units {len(self.wrong_units)}"
        )


def judge(dialect: str, made: Learned) -> Score:
    """Compare what was learned with the truth."""
    with open(os.path.join(home(dialect), "truth.json"), encoding="utf-8") as file:
        return judge_rows(json.load(file)["keys"], made)


def judge_rows(rows: list[dict], made: Learned) -> Score:
    """Compare what was learned with the records of a truth."""
    records = {
        (record.file, record.path, record.key, (record.relation or {}).get("part", record.item.part or 1)): record
        for record in made.records
    }
    found = Score()
    for row in rows:
        part = (row["relation"] or {}).get("part", 1)
        record = records.get((row["file"], tuple(row["path"]), row["key"], part))
        right = record is not None and record.setting == row["setting"]
        found.judged.append(Judged(row, record, right, right and same_unit(record, row), rank(record, row["setting"])))
    return found


def rank(record: object, setting: str | None) -> int:
    """Place of the right setting among those that the record names; 0 if it is not there."""
    if record is None or setting is None:
        return 0
    pair = record.pair
    listed = ([pair.setting] if pair is not None else []) + [other["setting"] for other in record.others]
    return listed.index(setting) + 1 if setting in listed else 0


def same_unit(record: object, row: dict) -> bool:
    """Whether unit and relation mean what the truth says."""
    mine, true = record.relation or {}, row["relation"] or {}
    if mine.get("unit_from") == true.get("unit_from") == "value":
        return True  # the truth spells the unit of sample a; each value has its own
    for word in ("percent_of", "scale", "fraction", "complement_of", "part", "from"):
        if mine.get(word) != true.get(word):
            return False
    if row["setting"] and SETTINGS[row["setting"]].kind == "flag" and bool(mine.get("inverted")) != _inverted(row):
        return False
    return record.unit == row["unit"] or _code(record.unit) == _code(row["unit"])


def _inverted(row: dict) -> bool:
    """Whether yes means no, by the words of a truth."""
    if "inverted" in (row["relation"] or {}):
        return True
    flags = vocabulary.vocabulary().flags
    told = [flags[fold(word)] != said for word, said in row.get("words", {}).items() if fold(word) in flags]
    return any(told)


def _code(spelled: str | None) -> str | None:
    from convert.errors import BeadwiseError
    from convert.units import unit

    try:
        return unit(spelled).code if spelled else None
    except BeadwiseError:
        return spelled


def run(dialect: str, sample: str = "a", same_as: bool = False) -> Score:
    """Learn one sample and judge it."""
    return judge(dialect, learn(sources(dialect, sample), [profile(dialect)] if same_as else ()))


@contextmanager
def thinned(share: float, seed: int) -> Iterator[None]:
    """A vocabulary that lacks a share of its words, as if nobody had thought of those that the dialect uses."""
    text = read_bytes("schemas", "vocabulary.tsv").decode()
    rng = random.Random(seed)
    lines = []
    for line in text.split("\n"):
        parts = line.split("\t")
        if len(parts) == 3 and parts[0][0] not in "@#" and parts[0] not in ("concept", "yes", "no"):
            words = [word for word in parts[2].split() if rng.random() >= share]
            line = "\t".join([*parts[:2], " ".join(words)]) if words else "#"
        lines.append(line)
    vocabulary._cache[:] = [vocabulary.read_vocabulary("\n".join(lines))]
    terse._memo.clear()
    choices._choice_of.cache_clear()
    try:
        yield
    finally:
        vocabulary._cache.clear()
        terse._memo.clear()
        choices._choice_of.cache_clear()


SHIPPED = {
    "hasp": ["Kestavo C3.hasp.xml"],
    "quern": ["Kestavo C3 - Hob - Kestavo strong.quern.ini"],
    "skep": ["Kestavo C3.skep.csv"],
    "trug": ["Kestavo C3.trug"],
    "withy": ["Kestavo C3 - Hob - Kestavo strong.withy.gcode"],
    "sedge": ["Kestavo C3.bench.json", "Hob.thread.json", "Kestavo base.method.json", "Kestavo fine.method.json"],
}
"""Dialects with a table, as if they had none: samples of the workshop."""


def shipped(dialect: str) -> tuple[list[tuple[object, bool]], int]:
    """Records with a setting and whether the dialect's own table says the same; and how many keys there are."""
    from convert.dialects.detect import parse
    from convert.dialects.reader import read_tree
    from convert.dialects.registry import Registry

    folder = os.path.join(os.path.dirname(os.path.dirname(HERE)), "corpus", "workshop", dialect)
    found = []
    for name in SHIPPED[dialect]:
        with open(os.path.join(folder, name), "rb") as file:
            found.append(Source.from_bytes(file.read(), name))
    table = Registry().table(dialect)
    truth: dict[tuple[str, tuple[str, ...], str], tuple[str, ...]] = {}
    for source in found:
        file = read_tree(parse(source, table), table)
        for reading in file.readings:
            for record in reading.records:
                if record.role == "row":
                    path, key, _, _ = file.tree.rows[record.entry]
                    truth[source.path, path, key] = record.settings
    judged = []
    for record in learn(found).records:
        if record.pair is not None:
            judged.append((record, record.pair.setting in truth.get((record.file, record.path, record.key), ())))
    return judged, len({(record.file, record.key) for record, _ in judged})

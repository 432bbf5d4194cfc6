"""The account of a conversion: every key of every file that was read or written, and its fate."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import NamedTuple

from convert.dialects.fates import MEANINGS, ORDER


class Entry(NamedTuple):
    """One key's fate. `before` and `after` are texts as they stand in the files; `residual` is in the schema's unit."""

    side: str
    file: str
    line: int | None
    path: tuple[str, ...]
    key: str
    setting: str | tuple[str, ...] | None
    fate: str
    before: str | None = None
    after: str | None = None
    residual: float | None = None
    says: str = ""


@dataclass(slots=True)
class Side:
    """One end of a conversion: its dialect(s) and files."""

    dialect: str
    files: list[str] = field(default_factory=list)


@dataclass(slots=True)
class Ledger:
    """All entries of a conversion, and the result of reading the output back."""

    source: Side
    target: Side
    entries: list[Entry] = field(default_factory=list)
    equal: int = 0
    differs: int = 0
    assumed: list[tuple[str, str, str]] = field(default_factory=list)

    def counts(self, side: str) -> dict[str, int]:
        """Fate -> number of keys, in the order of loss; only fates that occur."""
        found = Counter(entry.fate for entry in self.entries if entry.side == side)
        return {fate: found[fate] for fate in MEANINGS if found[fate]}

    def keys(self, side: str) -> int:
        return sum(entry.side == side for entry in self.entries)

    def worst(self) -> str:
        """The fate with the greatest loss on the source side."""
        fates: Iterable[str] = (entry.fate for entry in self.entries if entry.side == "source")
        return max(fates, key=lambda fate: ORDER[fate], default="exact")

    def document(self) -> dict:
        """The ledger/1 result."""
        return {
            "beadwise": "ledger/1",
            "source": {"dialect": self.source.dialect, "files": self.source.files},
            "target": {"dialect": self.target.dialect, "files": self.target.files},
            "entries": [
                {
                    **entry._asdict(),
                    "path": list(entry.path),
                    "setting": list(entry.setting) if isinstance(entry.setting, tuple) else entry.setting,
                }
                for entry in self.entries
            ],
            "counts": {"source": self.counts("source"), "target": self.counts("target")},
            "source_keys": self.keys("source"),
            "target_keys": self.keys("target"),
            "read_back": {"equal": self.equal, "differs": self.differs},
            "assumed": [{"setting": name, "value": value, "file": file} for name, value, file in self.assumed],
        }

"""Everything readable of an archive as files: canonical profiles, or files of one dialect with one ledger.

A file's profiles go into a folder of its own name, so nothing of the archive can meet. The archive is only read.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

from convert.archive import zips
from convert.archive.catalogue import Catalogue
from convert.archive.digest import Tables, recognise, scopes_of
from convert.archive.heirs import Archive
from convert.archive.meaning import LABELS, decode
from convert.archive.query import plain
from convert.archive.steps import quoted
from convert.archive.walk import join, walk
from convert.dialects.conversion import Conversion, convert_readings
from convert.dialects.detect import Unknown
from convert.dialects.fates import MEANINGS
from convert.dialects.inherit import resolve
from convert.dialects.plan import safe_name
from convert.dialects.reader import read_tree
from convert.errors import BeadwiseError, Location, OutputError, Problem, UsageError
from convert.files import read_bytes, reason, write_bytes
from convert.model import codec
from convert.model.profile import Profile
from convert.text.limits import LIMITS
from convert.text.source import Source

Progress = Callable[[int], None]
LEDGER = "ledger.json"


@dataclass(slots=True)
class Exported:
    """What an export wrote, and what it could not."""

    files: int = 0
    problems: list[Problem] = field(default_factory=list)
    counts: dict[str, dict[str, int]] = field(default_factory=lambda: {"source": {}, "target": {}})


def place(folder: str, path: str) -> str:
    """The folder for what an archive's file becomes; no name of the archive leads out of it.

    >>> place("out", "old/a.zip!../b.ini").replace(os.sep, "/")
    'out/old/a.zip-/-/b.ini'
    """
    parts = [part for part in path.replace("\\", "/").replace("!", "!/").split("/") if part]
    return os.path.join(folder, *("-" if set(part) <= {"."} else safe_name(part) for part in parts))


def check_folder(folder: str, archive: str) -> None:
    """UsageError if the export would lie in the archive."""
    root, target = os.path.realpath(archive), os.path.realpath(folder)
    if target == root or target.startswith(root.rstrip(os.sep) + os.sep):
        raise UsageError("the export would lie in the archive", Location(folder), "name a folder outside of it")


def canonical(catalogue: Catalogue, folder: str, replace: bool = False, progress: Progress | None = None) -> Exported:
    """Write every profile as a canonical document."""
    made = Exported()
    labels = ", ".join(f"p.{quoted(name)}" for name in LABELS)
    rows = catalogue.rows(
        f"SELECT d.path, f.name, p.name, p.scopes, m.body, {labels} FROM profiles p JOIN meanings m ON m.id = p.meaning"
        " JOIN files f ON f.id = p.file JOIN folders d ON d.id = f.folder ORDER BY p.file, p.ordinal"
    )
    taken: set[str] = set()
    last = ""
    for path, file, name, scopes, body, *texts in rows:
        inside = place(folder, join(path, file))
        if inside != last:
            taken, last = set(), inside
        settings = decode(body)
        settings.update((label, _label(text)) for label, text in zip(LABELS, texts, strict=True) if text is not None)
        profile = Profile(name, scopes_of(scopes), settings)
        word = scopes_of(scopes)[0] if len(scopes_of(scopes)) == 1 else "setup"
        target = os.path.join(inside, _free(f"{safe_name(name)}.{word}", taken) + ".json")
        data = (codec.profile_to_text(profile) + "\n").encode()
        _write(made, target, data, replace)
        if progress is not None:
            progress(made.files)
    return made


def _label(text: Any) -> Any:
    found = plain(text)
    return tuple(found) if isinstance(found, list) else found


def _free(name: str, taken: set[str]) -> str:
    number, free = 2, name
    while free.lower() in taken:
        free = f"{name} {number}"
        number += 1
    taken.add(free.lower())
    return free


def _write(made: Exported, path: str, data: bytes, replace: bool) -> None:
    try:
        write_bytes(path, data, replace)
        made.files += 1
    except OutputError as error:
        if "no space" in error.says or "read-only" in error.says:
            raise
        made.problems.append(Problem(error.says, error.where, error.hint))


class LedgerFile:
    """One ledger/1 document, written as it grows; it takes its name when it is whole."""

    def __init__(self, path: str, target: str) -> None:
        self.path, self.target = path, target
        self.aside = f"{path}.part"
        self.files: tuple[list[str], list[str]] = ([], [])
        self.dialects: set[str] = set()
        self.counts: dict[str, dict[str, int]] = {"source": {}, "target": {}}
        self.equal = self.differs = 0
        self.assumed: list[dict[str, str]] = []
        try:
            os.makedirs(os.path.dirname(path) or ".", exist_ok=True)
            self.file = open(self.aside, "w", encoding="utf-8", newline="\n")  # noqa: SIM115
            self.file.write('{\n  "beadwise": "ledger/1",\n  "entries": [')
        except OSError as error:
            raise OutputError(f"cannot be written: {reason(error)}", Location(path), "name another folder") from None
        self.first = True

    def add(self, conversion: Conversion, path: str, outputs: list[str]) -> None:
        """The entries of one file's conversion."""
        document = conversion.ledger.document()
        self.files[0].append(path)
        self.files[1].extend(outputs)
        self.dialects.add(document["source"]["dialect"])
        names = dict(zip([file.name for file in conversion.files], outputs, strict=False))
        for entry in document["entries"]:
            entry["file"] = path if entry["side"] == "source" else names.get(entry["file"], entry["file"])
            self.file.write(("\n    " if self.first else ",\n    ") + json.dumps(entry))
            self.first = False
        for side, counts in document["counts"].items():
            for fate, number in counts.items():
                self.counts[side][fate] = self.counts[side].get(fate, 0) + number
        self.equal += document["read_back"]["equal"]
        self.differs += document["read_back"]["differs"]
        self.assumed += document["assumed"]

    def finish(self) -> None:
        counts = {
            side: {fate: found[fate] for fate in MEANINGS if fate in found} for side, found in self.counts.items()
        }
        rest = {
            "source": {"dialect": ", ".join(sorted(self.dialects)), "files": self.files[0]},
            "target": {"dialect": self.target, "files": self.files[1]},
            "counts": counts,
            "source_keys": sum(counts["source"].values()),
            "target_keys": sum(counts["target"].values()),
            "read_back": {"equal": self.equal, "differs": self.differs},
            "assumed": self.assumed,
        }
        self.file.write(
            "\n  ],\n" + ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in rest.items()) + "\n}\n"
        )
        self.file.close()
        os.replace(self.aside, self.path)


def convert_all(
    catalogue: Catalogue,
    archive: str,
    folder: str,
    to: str,
    tables: Tables,
    replace: bool = False,
    progress: Progress | None = None,
) -> Exported:
    """Convert every readable file, each by itself, its parents looked up in the catalogue; one ledger for all."""
    made = Exported()
    target = tables.registry.table(to)
    path = os.path.join(folder, LEDGER)
    if os.path.lexists(path) and not replace:
        raise OutputError("exists already", Location(path), "give --replace to overwrite it, or another --export")
    family = Archive(catalogue=catalogue, registry=tables.registry)
    ledger = LedgerFile(path, to)
    try:
        for shown, inner, data in _sources(catalogue, archive, made):
            try:
                found = recognise(Source.from_bytes(data, inner), tables)
                if isinstance(found, Unknown):
                    continue
                file = read_tree(found.tree, found.table, shape=found.shape)
                family.files[:] = [file]
                resolve(family)
                readings = [reading for reading in file.readings if reading.error is None]
                conversion = convert_readings(family, readings, target)
            except BeadwiseError as error:
                made.problems.append(Problem(error.says, Location(shown), error.hint))
                continue
            made.problems += [Problem(one.says, Location(shown), one.hint) for one in conversion.problems]
            inside = place(folder, shown)
            outputs = [os.path.join(inside, safe_name(one.name)) for one in conversion.files]
            for output, one in zip(outputs, conversion.files, strict=True):
                _write(made, output, one.data, replace)
            ledger.add(conversion, shown, [os.path.relpath(output, folder).replace(os.sep, "/") for output in outputs])
            if progress is not None:
                progress(made.files)
        ledger.finish()
        made.counts = ledger.counts
    except OSError as error:
        raise OutputError(f"cannot be written: {reason(error)}", Location(path), "what was written is whole") from None
    finally:
        ledger.file.close()
        if os.path.exists(ledger.aside):
            os.unlink(ledger.aside)
    return made


def _sources(catalogue: Catalogue, archive: str, made: Exported) -> Iterator[tuple[str, str, bytes]]:
    """Every readable file: its shown path, the one that parents are looked up by, and its bytes."""
    for folder in walk(archive):
        for file in folder.files:
            shown = join(folder.path, file.name)
            try:
                if file.is_zip:
                    wanted = _readable(catalogue, shown + "!")
                    if wanted:
                        yield from _members(file.real, shown + "!", wanted)
                elif file.name in _readable(catalogue, folder.path, file.name):
                    inner = f"{folder.path}/{file.name}" if folder.path else file.name
                    yield shown, inner, read_bytes(file.real, LIMITS["size"].most)
            except BeadwiseError as error:
                made.problems.append(Problem(error.says, Location(shown), error.hint))


def _members(path: str, shown: str, wanted: set[str]) -> Iterator[tuple[str, str, bytes]]:
    file = zips.Zip(path)
    try:
        for member in zips.members(path):
            if member.name in wanted:
                yield join(shown, member.name), f"{shown}/{member.name}", file.read(int(member.real))
    finally:
        file.close()


def _readable(catalogue: Catalogue, folder: str, name: str | None = None) -> set[str]:
    one = "" if name is None else " AND f.name = ?"
    rows = catalogue.rows(
        "SELECT f.name FROM files f JOIN folders d ON d.id = f.folder WHERE d.path = ? AND f.status = 'read'" + one,
        folder,
        *(() if name is None else (name,)),
    )
    return {row[0] for row in rows}

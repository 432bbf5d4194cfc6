"""Puts settings into files, with what that changed in their text; a file that cannot say a value is left as it is."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from convert.api import Inputs, Session
from convert.cli.assignments import Assignments
from convert.dialects.atoms import CannotSay
from convert.dialects.beads import TWINS
from convert.dialects.inherit import Origins
from convert.dialects.reader import FileReading, Reading
from convert.dialects.table import Table
from convert.errors import BeadwiseError
from convert.model.profile import equal_values
from convert.model.setting import SETTINGS
from convert.model.value import Share, Value
from convert.report.edits import Change, Edit
from convert.report.values import spoken


def edit_files(session: Session, inputs: Inputs, assigned: Assignments) -> list[tuple[Edit, bytes]]:
    """Each file that was read, with what became of it and its new bytes."""
    made = []
    for file in [file for file in inputs.family.files if file.requested]:
        readings = [one for one in file.readings if any(one is other for other in inputs.readings)]
        if readings:
            made.append(_edit_file(session, inputs, file, readings, assigned))
    return made


def _edit_file(
    session: Session, inputs: Inputs, file: FileReading, readings: list[Reading], assigned: Assignments
) -> tuple[Edit, bytes]:
    scopes = tuple(dict.fromkeys(scope for reading in readings for scope in reading.scopes))
    edit = Edit(file.path, file.table.dialect, scopes)
    old = file.tree.source.data
    wanted = {name: value for name, value in assigned.items() if SETTINGS[name].scope in scopes}
    if not wanted:
        edit.notes.append(f"holds no {' or '.join(sorted({SETTINGS[name].scope for name in assigned}))} settings")
        return edit, old
    for name in wanted:
        if name not in file.table.by_setting:
            twin = TWINS.get(name, "")
            instead = f", but one for {twin}" if twin in file.table.by_setting else ""
            _refuse(edit, f"{file.table.dialect} has no key for {name}{instead}")
    if edit.refused is not None:
        return edit, old
    before = [_texts(file, reading) for reading in file.readings]
    owned = [dict(reading.own) for reading in file.readings]
    conversion = session.edit(Inputs(family=inputs.family, readings=readings), wanted)
    if not conversion.files:
        edit.refused = conversion.problems[0].says if conversion.problems else "it cannot be written"
        return edit, old
    data = conversion.files[0].data
    after = session.reread(inputs, file.path, data, file.table.dialect)
    if len(after.readings) != len(file.readings):
        edit.refused = "the changed file would not be read as before"
        return edit, old
    for number, (reading, new) in enumerate(zip(file.readings, after.readings, strict=True)):
        edit.changes += _changes(reading.name, before[number], _texts(after, new))
        if any(reading is one for one in readings):
            _verify(edit, reading, owned[number], new, wanted)
    if edit.refused is not None:
        edit.changes.clear()
        edit.notes.clear()
        return edit, old
    return edit, data


def _refuse(edit: Edit, says: str) -> None:
    edit.refused = says if edit.refused is None else f"{edit.refused}; {says}"


def _texts(file: FileReading, reading: Reading) -> dict[str, tuple[str, int]]:
    """Key -> its text in the file, and its line."""
    tree = file.tree
    found = {}
    for key, index in reading.indices.items():
        entry = tree.entry(index)
        found[key] = tree.source.text[entry.start : entry.end], tree.source.place(entry.start)[0]
    return found


def _changes(profile: str, old: Mapping[str, tuple[str, int]], new: Mapping[str, tuple[str, int]]) -> list[Change]:
    found = []
    for key in dict.fromkeys((*new, *old)):
        before, after = old.get(key), new.get(key)
        if (before and before[0]) != (after and after[0]):
            line = after[1] if after else before[1] if before else None
            found.append(Change(profile, key, line, before[0] if before else None, after[0] if after else None))
    return sorted(found, key=lambda change: change.line or 0)


def _verify(
    edit: Edit, reading: Reading, old: Mapping[str, Value], after: Reading, wanted: Mapping[str, Value | None]
) -> None:
    """Compare what the file says now with what was asked for."""
    origins = reading.profile.origins if reading.profile is not None else {}
    dialect = reading.table.dialect
    for name, value in wanted.items():
        if SETTINGS[name].scope not in reading.scopes:
            continue
        said = after.meant.get(name)
        if value is None:
            if name in after.own:
                _refuse(edit, f"{dialect} always says {name}")
            elif isinstance(origins, Origins):
                edit.notes += _behind(name, name in old, origins)
        elif said is None:
            _refuse(edit, _reason(reading.table, name, value))
        elif not equal_values(said, value):
            if isinstance(said, Fraction) and not equal_values(said, old.get(name)):
                why = "it has no such relation" if isinstance(value, Share) else "it holds fewer digits"
                edit.notes.append(f"{name} is {spoken(said, name)} now, not {spoken(value, name)}: {why}")
            else:
                _refuse(edit, _reason(reading.table, name, value))


def _inherited(name: str, origins: object) -> Value | None:
    """What holds for a setting that the profile does not say itself."""
    if not isinstance(origins, Origins):
        return None
    parent = next((one for one in origins.chain[1:] if name in one.own), None)
    if parent is not None:
        return parent.own[name]
    return origins.defaults.get(name) or origins.chain[0].table.defaults.get(name)


def _behind(name: str, was_own: bool, origins: Origins) -> list[str]:
    """What shows when a setting is taken away."""
    parent = next((one for one in origins.chain[1:] if name in one.own), None)
    value = _inherited(name, origins)
    if value is None:
        return [] if was_own else [f"{name} is not said here"]
    source = f"inherited from {parent.name}" if parent is not None else f"assumed by {origins.chain[0].table.dialect}"
    return [f"{name} is {spoken(value, name)} {'now' if was_own else 'still'}, {source}"]


def _reason(table: Table, name: str, value: Value) -> str:
    """Why a dialect cannot say a value."""
    phrase = f"{name} = {spoken(value, name)}"
    try:
        table.by_setting[name].write({name: value}, {})
    except CannotSay as obstacle:
        return f"{table.dialect} cannot say {phrase}: its key {obstacle.says}"
    except BeadwiseError as error:
        return f"{table.dialect} cannot say {phrase}: {error.says}"
    return f"{table.dialect} cannot say {phrase}"

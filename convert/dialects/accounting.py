"""Keeps the ledger of a conversion: an entry for every key of the files that were read and of those that were made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from convert.dialects.atoms import Cell, NumberAtom
from convert.dialects.fates import CARRIED, CONVERTED, DROPPED, EXACT, INVALID, MADE_EXPLICIT, ORDER, UNKNOWN, worst
from convert.dialects.inherit import Family, Origins
from convert.dialects.ledger import Entry, Ledger
from convert.dialects.lenses import OneLens
from convert.dialects.plan import Item, Plan
from convert.dialects.reader import FileReading, Reading, Record
from convert.dialects.table import Table
from convert.dialects.writer import Outcome
from convert.model.phrase import spell_phrase
from convert.model.profile import equal_values
from convert.model.setting import SETTINGS

Met = dict[str, list[tuple[Outcome, Item]]]
"""What became of a profile's own settings: setting -> outcomes in the output files."""


def account(family: Family, done: Sequence[tuple[Plan, FileReading]], ledger: Ledger) -> None:
    """Fill the ledger: first the source's keys, file by file, then the target's."""
    met: dict[int, Met] = {}
    held: set[int] = set()
    for one, _ in done:
        for item in one.items:
            _collect(one, item, met, held)
    for file in family.files:
        lines = file.tree.lines()
        for reading in file.readings:
            _source(ledger, file, reading, lines, met.get(id(reading)), id(reading) in held)
        fate = CARRIED if any(id(reading) in held for reading in file.readings) else UNKNOWN
        _stray(ledger, "source", file, lines, fate)
    for one, back in done:
        lines = back.tree.lines()
        items = {id(item.reading): item for item in one.items if item.reading is not None}
        for reading in back.readings:
            found = items.get(id(reading))
            _target(ledger, back, reading, lines, found, one.kept is not None)
            if found is not None:
                for name, value in back.table.default_for(reading.scopes):
                    if name not in found.values and name not in reading.own and name not in reading.broken:
                        ledger.assumed.append((name, spell_phrase(value, SETTINGS[name]), back.path))
        _stray(ledger, "target", back, lines, CARRIED)


def _collect(one: Plan, item: Item, met: dict[int, Met], held: set[int]) -> None:
    """Hand the outcomes of one output profile to the readings whose own values they are."""
    assert item.said is not None
    for profile in item.sources:
        origins = profile.origins
        if not isinstance(origins, Origins):
            continue
        by_reading = [(reading.own, met.setdefault(id(reading), {})) for reading in origins.chain]
        if one.kept is not None or (item.reading is not None and item.reading.table.codec):
            held.add(id(origins.chain[0]))
        alone = len(item.sources) == 1
        for name, outcome in item.said.outcomes.items():
            # Several sources: parts of a setup, or equal profiles that became one. All that say it are accounted.
            if alone or equal_values(profile.settings.get(name), item.values.get(name)):
                for own, outcomes in by_reading:
                    if name in own:
                        outcomes.setdefault(name, []).append((outcome, item))
                        break


def _stray(ledger: Ledger, side: str, file: FileReading, lines: Sequence[int], fate: str) -> None:
    """Keys outside all profiles."""
    for record in file.stray:
        path, key, value, _ = file.tree.rows[record.entry]
        text = _text(value)
        before, after = (text, None) if side == "source" else (None, text)
        ledger.entries.append(Entry(side, file.path, lines[record.entry], path, key, None, fate, before, after))


Fate = tuple[str, "str | None", "float | None", str]
"""What became of a key: fate, the text on the other side, residual, what to tell."""

_BOOK = "says what the profile is"
_BEATEN = "said again further down, and that counts"


def _source(
    ledger: Ledger, file: FileReading, reading: Reading, lines: Sequence[int], met: Met | None, held: bool
) -> None:
    """The entries of one profile that was read."""
    rows, add, path, error = file.tree.rows, ledger.entries.append, file.path, reading.error
    unknown: Fate = (CARRIED if held else UNKNOWN, None, None, "")
    book: Fate = (EXACT if held else CONVERTED, None, None, _BOOK)
    beaten: Fate = (CARRIED if held else DROPPED, None, None, _BEATEN)
    for record in reading.records:
        index, _, role, settings, note, _ = record
        group, key, value, _ = rows[index]
        text = value if value.__class__ is str else _text(value)
        setting = settings[0] if len(settings) == 1 else settings or None
        if role == "unknown":
            fate = unknown
        elif role == "book":
            fate = book
        elif role == "beaten":
            fate = beaten
        elif role == "invalid":
            fate = INVALID, None, None, note
        elif error is not None:
            fate = DROPPED, None, None, error.says
        else:
            fate = _said(reading, record, text, met)
        how, after, residual, says = fate
        add(Entry("source", path, lines[index], group, key, setting, how, text, after, residual, says))


def _said(reading: Reading, record: Record, before: str, met: Met | None) -> Fate:
    """The fate of a key that was read, by the greatest loss that any of its settings met in any output file."""
    if met is None:
        return DROPPED, None, None, "in no output file"
    settings = record.settings
    if len(settings) == 1:
        found = met.get(settings[0], [])
    else:
        found = [pair for name in settings for pair in met.get(name, ())]
    if not found:
        return DROPPED, None, None, "overridden by every profile that inherits it"
    outcome, item = found[0] if len(found) == 1 else max(found, key=lambda pair: ORDER[pair[0].fate])
    fate, after, says = outcome.fate, _written(outcome, item), outcome.says
    if fate == EXACT and outcome.keys:
        same = after == before and _scale_of(reading, record.key) == _scale(outcome, item)
        fate = EXACT if same else CONVERTED
    if record.says:
        says = f"{says}; {record.says}" if says else record.says
    return fate, after, _double(outcome.residual), says


def _target(
    ledger: Ledger, file: FileReading, reading: Reading, lines: Sequence[int], item: Item | None, kept: bool
) -> None:
    """The entries of one profile of an output file."""
    rows, add, file_path = file.tree.rows, ledger.entries.append, file.path
    book: Fate = (EXACT if kept else CONVERTED, None, None, _BOOK)
    for record in reading.records:
        index, _, role, settings, note, _ = record
        path, key, value, _ = rows[index]
        after = value if value.__class__ is str else _text(value)
        setting = settings[0] if len(settings) == 1 else settings or None
        if role == "book":
            fate, setting = book, None
        elif role != "row" or item is None or item.said is None:
            fate = CARRIED, None, None, note
        else:
            fate = _came(reading, record, after, item, item.said.outcomes)
        how, before, residual, says = fate
        add(Entry("target", file_path, lines[index], path, key, setting, how, before, after, residual, says))


def _came(reading: Reading, record: Record, after: str, item: Item, outcomes: Mapping[str, Outcome]) -> Fate:
    """The fate of a key that was written, and the text that it came from."""
    settings = record.settings
    only = outcomes.get(settings[0]) if len(settings) == 1 else None
    if only is not None:
        _, fate, _, _, residual, says, _ = only
    else:
        found = [outcomes[name] for name in settings if name in outcomes]
        if not found:
            return CARRIED, None, None, ""
        fate = worst(*(outcome.fate for outcome in found))
        says = "; ".join(dict.fromkeys(outcome.says for outcome in found if outcome.says))
        residual = max((o.residual for o in found if o.residual is not None), key=abs, default=None)
    before = None
    source, source_key = _origin(item, settings[0])
    if source is not None and source_key in source.cells:
        value = source.cells[source_key].value
        before = value if value.__class__ is str else _text(value)
        if fate == EXACT and not (before == after and _scale_of(source, source_key) == _scale_of(reading, record.key)):
            fate = CONVERTED
    elif source is not None and fate in (EXACT, CONVERTED):
        fate, says = MADE_EXPLICIT, f"{source.table.dialect} takes it when the key is absent"
    return fate, before, _double(residual), says


def _origin(item: Item, name: str) -> tuple[Reading | None, str]:
    """The reading that says a value and its key there; the key is "" where the value is a default of the dialect."""
    profile = item.sources[0] if len(item.sources) == 1 else item.source_of(name)
    origins = profile.origins if profile is not None else None
    if not isinstance(origins, Origins):
        return None, ""
    owner = origins.owner(name)
    if owner is None:
        return (origins.chain[0], "") if name in origins.defaults else (None, "")
    lens = owner.table.by_setting.get(name)
    for key in lens.keys if lens is not None else ():
        if key in owner.cells:
            return owner, key
    return owner, ""


def _written(outcome: Outcome, item: Item) -> str | None:
    """The text that says an outcome in the target."""
    assert item.said is not None
    for key in outcome.keys:
        cell = item.said.cells.get(key)
        if cell is not None:
            return cell.value if cell.value.__class__ is str else _text(cell.value)
    return None


def _double(residual: Fraction | None) -> float | None:
    """A residual for the document; one beyond all doubles is told in words only."""
    try:
        return None if residual is None else float(residual)
    except OverflowError:
        return None


def _text(value: object) -> str:
    """A cell's value in one line of text, for the ledger."""
    if isinstance(value, tuple):
        return "[" + ", ".join([_text(item) for item in value]) + "]"
    return str(value)


def _scale_of(reading: Reading, key: str) -> object:
    return _scale_in(reading.table, key, reading.cells.get(key))


def _scale(outcome: Outcome, item: Item) -> object:
    if item.reading is None or not outcome.keys:
        return None
    assert item.said is not None
    key = outcome.keys[0]
    return _scale_in(item.reading.table, key, item.said.cells.get(key))


def _scale_in(table: Table, key: str, cell: Cell | None) -> object:
    """What a bare number means under a key: equal texts are the same words only if this is equal too."""
    lens = table.all_keys.get(key)
    if not isinstance(lens, OneLens):
        return None
    atom = lens.atom
    if not isinstance(atom, NumberAtom):
        return None
    return atom.scale if atom.where == "table" else (atom.scale, cell.unit if cell is not None else None)

"""Keeps the ledger of a conversion: an entry for every key of the files that were read and of those that were made."""

from __future__ import annotations

from collections.abc import Sequence
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
        for reading in file.readings:
            _source(ledger, file, reading, met.get(id(reading)), id(reading) in held)
        fate = CARRIED if any(id(reading) in held for reading in file.readings) else UNKNOWN
        _stray(ledger, "source", file, fate)
    for one, back in done:
        items = {id(item.reading): item for item in one.items if item.reading is not None}
        for reading in back.readings:
            found = items.get(id(reading))
            for record in reading.records:
                ledger.entries.append(_target(back, reading, record, found, one.kept is not None))
            if found is not None:
                broken = {name for record in reading.records if record.role == "invalid" for name in record.settings}
                for name, value in back.table.default_for(reading.scopes):
                    if name not in found.values and name not in reading.own and name not in broken:
                        ledger.assumed.append((name, spell_phrase(value, SETTINGS[name]), back.path))
        _stray(ledger, "target", back, CARRIED)


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


def _stray(ledger: Ledger, side: str, file: FileReading, fate: str) -> None:
    """Keys outside all profiles."""
    for record in file.stray:
        path, key, value, _ = file.tree.rows[record.entry]
        text = _text(value)
        before, after = (text, None) if side == "source" else (None, text)
        ledger.entries.append(
            Entry(side, file.path, file.tree.line(record.entry), path, key, None, fate, before, after)
        )


def _source(ledger: Ledger, file: FileReading, reading: Reading, met: Met | None, held: bool) -> None:
    """The entries of one profile that was read."""
    rows, line_of, add, path = file.tree.rows, file.tree.line, ledger.entries.append, file.path
    unknown = CARRIED if held else UNKNOWN
    for record in reading.records:
        group, key, value, _ = rows[record.entry]
        text = value if value.__class__ is str else _text(value)
        line = line_of(record.entry)
        settings = record.settings
        setting = settings[0] if len(settings) == 1 else settings or None
        if record.role == "row" and reading.error is None:
            add(_said(Entry("source", path, line, group, key, setting, DROPPED, text), reading, record, met))
        elif record.role == "unknown":
            add(Entry("source", path, line, group, key, None, unknown, text))
        elif record.role == "book":
            add(Entry("source", path, line, group, key, None, EXACT if held else CONVERTED, text, None, None, _BOOK))
        elif record.role == "beaten":
            fate = CARRIED if held else DROPPED
            add(Entry("source", path, line, group, key, setting, fate, text, None, None, _BEATEN))
        elif record.role == "invalid":
            add(Entry("source", path, line, group, key, setting, INVALID, text, None, None, record.says))
        else:
            says = reading.error.says if reading.error is not None else ""
            add(Entry("source", path, line, group, key, setting, DROPPED, text, None, None, says))


_BOOK = "says what the profile is"
_BEATEN = "said again further down, and that counts"


def _said(entry: Entry, reading: Reading, record: Record, met: Met | None) -> Entry:
    """The entry of a key that was read, by the greatest loss that any of its settings met in any output file."""
    found = [pair for name in record.settings for pair in met.get(name, ())] if met is not None else []
    if not found:
        says = "in no output file" if met is None else "overridden by every profile that inherits it"
        return entry._replace(says=says)
    outcome, item = found[0] if len(found) == 1 else max(found, key=lambda pair: ORDER[pair[0].fate])
    fate, after = outcome.fate, _written(outcome, item)
    if fate == EXACT and outcome.keys:
        same = after == entry.before and _scale_of(reading, record.key) == _scale(outcome, item)
        fate = EXACT if same else CONVERTED
    residual = _double(outcome.residual)
    says = "; ".join(text for text in (outcome.says, record.says) if text)
    return Entry(*entry[:6], fate, entry.before, after, residual, says)


def _target(file: FileReading, reading: Reading, record: Record, item: Item | None, kept: bool) -> Entry:
    """The entry of a key in an output file."""
    path, key, value, _ = file.tree.rows[record.entry]
    after = value if value.__class__ is str else _text(value)
    line = file.tree.line(record.entry)
    settings = record.settings
    setting = settings[0] if len(settings) == 1 else settings or None
    if record.role == "book":
        fate = EXACT if kept else CONVERTED
        return Entry("target", file.path, line, path, key, None, fate, None, after, None, _BOOK)
    if record.role != "row" or item is None or item.said is None:
        return Entry("target", file.path, line, path, key, setting, CARRIED, None, after, None, record.says)
    outcomes = [item.said.outcomes[name] for name in settings if name in item.said.outcomes]
    if not outcomes:
        return Entry("target", file.path, line, path, key, setting, CARRIED, None, after)
    if len(outcomes) == 1:
        fate, says, worst_residual = outcomes[0].fate, outcomes[0].says, outcomes[0].residual
    else:
        fate = worst(*(outcome.fate for outcome in outcomes))
        says = "; ".join(dict.fromkeys(outcome.says for outcome in outcomes if outcome.says))
        worst_residual = max((o.residual for o in outcomes if o.residual is not None), key=abs, default=None)
    residual = _double(worst_residual)
    before = None
    source, source_key = _origin(item, settings[0])
    if source is not None and source_key in source.cells:
        before = _text(source.cells[source_key].value)
        if fate == EXACT and not (before == after and _scale_of(source, source_key) == _scale_of(reading, record.key)):
            fate = CONVERTED
    elif source is not None and fate in (EXACT, CONVERTED):
        fate, says = MADE_EXPLICIT, f"{source.table.dialect} takes it when the key is absent"
    return Entry("target", file.path, line, path, key, setting, fate, before, after, residual, says)


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
        return "[" + ", ".join(_text(item) for item in value) + "]"
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

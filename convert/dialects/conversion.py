"""The conversion itself: profiles through a plan into files, read back, with a ledger that leaves nothing out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from convert.dialects import ledger as ledgers
from convert.dialects.accounting import account
from convert.dialects.detect import parse
from convert.dialects.fates import DROPPED
from convert.dialects.inherit import Family, carry, resolve
from convert.dialects.plan import Item, Plan, plan
from convert.dialects.reader import FileReading, Reading, read_tree
from convert.dialects.table import Table
from convert.dialects.writer import say
from convert.errors import InputError, Location, OutputError, Problem
from convert.model.profile import Layout as KeptText
from convert.model.profile import Profile, equal_values
from convert.model.value import Value
from convert.text.source import Source
from convert.text.tree import Addition, New, Tree


@dataclass(frozen=True, slots=True)
class OutputFile:
    """One file to write: a name without folder, and its bytes."""

    name: str
    data: bytes


@dataclass(slots=True)
class Conversion:
    """What a conversion gives: files, the ledger, and problems met on the way."""

    files: list[OutputFile] = field(default_factory=list)
    ledger: ledgers.Ledger = field(default_factory=lambda: ledgers.Ledger(ledgers.Side(""), ledgers.Side("")))
    problems: list[Problem] = field(default_factory=list)


def convert_readings(family: Family, readings: Sequence[Reading], table: Table) -> Conversion:
    """Convert profiles to the dialect of `table`. Files that do not read back equal are left out and become
    problems.
    """
    result = Conversion()
    dialects = sorted({reading.table.dialect for reading in readings})
    result.ledger.source = ledgers.Side(", ".join(dialects), [file.path for file in family.files])
    result.ledger.target.dialect = table.dialect
    if table.codec:
        for reading in readings:
            carry(reading)
    plans = plan(readings, table)
    done: list[tuple[Plan, FileReading]] = []
    links: dict[int, str] = {}
    kept = _kept_files(plans, table)
    for one in plans:
        try:
            if isinstance(one.kept, KeptText):
                tree = put(one, kept[id(one)])
            elif isinstance(one.kept, FileReading):
                tree = put(one, one.kept)
            else:
                tree = compose(one, table, links)
            back = _read_back(one, tree, table, result)
        except OutputError as error:
            result.problems.append(Problem(error.says, error.where or Location(one.name), error.hint))
            continue
        result.files.append(OutputFile(one.name, tree.source.data))
        result.ledger.target.files.append(one.name)
        done.append((one, back))
    account(family, done, result.ledger)
    return result


# ---- into files that exist


def _kept_files(plans: Sequence[Plan], table: Table) -> dict[int, FileReading]:
    """The files whose text the canonical documents kept, as a family of their own, so that parents are found."""
    family = Family()
    found: dict[int, FileReading] = {}
    for one in plans:
        if isinstance(one.kept, KeptText):
            mark = one.kept.mark.encode("latin-1")
            kept = Source(one.kept.file, b"", one.kept.text, one.kept.encoding, mark)
            source = Source.from_bytes(kept.encode(one.kept.text), one.kept.file)
            found[id(one)] = read_tree(parse(source, table), table)
            family.add(found[id(one)])
    resolve(family)
    for one in plans:
        if id(one) in found:
            _match(one.items, found[id(one)].readings)
    return found


def _match(items: Sequence[Item], readings: Sequence[Reading]) -> None:
    """Pair profiles with the places they came from: by name, scope and values, else by name and scope, else in order.

    Profiles of one name are told apart by what they say, for the order in which they come need not be the file's.
    """
    free = list(readings)
    for item in items:
        item.reading = None
    for like in (_same, _named, _shaped):
        for item in items:
            if item.reading is None:
                item.reading = next((reading for reading in free if like(item, reading)), None)
                if item.reading is not None:
                    free = [reading for reading in free if reading is not item.reading]


def _shaped(item: Item, reading: Reading) -> bool:
    return set(reading.scopes) == set(item.scopes)


def _named(item: Item, reading: Reading) -> bool:
    return reading.name == item.name and _shaped(item, reading)


def _same(item: Item, reading: Reading) -> bool:
    meant = reading.meant or reading.own
    return (
        _named(item, reading)
        and meant.keys() == item.values.keys()
        and all(equal_values(value, item.values[name]) for name, value in meant.items())
    )


def put(one: Plan, file: FileReading) -> Tree:
    """Bring profiles into a file that exists; all bytes that say nothing else stay."""
    table, tree = file.table, file.tree
    changes: dict[int, New | None] = {}
    added: list[tuple[tuple[str, ...], list[New]]] = []
    for item in one.items:
        reading = item.reading
        if reading is None:
            raise OutputError(f"the kept file has no place for {item.name!r}", Location(one.name), "convert it anew")
        current = reading.meant or reading.own
        broken = {record.key for record in reading.records if record.role == "invalid"}
        cells = {key: cell for key, cell in reading.cells.items() if key not in broken}
        item.said = say(table, reading.scopes, item.values, item.context, cells, current, reading.own, item.derived())
        fresh: dict[tuple[str, ...], list[New]] = {}
        for key, cell in item.said.cells.items():
            index = reading.indices.get(key)
            if index is None:
                if cell is not None:
                    path, name = table.place(key)
                    fresh.setdefault((*reading.root, *path), []).append(New(name, cell.value, cell.kind, cell.unit))
            elif cell is None:
                changes[index] = None
            elif cell != reading.cells[key]:
                before = reading.cells[key]
                unit = cell.unit if cell.unit != before.unit else None
                changes[index] = New(tree.entry(index).key, cell.value, cell.kind, unit)
        added += fresh.items()
    if changes:
        tree = tree.replace(changes)
    for path, items in added:
        tree = tree.extend(path, items)
    return tree


# ---- into new files


def compose(one: Plan, table: Table, links: dict[int, str]) -> Tree:
    """A new file for the profiles of a plan. `links` remembers under what name or file each profile went out."""
    layout = table.layout
    if table.codec:
        return _document(one, table)
    source = Source.from_bytes(layout.blank.encode(), one.name)
    tree = parse(source, table)
    taken: set[str] = set()
    added: list[Addition] = []
    for item in one.items:
        scope = item.scopes[0] if len(item.scopes) == 1 else ""
        word = layout.scope_words.get(scope, scope)
        label, called = "", item.name
        if layout.profile == "group":
            label, called = _label(layout.group, item, word, taken)
        root = (*layout.base, label) if label else ()
        links[id(item)] = one.name if layout.parent.get("by") == "file" else called
        link = links.get(id(item.parent)) if item.parent is not None else None
        current = None
        if link is not None and item.parent is not None and item.parent.said is not None:
            current = {n: o.value for n, o in item.parent.said.outcomes.items() if o.value is not None}
        current = {**_defaults(table, item), **(current or {})}
        item.said = say(table, item.scopes, item.values, item.context, {}, current, derived=item.derived())
        books = [
            (what, place, value)
            for what, place, value in (
                ("mark", layout.mark, layout.mark.get("value", "")),
                ("scope", layout.scope, word),
                ("name", layout.name, called),
                ("parent", layout.parent, link or ""),
            )
            if place and value
        ]
        attributes = {place["attribute"]: value for _, place, value in books if "attribute" in place}
        present = {row[1] for row in tree.rows if row[0] == root}
        head = [New(place["key"], value) for _, place, value in books if "key" in place and place["key"] not in present]
        groups: dict[tuple[str, ...], list[New]] = {root: head} if head or attributes or label else {}
        for key, cell in item.said.cells.items():
            if cell is not None:
                path, name = table.place(key)
                groups.setdefault((*root, *path), []).append(New(name, cell.value, cell.kind, cell.unit))
        added += [(path, items, attributes if path == root else {}) for path, items in groups.items()]
    return tree.extend_all(added)


def _defaults(table: Table, item: Item) -> dict[str, Value]:
    """Defaults of the target that say the same as the source already need not be written, unless the source wrote
    them.
    """
    found = {}
    for name, value in table.default_for(item.scopes):
        profile = item.source_of(name)
        if (
            profile is not None
            and profile.origins[name].how == "default"
            and equal_values(profile.settings[name], value)
        ):
            found[name] = value
    return found


def _label(pattern: str, item: Item, word: str, taken: set[str]) -> tuple[str, str]:
    """Label of a profile's group and name of the profile in it; a second one of the same label gets a number."""
    shape = (pattern or "{name}").replace("{scope}", word)
    name, number = item.name, 2
    while shape.replace("{name}", name) in taken:
        name = f"{item.name} {number}"
        number += 1
    label = shape.replace("{name}", name)
    taken.add(label)
    return label, name


def _document(one: Plan, table: Table) -> Tree:
    """The canonical document; its codec writes it whole."""
    from convert.model import codec

    item = one.items[0]
    carried: dict = {}
    layouts: dict = {}
    for profile in item.sources:
        carried.update(profile.carried)
        layouts.update(profile.layouts)
    profile = Profile(
        name=item.name, scopes=item.scopes, settings=item.values, origins={}, carried=carried, layouts=layouts
    )
    item.said = say(table, item.scopes, item.values, item.context, {})
    known = {key: cell.value for key, cell in item.said.cells.items() if cell is not None}
    text = codec.profile_to_text(profile, known) + "\n"
    if any(outcome.fate == DROPPED for outcome in item.said.outcomes.values()):  # all else was read again
        try:
            codec.loads(text, one.name)
        except InputError as error:
            raise OutputError(f"the document could not be read again: {error.says}", error.where, error.hint) from None
    return parse(Source.from_bytes(text.encode(), one.name), table)


# ---- reading back


def _read_back(one: Plan, tree: Tree, table: Table, result: Conversion) -> FileReading:
    """Read the output through the target's table and compare. OutputError if a setting differs.

    A tree is immutable and was parsed from exactly the bytes that will be written (see convert.text.tree).
    """
    file = read_tree(tree, table, one.name)
    _find_again(one, file)
    differing: list[str] = []
    equal = 0
    for item in one.items:
        assert item.said is not None
        own = item.reading.own if item.reading is not None else {}
        for name, outcome in item.said.outcomes.items():
            if outcome.value is None or outcome.fate == DROPPED:
                continue
            if not outcome.keys:
                equal += 1  # said by the parent or the default; the place that says it is checked there
            elif equal_values(own.get(name), outcome.value):
                equal += 1
            else:
                differing.append(name)
        for name in own.keys() - item.said.outcomes.keys():
            differing.append(name)
    result.ledger.equal += equal
    result.ledger.differs += len(differing)
    if differing:
        shown = ", ".join(differing[:5]) + (" ..." if len(differing) > 5 else "")
        raise OutputError(
            f"{len(differing)} setting(s) would not read back as written: {shown}",
            Location(one.name),
            "nothing was written; please report the file and the name table",
        )
    return file


def _find_again(one: Plan, file: FileReading) -> None:
    """Lead each item of a plan to its place in the output: where it stood in a kept file, in order in a new one."""
    before = next((item.reading.file.readings for item in one.items if item.reading is not None), [])
    if one.kept is not None and len(before) == len(file.readings):
        places = {id(reading): file.readings[number] for number, reading in enumerate(before)}
        for item in one.items:
            item.reading = places.get(id(item.reading))
    elif one.kept is None and len(file.readings) == len(one.items):
        for item, reading in zip(one.items, file.readings, strict=True):
            item.reading = reading
    else:
        _match(one.items, file.readings)

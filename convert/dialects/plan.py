"""Which output files a conversion makes, and which profiles go into each.

A profile goes back into its own file if the target is the dialect it came from (also when it comes by way of the
canonical document, which keeps the file's text). All others are laid out anew as the target holds them: a whole setup
per file, one scope per profile, several profiles per file.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import product
from math import prod

from convert.dialects.inherit import Origins, around
from convert.dialects.reader import FileReading, Reading
from convert.dialects.table import SCOPES, Table
from convert.dialects.writer import Said
from convert.errors import UsageError
from convert.model.profile import Layout as KeptText
from convert.model.profile import Profile, equal_values
from convert.model.setting import SETTINGS
from convert.model.value import Value

MOST_SETUPS = 2000
"""A workshop of four machines has some hundreds; thousands are a slip, and each is a file."""
_FEWER = "convert fewer files at once, or pick profiles with --profile"


@dataclass(slots=True)
class Item:
    """One profile of the output: its values, their sources, and what is known around it."""

    name: str
    scopes: tuple[str, ...]
    values: dict[str, Value]
    sources: list[Profile]
    context: Mapping[str, Value] = field(default_factory=dict)
    parent: Item | None = None
    said: Said | None = None
    reading: Reading | None = None

    def derived(self) -> list[str]:
        """Values that nobody stated: reading made them of others."""
        return [
            name
            for profile in self.sources
            if isinstance(profile.origins, Origins)
            for name in profile.origins.derived
            if name in self.values
        ]

    def source_of(self, setting: str) -> Profile | None:
        """The profile that a value comes from."""
        return next((profile for profile in self.sources if setting in profile.settings), None)


@dataclass(slots=True)
class Plan:
    """One output file: a name, its profiles, and the text it starts from (None: a new file)."""

    name: str
    items: list[Item]
    kept: FileReading | KeptText | None = None


def plan(readings: Sequence[Reading], table: Table) -> list[Plan]:
    """The output files for these profiles."""
    plans: list[Plan] = []
    own: dict[int, Plan] = {}
    kept: dict[tuple[str, str], Plan] = {}
    fresh: list[Profile] = []
    everything = [reading.profile for reading in readings if reading.profile is not None]
    for reading in readings:
        profile = reading.profile
        if profile is None:
            continue
        item = Item(profile.name, profile.scopes, profile.settings, [profile], around(profile, everything))
        text = profile.layouts.get(table.dialect)
        if reading.table.dialect == table.dialect:
            if id(reading.file) not in own:
                own[id(reading.file)] = Plan(base_name(reading.file.path), [], reading.file)
                plans.append(own[id(reading.file)])
            item.reading = reading
            own[id(reading.file)].items.append(item)
        elif text is not None:
            if (text.file, text.text) not in kept:
                kept[text.file, text.text] = Plan(text.file, [], text)
                plans.append(kept[text.file, text.text])
            kept[text.file, text.text].items.append(item)
        else:
            fresh.append(profile)
    if fresh:
        plans += _laid_out(fresh, everything, table, readings)
    _unique_names(plans)
    return plans


def _laid_out(fresh: list[Profile], everything: list[Profile], table: Table, readings: Sequence[Reading]) -> list[Plan]:
    layout = table.layout
    if layout.holds == "setup":
        items = _setups(fresh)
    elif layout.holds == "scope":
        items = _single(fresh, everything)
    else:
        items = [Item(p.name, p.scopes, dict(p.settings), [p], around(p, everything)) for p in fresh]
    if layout.parent:
        _link(items)
    if layout.profile == "file":
        return [Plan(file_name(table, item), [item]) for item in items]
    return [Plan(_group_name(table, items, readings), items)]


def _setups(profiles: list[Profile]) -> list[Item]:
    """Whole setups as they are; profiles of fewer scopes in every combination, parents in the shape of their
    children.
    """
    parents = {
        id(reading)
        for profile in profiles
        if isinstance(profile.origins, Origins)
        for reading in profile.origins.chain[1:]
    }
    profiles = [
        p for p in profiles if not (isinstance(p.origins, Origins) and id(p.origins.chain[0]) in parents)
    ] or profiles
    whole = [p for p in profiles if len(p.scopes) == len(SCOPES)]
    parts: list[list[Profile | None]] = [
        [p for p in profiles if scope in p.scopes and len(p.scopes) < len(SCOPES)] for scope in SCOPES
    ]
    items = [Item(p.name, p.scopes, dict(p.settings), [p], p.settings) for p in whole]
    number = prod(len(part) or 1 for part in parts)
    if number > MOST_SETUPS:
        each = " x ".join(str(len(part)) for part in parts if part)
        raise UsageError(f"{each} profiles make {number} setups, and {MOST_SETUPS} are the most", None, _FEWER)
    for combination in product(*[part or [None] for part in parts]):
        chosen: list[Profile] = []
        for profile in combination:
            if profile is not None and not any(profile is other for other in chosen):
                chosen.append(profile)
        if not chosen:
            continue
        values: dict[str, Value] = {}
        for profile in reversed(chosen):
            values.update(profile.settings)
        scopes = tuple(scope for scope in SCOPES if any(scope in p.scopes for p in chosen))
        items.append(Item(" - ".join(p.name for p in chosen), scopes, values, chosen, values))
    return items


def _single(profiles: list[Profile], everything: list[Profile]) -> list[Item]:
    """One item per scope; equal ones (the same machine in twelve setups) become one."""
    items: list[Item] = []
    schema = SETTINGS.rows()
    by_name: dict[tuple[str, str], list[Item]] = {}
    for profile in profiles:
        context = around(profile, everything)
        for scope in profile.scopes:
            values = {name: value for name, value in profile.settings.items() if schema[name].scope == scope}
            if not values and len(profile.scopes) > 1:
                continue
            name = profile.name
            said = values.get(f"{scope}.name")
            if len(profile.scopes) > 1 and isinstance(said, str) and said:
                name = said
            twins = by_name.setdefault((scope, name), [])
            twin = next((item for item in twins if _equal(item.values, values)), None)
            if twin is not None:
                twin.sources.append(profile)
                continue
            if twins:
                name = f"{name} {len(twins) + 1}"
            items.append(Item(name, (scope,), values, [profile], context))
            twins.append(items[-1])
    return items


def _equal(a: Mapping[str, Value], b: Mapping[str, Value]) -> bool:
    return a.keys() == b.keys() and all(equal_values(value, b[name]) for name, value in a.items())


def _link(items: list[Item]) -> None:
    """Keep inheritance where the parent goes into the output too."""
    by_reading: dict[int, Item] = {}
    for item in items:
        chain = _chain(item)
        if chain:
            by_reading[id(chain[0])] = item
    for item in items:
        chain = _chain(item)
        if len(chain) > 1 and len(chain[0].parents) == 1:
            parent = by_reading.get(id(chain[1]))
            if parent is not None and parent is not item and parent.scopes == item.scopes:
                item.parent = parent


def _chain(item: Item) -> tuple[Reading, ...]:
    origins = item.sources[0].origins if len(item.sources) == 1 else None
    return origins.chain if isinstance(origins, Origins) else ()


def file_name(table: Table, item: Item) -> str:
    """How a new file is called: the table's pattern, with a name that every file system takes."""
    scope = item.scopes[0] if len(item.scopes) == 1 else "setup"
    word = table.layout.scope_words.get(scope, scope)
    return table.file.replace("{name}", safe_name(item.name)).replace("{scope}", safe_name(word))


def _group_name(table: Table, items: list[Item], readings: Sequence[Reading]) -> str:
    stems = {base_name(reading.file.path).partition(".")[0] for reading in readings if reading.file.requested}
    machines = [item.name for item in items if "machine" in item.scopes]
    name = stems.pop() if len(stems) == 1 else (machines[0] if len(machines) == 1 else "profiles")
    return table.file.replace("{name}", safe_name(name)).replace("{scope}", "profiles")


def safe_name(name: str) -> str:
    """A file name part of a profile's name.

    >>> safe_name("Fine 0.2 / quick?"), safe_name(" .. ")
    ('Fine 0.2 - quick-', 'profile')
    """
    kept = "".join(char if char.isalnum() or char in " ._+-()" else "-" for char in name).strip(" .")
    return kept[:120].strip(" .") or "profile"


def base_name(path: str) -> str:
    return path.replace("\\", "/").rsplit("/", 1)[-1]


def _unique_names(plans: list[Plan]) -> None:
    seen: dict[str, int] = {}
    for one in plans:
        name = one.name
        count = seen.get(name.lower(), 0)
        seen[name.lower()] = count + 1
        if count:
            stem, dot, extension = name.partition(".")
            one.name = f"{stem} {count + 1}{dot}{extension}"
            seen[one.name.lower()] = 1

"""The canonical profile: values of settings, where each came from, and what is needed for the way back.

>>> from fractions import Fraction
>>> fine = Profile("fine", ("process",), {"layer.height": Fraction(1, 10)})
>>> brass = Profile("brass", ("machine",), {"nozzle.diameter": (Fraction(2, 5),)})
>>> setup = merge([brass, fine])
>>> setup.name, setup.scopes, sorted(setup.settings)
('brass + fine', ('machine', 'process'), ['layer.height', 'nozzle.diameter'])
>>> [part.scopes for part in split(setup)]
[('machine',), ('process',)]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from convert.errors import UsageError
from convert.model.numbers import same_number
from convert.model.setting import SCOPES, SETTINGS, scope_of
from convert.model.value import Share, Value


class Origin(NamedTuple):
    """Why a value is what it is. `how` is own, inherited, default or derived; `source` is the name of the parent that
    an inherited value comes from, or of the rule that derived it."""

    how: str
    file: str
    line: int | None = None
    key: str = ""
    source: str = ""


class Carried(NamedTuple):
    """A key that no name table names, kept word for word for the way back."""

    path: tuple[str, ...]
    key: str
    text: str


class Layout(NamedTuple):
    """The text of the file that a profile was read from: the way back restores its comments, order and spacing.

    `mark` is the file's byte-order mark, its bytes as Latin-1 characters; "" if it has none.
    """

    file: str
    encoding: str
    text: str
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Profile:
    """Values of one or more scopes. `carried` and `layouts` are kept by dialect."""

    name: str
    scopes: tuple[str, ...]
    settings: dict[str, Value]
    origins: Mapping[str, Origin] = field(default_factory=dict)
    carried: dict[str, tuple[Carried, ...]] = field(default_factory=dict)
    layouts: dict[str, Layout] = field(default_factory=dict)


def equal_values(a: Value | None, b: Value | None) -> bool:
    """Whether two values are the same: numbers by same_number, also within lists and shares; all else exactly.

    >>> equal_values((Fraction(50, 3), False), (Fraction("16.666666666666667"), False)), equal_values(Fraction(1), True)
    (True, False)
    """
    if a is b:
        return True
    if a.__class__ is not b.__class__:
        return False
    if isinstance(a, Fraction):
        return same_number(a, b)  # type: ignore[arg-type]  # of one class
    pairs: list[tuple[Value | None, Value | None]] = [(a, b)]
    while pairs:
        one, two = pairs.pop()
        if isinstance(one, Fraction) and isinstance(two, Fraction):
            if not same_number(one, two):
                return False
        elif isinstance(one, Share) and isinstance(two, Share):
            if one.of != two.of or not same_number(one.percent, two.percent):
                return False
        elif isinstance(one, tuple) and isinstance(two, tuple):
            if len(one) != len(two):
                return False
            pairs.extend(zip(one, two, strict=True))
        elif type(one) is not type(two) or one != two:
            return False
    return True


def merge(profiles: Sequence[Profile]) -> Profile:
    """The profiles as one setup.

    Settings that two of them state must agree (UsageError names both places). What two of them carry for one dialect is
    put one after the other; of two different layouts for one dialect neither is kept, for neither shows the whole.
    """
    settings: dict[str, Value] = {}
    origins: dict[str, Origin] = {}
    carried: dict[str, tuple[Carried, ...]] = {}
    layouts: dict[str, Layout | None] = {}
    for profile in profiles:
        for name, value in profile.settings.items():
            if name not in settings:
                settings[name] = value
                if name in profile.origins:
                    origins[name] = profile.origins[name]
            elif not equal_values(settings[name], value):
                raise _conflict(name, settings[name], value, origins.get(name), profile)
        for dialect, keys in profile.carried.items():
            carried[dialect] = (*carried.get(dialect, ()), *keys)
        for dialect, layout in profile.layouts.items():
            layouts[dialect] = layout if layouts.get(dialect, layout) == layout else None
    named = {scope for profile in profiles for scope in profile.scopes}
    return Profile(
        " + ".join(dict.fromkeys(profile.name for profile in profiles if profile.name)),
        tuple(scope for scope in SCOPES if scope in named),
        settings,
        origins,
        carried,
        {dialect: layout for dialect, layout in layouts.items() if layout is not None},
    )


def _conflict(name: str, old: Value, new: Value, origin: Origin | None, profile: Profile) -> UsageError:
    from convert.model.phrase import spell_phrase  # only on the way to an error

    known = SETTINGS[name]
    here = profile.origins.get(name)
    first, second = (
        f"{spell_phrase(value, known)} in {place.file if place else other}"
        for value, place, other in ((old, origin, "one profile"), (new, here, profile.name or "another"))
    )
    return UsageError(f"{name} is {first} and {second}", None, "a setup needs one value: leave one of the files out")


def split(profile: Profile) -> list[Profile]:
    """One profile for each scope that it names or has settings of; merge() puts them together again.

    What is carried, and the layouts, stay with the first part: they are of the file, not of a scope.
    """
    parts: dict[str, dict[str, Value]] = {scope: {} for scope in SCOPES if scope in profile.scopes}
    for name, value in profile.settings.items():
        parts.setdefault(scope_of(name), {})[name] = value
    ordered = [scope for scope in SCOPES if scope in parts]
    return [
        Profile(
            profile.name,
            (scope,),
            parts[scope],
            {name: profile.origins[name] for name in parts[scope] if name in profile.origins},
            profile.carried if scope == ordered[0] else {},
            profile.layouts if scope == ordered[0] else {},
        )
        for scope in ordered
    ]


def scopes_of(settings: Mapping[str, Value]) -> tuple[str, ...]:
    """The scopes that these settings belong to, in the fixed order."""
    found = {scope_of(name) for name in settings}
    return tuple(scope for scope in SCOPES if scope in found)

"""What differs between two setups, decided on canonical values after inheritance and relations are followed.

    compare(old, new) -> Facts      of two mappings: what was added, removed, changed; what only looks different

>>> from fractions import Fraction
>>> from convert.model.value import Share
>>> old = {"speed.default": Fraction(100), "speed.infill": Share(Fraction(80), "speed.default")}
>>> new = {"speed.default": Fraction(150), "speed.infill": Share(Fraction(80), "speed.default"),
...        "speed.top": Fraction(60)}
>>> found = compare(old, new)
>>> for fact in found.facts:
...     print(fact.setting, fact.kind, fact.before_resolved, fact.after_resolved, fact.derived_from)
speed.default changed 100 150 None
speed.infill changed 80 120 speed.default
speed.top changed 100 60 None

A setting of a feature that one side leaves to the default of its family is compared with that default; an absent flow
factor is 100 %. What has no meaning on one side is added or removed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from convert.changes.dormant import is_dormant
from convert.changes.equality import same_outline, same_resolved
from convert.errors import InputError
from convert.model.profile import Profile, equal_values
from convert.model.resolve import bases, effective, resolve, stated
from convert.model.setting import SETTINGS
from convert.model.value import Share, Value

WHYS = ("unit", "relative", "inherited", "format", "inactive", "label", "code-equal")
"""Why a setting that looks different means the same.

    unit        another unit, scale or way to say it
    relative    a relation written as its value, or the other way round
    inherited   one side says it itself, the other takes it from a parent or a default
    format      another spelling of the same value
    inactive    the feature is off on both sides (dormant)
    label       a name or a remark, which no machine reads
    code-equal  command code that makes the machine do the same
"""

LABELS = frozenset(("machine.name", "feedstock.name", "feedstock.maker", "feedstock.colour", "process.name"))
"""Settings that only people read."""

TWINS = {
    "wall.thickness": "wall.count",
    "cover.upper_thickness": "cover.upper_layers",
    "cover.lower_thickness": "cover.lower_layers",
}
"""A thickness, and the count that some dialects state in its place."""


class Spelled(NamedTuple):
    """How a file says a setting: `how` as in Origin, and its text in a form that only equality is asked of."""

    how: str
    text: object = None


Speller = Callable[[str], Spelled | None]
"""Setting -> how that side's file says it; None where it does not."""


def origin_of(profile: Profile) -> Speller:
    """How a profile says its settings, without their texts."""

    def speller(name: str) -> Spelled | None:
        origin = profile.origins.get(name)
        return None if origin is None else Spelled(origin.how)

    return speller


class Fact(NamedTuple):
    """One setting whose value differs. Values are in the schema's unit; None: not stated, or it resolves to nothing.

    `before` and `after` are as stated (a relation stays one); `derived_from` is the setting whose change moved this one
    while its own text stayed as it was.
    """

    setting: str
    before: Value | None
    after: Value | None
    before_resolved: Value | None
    after_resolved: Value | None
    derived_from: str | None = None

    @property
    def kind(self) -> str:
        """added, removed or changed."""
        if self.before_resolved is None and self.before is None:
            return "added"
        return "removed" if self.after_resolved is None and self.after is None else "changed"


class Same(NamedTuple):
    """One setting that looks different and means the same; `says` is what is worth knowing all the same."""

    setting: str
    why: str
    says: str = ""


class Uncompared(NamedTuple):
    """Something that could not be compared, and what is in the way."""

    what: str
    why: str


@dataclass(slots=True)
class Facts:
    """The result for one pair of sides. `compared` counts settings, equal ones included."""

    facts: list[Fact] = field(default_factory=list)
    same: list[Same] = field(default_factory=list)
    compared: int = 0
    not_compared: list[Uncompared] = field(default_factory=list)

    def of(self, setting: str) -> Fact | None:
        """The fact about a setting, if it differs."""
        return next((fact for fact in self.facts if fact.setting == setting), None)


def compare(
    old: Mapping[str, Value],
    new: Mapping[str, Value],
    old_around: Mapping[str, Value] | None = None,
    new_around: Mapping[str, Value] | None = None,
    old_spelled: Speller | None = None,
    new_spelled: Speller | None = None,
) -> Facts:
    """Compare the settings of two sides.

    `old_around` and `new_around` are all that is known beside them (the machine of a process, say), their own settings
    included; without it relations to absent settings resolve to nothing. With the spellers, settings of equal value
    that are spelled or stated otherwise are told as such in `same`.
    """
    around = (old if old_around is None else old_around), (new if new_around is None else new_around)
    found = Facts()
    changed_bases: dict[str, bool] = {}
    for name in _ordered(old, new):
        before, after = old.get(name), new.get(name)
        if before is not None and after is not None and equal_values(before, after):
            moved = bases(before) and _moved(name, before, after, around, changed_bases, found)
            if not moved:
                found.compared += 1
                if old_spelled is not None and new_spelled is not None:
                    _look(name, old_spelled(name), new_spelled(name), found)
        else:
            _differing(name, before, after, around, (old_spelled, new_spelled), found)
    return found


Around = tuple[Mapping[str, Value], Mapping[str, Value]]


def _ordered(old: Mapping[str, Value], new: Mapping[str, Value]) -> list[str]:
    """The ids of both sides, in the order of the schema where they differ in what they state."""
    if old.keys() == new.keys():
        return list(old)
    return [name for name in SETTINGS.rows() if name in old or name in new]


def _look(name: str, one: Spelled | None, two: Spelled | None, found: Facts) -> None:
    """Two equal values that are perhaps said differently."""
    if one is None or two is None or (one.how == two.how and one.text == two.text):
        return
    if one.how != two.how and "derived" not in (one.how, two.how):
        found.same.append(Same(name, "inherited"))
    elif one.text is not None and two.text is not None and one.text != two.text:
        found.same.append(Same(name, "unit" if _numbers_differ(one.text, two.text) else "format"))


def _numbers_differ(one: object, two: object) -> bool:
    """Whether two texts are numbers that are not one number: then another unit or scale makes them equal."""
    from convert.model.numbers import is_number, parse_number, same_number

    texts = [_number_text(text) for text in (one, two)]
    first, second = texts
    if first is None or second is None or not is_number(first) or not is_number(second):
        return False
    return not same_number(parse_number(first), parse_number(second))


def _number_text(text: object) -> str | None:
    """The number of a spelling such as "60 mm/s" or "35%"."""
    while isinstance(text, tuple) and text:
        text = text[0]
    if not isinstance(text, str):
        return None
    from convert.model.numbers import split_quantity

    return split_quantity(text.strip())[0] or None


def _moved(name: str, before: Value, after: Value, around: Around, moved_bases: dict[str, bool], found: Facts) -> bool:
    """Whether a relation that both sides state alike comes to another value; it is then a fact."""
    if not any(_base_moved(base, around, moved_bases) for base in bases(before)):
        return False
    try:
        one, two = resolve(around[0], name), resolve(around[1], name)
    except InputError as error:
        found.not_compared.append(Uncompared(name, error.says))
        return True
    if one is None and two is None:
        return False
    if one is not None and two is not None and same_resolved(name, one, two):
        return False
    found.compared += 1
    _file(Fact(name, before, after, one, two, _root(name, around)), around, found)
    return True


def _base_moved(base: str, around: Around, known: dict[str, bool]) -> bool:
    """Whether what holds for a setting may differ between the sides."""
    if base not in known:
        known[base] = False  # a circle ends here; resolve tells it
        one, two = (stated(side, base) for side in around)
        if one != two or one is None or two is None:
            known[base] = one != two
        else:
            here, there = around[0][one], around[1][two]
            same = here is there or equal_values(here, there)
            known[base] = not same or any(_base_moved(further, around, known) for further in bases(here))
    return known[base]


def _root(name: str, around: Around) -> str:
    """The setting at whose change a relation moved: the first on the way whose own text differs."""
    seen = {name}
    here = name
    while True:
        value = around[1].get(here)
        following = next(iter(bases(value)), None) if value is not None else None
        if following is None:
            return here
        for side in around:
            other = stated(side, following)
            if other is None or other in seen:
                return following
        here = stated(around[1], following) or following
        seen.add(here)
        before, after = around[0].get(here), around[1].get(here)
        if before is None or after is None or not equal_values(before, after):
            return here


def _differing(
    name: str,
    before: Value | None,
    after: Value | None,
    around: Around,
    spelled: tuple[Speller | None, Speller | None],
    found: Facts,
) -> None:
    """Two values that are not stated alike: a fact, or one of the reasons why they mean the same."""
    try:
        one, two = effective(around[0], name), effective(around[1], name)
    except InputError as error:
        found.not_compared.append(Uncompared(name, error.says))
        return
    if SETTINGS[name].kind == "code" and _same_code(name, one, two, around):
        found.compared += 1
        found.same.append(Same(name, "code-equal"))
        return
    hows = [speller(name) if speller is not None else None for speller in spelled]
    if (one is None) != (two is None) and any(how is not None and how.how == "default" for how in hows):
        side = "OLD" if one is None else "NEW"
        found.not_compared.append(Uncompared(name, f"{side} does not state it, the other side's dialect assumes it"))
        return
    if _twin_says_it(name, before, after, around, spelled):
        found.compared += 1
        found.same.append(Same(name, "unit", f"{TWINS[name]} says the same"))
        return
    found.compared += 1
    why = None
    if one is not None and two is not None:
        why = _why_same(name, before, after, one, two, around)
    if why is not None:
        found.same.append(why)
        return
    _file(Fact(name, before, after, one, two), around, found)


def _same_code(name: str, one: Value | None, two: Value | None, around: Around) -> bool:
    """Whether two pieces of command code do the same; none at all does nothing."""
    from convert.changes.code import same_code

    texts = [text if isinstance(text, str) else "" for text in (one, two)]
    return same_code(name, texts[0], texts[1], around[1])


def _twin_says_it(
    name: str,
    before: Value | None,
    after: Value | None,
    around: Around,
    spelled: tuple[Speller | None, Speller | None],
) -> bool:
    """Whether a thickness only says the count that both sides have: one side states the thickness alone, the other the
    count, or each the thickness that its own dialect counts so.
    """
    count = TWINS.get(name)
    if count is None or (before is None and after is None):
        return False
    one, two = around[0].get(count), around[1].get(count)
    if one is None or two is None or not equal_values(one, two):
        return False
    for side, stated_ in enumerate((before, after)):
        speller = spelled[side]
        how = speller(count) if speller is not None else None
        if stated_ is not None and (how is None or how.how != "derived"):
            return False
    return True


def _why_same(
    name: str, before: Value | None, after: Value | None, one: Value, two: Value, around: Around
) -> Same | None:
    """The reason why two values mean the same, or None where they do not."""
    known = SETTINGS[name]
    if name in LABELS:
        return Same(name, "label")
    if known.kind == "outline":
        return Same(name, "format") if same_outline(one, two) else None
    if not same_resolved(name, one, two):
        return None
    if before is None or after is None:
        return Same(name, "inherited")
    first, second = bases(before), bases(after)
    if first == second and not _has_share(before) and not _has_share(after):
        return Same(name, "format")
    if first and not second:
        return Same(name, "relative", f"link to {first[0]} lost")
    if second and not first:
        return Same(name, "relative", f"now follows {second[0]}")
    return Same(name, "relative")


def _has_share(value: Value) -> bool:
    return isinstance(value, Share) or (isinstance(value, tuple) and any(isinstance(item, Share) for item in value))


def _file(fact: Fact, around: Around, found: Facts) -> None:
    """Put a difference where it belongs: among the facts, or among what means nothing."""
    if fact.setting in LABELS:
        found.same.append(Same(fact.setting, "label"))
    elif is_dormant(fact.setting, around[0]) and is_dormant(fact.setting, around[1]):
        found.same.append(Same(fact.setting, "inactive"))
    else:
        found.facts.append(fact)

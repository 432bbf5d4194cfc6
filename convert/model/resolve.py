"""What a value comes to: relations followed, absent features filled from their defaults.

>>> known = {"speed.default": Fraction(150), "speed.first_layer": Share(Fraction(40), "speed.default")}
>>> resolve(known, "speed.first_layer"), effective(known, "speed.outer_wall"), effective(known, "flow.infill")
(Fraction(60, 1), Fraction(150, 1), Fraction(100, 1))
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from convert.errors import InputError, UsageError
from convert.model.setting import SETTINGS, family, setting
from convert.model.value import Share, State, Value
from convert.units import convert, unit

# Where a setting of a family that is absent takes its value from, if not from the default of its family.
_NEXT = {
    "speed.first_layer_area": "speed.first_layer",
    "speed.first_layer_travel": "speed.travel",
}
_FULL = Fraction(100)


def stated(settings: Mapping[str, Value], name: str) -> str | None:
    """The id whose stated value holds for a setting: itself, or what it falls back to when absent; else None.

    speed, acceleration, jump and width of a feature fall back to the default of the family; the speeds of the first
    layer's filled area and travel to those of the first layer and of travel first.

    >>> stated({"speed.default": Fraction(60)}, "speed.first_layer_area")
    'speed.default'
    """
    while name not in settings:
        if name in _NEXT:
            name = _NEXT[name]
            continue
        head = family(name)
        fallback = f"{head}.default"
        if head is None or name == fallback or fallback not in settings:
            return None
        name = fallback
    return name


def effective(settings: Mapping[str, Value], name: str, tool: int | None = None) -> Value | None:
    """The resolved value that holds for a setting, whether stated or not; None if nothing is known.

    An absent feature takes the default of its family (see `stated`); an absent flow factor, flow.factor included, is
    100 %.
    """
    setting(name)
    found = stated(settings, name)
    if found is None:
        known = SETTINGS[name]
        return _FULL if known.kind == "percent" and name.startswith("flow.") else None
    return resolve(settings, found, tool)


def resolve(settings: Mapping[str, Value], name: str, tool: int | None = None) -> Value | None:
    """The value of a stated setting with its relations followed, in the setting's own unit; None if it is absent.

    A percent of an absent feature is a percent of what holds for that feature (`effective`); of a setting of which
    nothing is known it is None. A list resolves element by element, the second element of one list against the second
    of the other. With `tool`, counted from 1, the value for that tool alone. A share of a state is that state (half of
    unlimited is unlimited). A circle is an InputError that names it.
    """
    known = setting(name)
    if name not in settings:
        return None
    count = _tools(settings, name) if known.kind != "outline" else None
    if tool is not None:
        if tool < 1:
            raise UsageError(f"tool {tool}", None, "tools are counted from 1")
        return _follow(settings, name, tool - 1)
    if count is None:
        return _follow(settings, name, 0)
    values = [_follow(settings, name, index) for index in range(count)]
    return None if any(value is None for value in values) else tuple(value for value in values if value is not None)


def resolve_all(settings: Mapping[str, Value]) -> dict[str, Value]:
    """All stated settings that resolve, resolved."""
    found = {name: resolve(settings, name) for name in settings}
    return {name: value for name, value in found.items() if value is not None}


def circle(settings: Mapping[str, Value], name: str) -> list[str]:
    """The ids of a circle of relations through a setting, the first repeated at the end; empty if there is none.

    >>> half = Fraction(50)
    >>> circle({"speed.gap": Share(half, "speed.small"), "speed.small": Share(half, "speed.gap")}, "speed.gap")
    ['speed.gap', 'speed.small', 'speed.gap']
    """
    before: dict[str, str] = {}
    todo = [name]
    while todo:
        here = todo.pop()
        for base in bases(settings[here]) if here in settings else ():
            following = stated(settings, base)
            if following == name:
                path = [name, here]
                while path[-1] != name:
                    path.append(before[path[-1]])
                return path[::-1] if here != name else [name, name]
            if following is not None and following not in before:
                before[following] = here
                todo.append(following)
    return []


def bases(value: Value) -> tuple[str, ...]:
    """The settings that a value is a percent of, each once.

    >>> bases((Share(Fraction(40), "speed.default"), Fraction(30)))
    ('speed.default',)
    """
    if isinstance(value, Share):
        return (value.of,)
    if isinstance(value, tuple):
        return tuple(dict.fromkeys(item.of for item in value if isinstance(item, Share)))
    return ()


def _tools(settings: Mapping[str, Value], name: str) -> int | None:
    """The length of the first list on the way from a setting along its relations; None if all are single values."""
    seen: set[str] = set()
    todo: str | None = name
    while todo is not None and todo not in seen:
        seen.add(todo)
        value = settings[todo]
        if isinstance(value, tuple):
            return len(value)
        todo = stated(settings, value.of) if isinstance(value, Share) else None
    return None


def _follow(settings: Mapping[str, Value], name: str, index: int) -> Value | None:
    """One element of a setting's value, followed to its end."""
    factor = Fraction(1)
    path: list[str] = []
    here: str | None = name
    while here is not None:
        if here in path:
            chain = " -> ".join([*path[path.index(here) :], here])
            raise InputError(f"a circle of relations: {chain}", None, "give one of them a value of its own")
        path.append(here)
        value: Value = settings[here]
        if isinstance(value, tuple) and SETTINGS[here].kind != "outline":
            if index >= len(value):
                raise InputError(f"{here} has {len(value)} values, none for tool {index + 1}")
            value = value[index]
        if not isinstance(value, Share):
            return _scaled(value, factor, name, here)
        factor *= value.percent / 100
        if value.of not in SETTINGS:
            raise InputError(f"{here} is a percent of {value.of[:60]!r}, which is no setting")
        following = stated(settings, value.of)
        if following is None and value.of.startswith("flow."):
            return _scaled(_FULL, factor, name, value.of)
        here = following
    return None


def _scaled(value: Value, factor: Fraction, name: str, base: str) -> Value:
    if name == base or isinstance(value, State):
        return value
    own, other = SETTINGS[name], SETTINGS[base]
    if own.kind != other.kind:
        raise InputError(f"{name} ({own.kind}) cannot be a percent of {base} ({other.kind})")
    if isinstance(value, Fraction):
        found = value * factor
        return (
            found if own.unit == other.unit else convert(found, unit(other.unit, other.kind), unit(own.unit, own.kind))
        )
    if factor != 1:
        raise InputError(
            f"{name} cannot be a percent of {base}, which holds no number", None, "100 percent means the same"
        )
    return value

"""The fast judge of a profile: the same verdicts as the JSON Schema, without it, and what the schema cannot say.

A test holds the two judges together (tests/model/test_validate.py).

>>> profile = Profile("", ("process",), {"speed.outer_wall": Fraction(9000)})
>>> print(check(profile)[0])
speed.outer_wall is 9000 mm/s, allowed 0.1 to 5000; 9000 looks like mm/min: 150 mm/s
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import cache

from convert.errors import InputError, Location, Problem
from convert.model.decimals import settle, spell
from convert.model.phrase import is_points, spell_phrase
from convert.model.profile import Profile
from convert.model.resolve import bases, circle, resolve
from convert.model.setting import SETTINGS, Setting
from convert.model.value import STATES, Share, State, Value

MAX_TOOLS = 64
MIN_POINTS = 3
# The settings whose outline may be several.
SEVERAL_OUTLINES = ("envelope.excluded",)

Judge = Callable[[Value], bool]
_judges: dict[str, Judge] = {}


@cache
def _alike() -> dict[tuple[str, tuple[str, ...]], tuple[str, ...]]:
    """Kind and choices -> the settings of these."""
    groups: dict[tuple[str, tuple[str, ...]], list[str]] = {}
    for other in SETTINGS.rows().values():
        groups.setdefault((other.kind, other.choices), []).append(other.id)
    return {group: tuple(names) for group, names in groups.items()}


def relatives(setting: Setting) -> tuple[str, ...]:
    """The settings that one may be a percent of (or, for words and flags, the same as): those of its kind.

    >>> relatives(SETTINGS["bridge.angle"])[:3]
    ('bridge.angle', 'infill.angle', 'overhang.steepness')
    """
    if setting.kind in ("text", "code", "outline"):
        return ()
    names = _alike()[setting.kind, setting.choices]
    return names if len(names) > 1 else ()


def check(profile: Profile) -> list[Problem]:
    """All that is wrong with the values of a profile, each with its place."""
    bad = [name for name, value in profile.settings.items() if not (_judges.get(name) or _build(name))(value)]
    found = [place_problem(profile, name, *explain(SETTINGS[name], profile.settings[name])) for name in bad]
    return found + check_relations(profile, set(bad))


def is_good(setting: Setting, value: Value) -> bool:
    """Whether a value is one that the setting may have."""
    return (_judges.get(setting.id) or _build(setting.id))(value)


def check_relations(profile: Profile, bad: set[str]) -> list[Problem]:
    """Circles of relations, each once, and relations that come to a value out of range. `bad` settings are left out."""
    problems: list[Problem] = []
    reported: set[str] = set()
    for name, value in profile.settings.items():
        if name in bad or name in reported or not bases(value):
            continue
        path = circle(profile.settings, name)
        if path:
            reported.update(path)
            says = f"a circle of relations: {' -> '.join(path)}"
            problems.append(place_problem(profile, name, says, "give one of them a value of its own"))
            continue
        try:
            resolved = resolve(profile.settings, name)
        except InputError:
            continue  # the base is wrong, or part of a circle, and reported there
        from convert.model.slips import in_range  # only for relations

        for item in resolved if isinstance(resolved, tuple) else (resolved,):
            if isinstance(item, Fraction) and not in_range(SETTINGS[name], settle(item)):
                says = f"{name} is {_clipped(spell_phrase(value, SETTINGS[name]))}, which comes to "
                problems.append(place_problem(profile, name, says + _out_of_range(SETTINGS[name], item)))
                break
    return problems


def place_problem(profile: Profile, name: str, says: str, hint: str = "") -> Problem:
    """A problem with a setting of a profile, at the place the setting came from."""
    origin = profile.origins.get(name)
    return Problem(says, Location(origin.file, origin.line) if origin else None, hint)


# --- the judges: yes or no, quickly


def _build(name: str) -> Judge:
    """The judge of one setting, made when it is first asked for."""
    setting = SETTINGS.rows()[name]
    one = _number_judge(setting) if setting.is_number else _word_judge(setting)
    _judges[name] = _list_judge(one) if setting.per_tool else one
    return _judges[name]


def _number_judge(setting: Setting) -> Judge:
    low, high = setting.minimum or Fraction(0), setting.maximum or Fraction(0)
    low_top, low_bottom, high_top, high_bottom = low.numerator, low.denominator, high.numerator, high.denominator
    whole = setting.kind == "count"
    others = frozenset(relatives(setting))

    def judge(value: Value) -> bool:
        if type(value) is Fraction:
            top, bottom = value.numerator, value.denominator
            if whole and bottom != 1:
                return False
            # Whole numbers compare several times quicker than rationals.
            if low_top * bottom <= top * low_bottom and top * high_bottom <= high_top * bottom:
                return True
            from convert.model.slips import in_range  # seldom

            return in_range(setting, settle(value))
        if type(value) is Share:
            return value.of in others and value.percent >= 0
        return type(value) is State and value.word in STATES

    return judge


def _word_judge(setting: Setting) -> Judge:
    others = frozenset(relatives(setting))
    words = frozenset(setting.choices)
    kind = setting.kind
    several = setting.id in SEVERAL_OUTLINES

    def judge(value: Value) -> bool:
        if type(value) is Share:
            return value.of in others and value.percent == 100
        if kind == "flag":
            return type(value) is bool
        if kind == "choice":
            return type(value) is str and value in words
        return type(value) is str

    def outline(value: Value) -> bool:
        if type(value) is not tuple:
            return False
        if is_points(value):
            return len(value) >= MIN_POINTS
        return several and all(type(one) is tuple and len(one) >= MIN_POINTS and is_points(one) for one in value)

    return outline if kind == "outline" else judge


def _list_judge(one: Judge) -> Judge:
    def judge(value: Value) -> bool:
        if type(value) is tuple:
            return 0 < len(value) <= MAX_TOOLS and all(map(one, value))
        return one(value)

    return judge


# --- the reasons


def explain(setting: Setting, value: Value) -> tuple[str, str]:
    """What is wrong with a value, and what to do."""
    name = setting.id
    if setting.kind == "outline":
        several = ", or a list of such lists" if name in SEVERAL_OUTLINES else ""
        return f"{name} is no outline", f"write a list of {MIN_POINTS} points or more{several}"
    if isinstance(value, tuple):
        if not setting.per_tool:
            return f"{name} is a list, and takes one value", "write one value"
        if not 0 < len(value) <= MAX_TOOLS:
            return f"{name} is a list of {len(value)} values", f"write one for each tool, 1 to {MAX_TOOLS}"
        for index, item in enumerate(value):
            if not is_good(setting, item) or isinstance(item, tuple):
                says, hint = _explain_one(setting, item)
                return says.replace(name, f"{name} of tool {index + 1}", 1), hint
    return _explain_one(setting, value)


def _explain_one(setting: Setting, value: Value) -> tuple[str, str]:
    name = setting.id
    if isinstance(value, Share):
        return _explain_share(setting, value)
    if isinstance(value, tuple):
        return f"{name} has a list inside a list", "write one value for each tool"
    if isinstance(value, State):
        if value.word not in STATES:
            return f"{name} cannot be {value.word[:40]!r}", f"states are {', '.join(STATES)}"
        return f"{name} cannot be {value.word}", "only numbers have states"
    if setting.is_number:
        if not isinstance(value, Fraction):
            return f"{name} is {value!r:.40}, and a number is wanted", ""
        if setting.kind == "count" and value.denominator != 1:
            return f"{name} is {_clipped(spell(value))}, and counts are whole", "write a whole number"
        from convert.model.slips import likely_slip  # only on the way to a problem

        return f"{name} is {_out_of_range(setting, value)}", likely_slip(setting, value)
    if setting.kind == "choice":
        shown = repr(value)[:40]
        return f"{name} cannot be {shown}", f"it is one of {', '.join(setting.choices)}"
    return f"{name} is {value!r:.40}, and {'true or false' if setting.kind == 'flag' else 'a text'} is wanted", ""


def _out_of_range(setting: Setting, value: Fraction) -> str:
    low, high = setting.minimum or Fraction(0), setting.maximum or Fraction(0)
    return f"{_clipped(spell_phrase(value, setting))}, allowed {spell(low)} to {spell(high)}"


def _clipped(text: str) -> str:
    return text if len(text) <= 80 else f"{text[:30]}...{text[-30:]}"


def _explain_share(setting: Setting, value: Share) -> tuple[str, str]:
    name, others = setting.id, relatives(setting)
    if value.of not in SETTINGS:
        from convert.model.setting import closest

        near = ", ".join(closest(value.of))
        hint = f"did you mean {near}?" if near else ""
        return f"{name} refers to {value.of[:60]!r}, which is no setting", hint
    if value.of not in others:
        kind = SETTINGS[value.of].kind
        says = f"{name} cannot refer to {value.of}: one is {setting.kind}, the other {kind}"
        if kind == setting.kind:
            says = f"{name} cannot refer to {value.of}: they have different words"
        return says, "refer to a setting of the same kind, or write a value"
    if not setting.is_number:
        return (
            f"{name} cannot be {_clipped(spell(value.percent))} % of {value.of}",
            "100 percent says that it is the same",
        )
    return f"{name} is {_clipped(spell(value.percent))} % of {value.of}", "a share is 0 % or more"

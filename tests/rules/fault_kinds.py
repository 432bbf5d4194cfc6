"""What a planted fault is, and the kinds of change it is made of."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.physics.polymers import span
from convert.rules.observed import run_of
from convert.rules.setup import Missing, Setup

Changes = Mapping[str, str] | None
Plant = Callable[[Setup], Changes]
When = Callable[[Setup], bool]
Number = Callable[[Setup], float]

HOT, BED = ("heat.nozzle", "heat.nozzle_first"), ("heat.bed", "heat.bed_first")
START, END = ("code.start",), ("code.end",)


@dataclass(frozen=True, slots=True)
class Fault:
    """`plant` gives the settings to change, as phrases ("" takes a setting away), or None where this is no fault for
    the setup. `names`: at least one of these must stand in a finding's settings."""

    name: str
    names: tuple[str, ...]
    plant: Plant


def planted(values: Mapping[str, Value], fault: Fault) -> dict[str, Value] | None:
    """The setup with the fault in it; None where it does not apply."""
    try:
        changes = fault.plant(Setup(values))
    except Missing:
        return None
    if changes is None:
        return None
    made = dict(values)
    for name, phrase in changes.items():
        made.pop(name, None)
        if phrase:
            made[name] = parse_phrase(phrase, SETTINGS[name])
    return made


def phrase(value: float, name: str) -> str:
    unit = SETTINGS[name].unit
    return f"{value:.9g} {'°C' if unit == 'Cel' else '°' if unit == 'deg' else unit}"


# ---- when a fault is one


def always(s: Setup) -> bool:
    return True


def spiral(s: Setup) -> bool:
    return s.is_on("order.spiral")


def walled(s: Setup) -> bool:
    return not spiral(s)


def sparse(s: Setup) -> bool:
    """Whether the part has an inside with open infill."""
    return walled(s) and s.number("infill.density") < 50


def supported(s: Setup) -> bool:
    return s.is_on("support.enabled")


def self_supported(s: Setup) -> bool:
    """Support of the part's own material."""
    return supported(s) and not s.has("support.tool")


def pulling(s: Setup) -> bool:
    return s.is_on("retract.enabled")


def family(*names: str) -> When:
    return lambda s: s.text("feedstock.family") in names


def base(kind: str) -> When:
    return lambda s: s.text("base.kind") == kind


def stated(name: str, when: When = always) -> When:
    return lambda s: s.has(name) and when(s)


def hobby(s: Setup) -> bool:
    """Whether the command set has words for heaters and filament."""
    return s.text("code.commands") != "numeric-control"


def lone(s: Setup) -> bool:
    """Whether there is one tool, so that a heater word during the print is known to mean it."""
    return hobby(s) and s.number("tool.count") == 1


def clear(s: Setup) -> bool:
    """Whether the start code can be followed to its end: a command that only this machine knows may do anything, and
    the audit says that it cannot tell (a note, `opaque`)."""
    run = run_of(s)
    hidden = run is not None and any(seen.code == "opaque" and seen.section in START for seen in run.observations)
    return hobby(s) and not hidden


def upright(s: Setup) -> bool:
    """Whether Z is the height above a plate, and the code can be followed."""
    return clear(s) and s.text("machine.kinematics") != "endless-belt"


def screwed(s: Setup) -> bool:
    """Whether screws lift the head or the bed."""
    return s.text("machine.kinematics") in ("moving-bed", "moving-head", "crossed-belt")


def extended(s: Setup) -> bool:
    return s.text("code.commands") in ("word-extended", "word-binary-offsets", "named-macros")


# ---- settings


def times(name: str, factor: float, when: When = always) -> Plant:
    """The setting multiplied."""
    return lambda s: {name: phrase(s.number(name) * factor, name)} if when(s) and s.number(name) > 0 else None


def to(changes: Mapping[str, str], when: When = always) -> Plant:
    """Settings set to something."""
    return lambda s: changes if when(s) else None


def put(names: tuple[str, ...], value: Number, when: When = always) -> Plant:
    """Settings set to one computed number."""
    return lambda s: {name: phrase(value(s), name) for name in names} if when(s) else None


def turned(names: tuple[str, ...], factor: float, offset: float) -> Plant:
    """Each setting put through a linear change, as of a temperature scale."""
    return lambda s: {name: phrase(s.number(name) * factor + offset, name) for name in names}


def of_bore(name: str, share: float) -> Plant:
    return put((name,), lambda s: s.number("nozzle.diameter") * share)


def window(s: Setup, prop: str, end: str) -> float:
    """An end of a range of the family."""
    found = span(s.word("feedstock.family"), prop, None)
    value = None if found is None else getattr(found, end)
    if value is None:
        raise Missing(f"{prop} of {s.word('feedstock.family')}")
    return float(value)


# ---- command code


def code(section: str, change: Callable[[str], str], when: When = clear) -> Plant:
    """A section of code changed; no fault where the change leaves it as it was."""

    def plant(s: Setup) -> Changes:
        name = f"code.{section}"
        old = s.text(name)
        new = change(old)
        return {name: new} if when(s) and new != old else None

    return plant


def without(*words: str) -> Callable[[str], str]:
    """The code without the lines that begin with any of the words."""
    return lambda text: "\n".join(line for line in text.splitlines() if not line.startswith(words))


def then(lines: str) -> Callable[[str], str]:
    return lambda text: f"{text}\n{lines}"


def first(lines: str) -> Callable[[str], str]:
    return lambda text: f"{lines}\n{text}"


def instead(old: str, new: str) -> Callable[[str], str]:
    """The first occurrence replaced."""
    return lambda text: text.replace(old, new, 1)

"""Sentences on nozzle and bed temperatures and the part fan."""

from __future__ import annotations

from convert.changes.figures import View
from convert.changes.groups import Group
from convert.changes.says import Said
from convert.changes.words import from_to
from convert.rules.setup import Missing
from convert.rules.words import num


def nozzle(view: View, group: Group) -> Said | None:
    """Nozzle temperatures, against what the filament's maker allows."""
    name = group.own[0].setting
    pair = view.numbers(name)
    if pair is None:
        return None
    before, after = pair
    hotter = after > before
    where = " on the first layer" if len(group.facts) == 1 and name.endswith("_first") else ""
    effect = "layers weld better, with more strings and sag" if hotter else "layers weld less, with fewer strings"
    clauses = [f"The nozzle is {num(abs(after - before))} K {'hotter' if hotter else 'cooler'}{where}: {effect}"]
    clauses += _window(view, after)
    return Said(tuple(clauses))


def _window(view: View, value: float) -> list[str]:
    low, high = view.new.get("feedstock.min_nozzle"), view.new.get("feedstock.max_nozzle")
    if low is None or high is None:
        return []
    span = f"{num(low)}..{num(high)} °C"
    if value > high:
        return [f"{num(value - high)} K above the window of the filament's maker ({span})"]
    if value < low:
        return [f"{num(low - value)} K below the window of the filament's maker ({span})"]
    return [f"inside the window of the filament's maker ({span})"]


def bed(view: View, group: Group) -> Said | None:
    """Bed temperatures, against the glass transition."""
    name = group.own[0].setting
    pair = view.numbers(name)
    if pair is None:
        return None
    before, after = pair
    if not after:
        return Said(("The bed stays cold: what needs a warm bed to stick will let go",))
    where = " on the first layer" if len(group.facts) == 1 and name.endswith("_first") else ""
    clauses = [f"The bed is {num(abs(after - before))} K {'warmer' if after > before else 'cooler'}{where}"]
    glass = _glass(view)
    if glass is not None:
        above = after - glass
        if above > 0 and after > before:
            clauses.append(
                f"it is {num(above)} K above the glass transition of {num(glass)} °C: the foot stays soft and flares"
            )
        elif above > 0:
            clauses.append(f"it is still {num(above)} K above the glass transition of {num(glass)} °C")
        elif after > before:
            clauses.append(f"parts stick better, {num(-above)} K below the glass transition")
        else:
            clauses.append(f"parts stick less, {num(-above)} K below the glass transition")
    elif after > before:
        clauses.append("parts stick better, and a foot that stays soft flares")
    else:
        clauses.append("parts stick less")
    return Said(tuple(clauses))


def _glass(view: View) -> float | None:
    stated = view.new.get("feedstock.glass_transition")
    if stated is not None:
        return stated
    try:
        return view.new.polymer("glass_transition")
    except Missing:
        return None


_WHERE = {
    "fan.first_layer": " on the first layer",
    "fan.bridge": " on bridges",
    "fan.overhang": " on overhangs",
    "fan.interface": " on the support interface",
}


def fan(view: View, group: Group) -> Said | None:
    """The part fan."""
    name = next((one for one in ("fan.max", "fan.min") if group.fact(one)), group.own[0].setting)
    pair = view.numbers(name)
    if pair is None or name in ("fan.off_layers", "fan.full_range_from", "fan.quick_layer"):
        return None
    before, after = pair
    what = "at most" if name == "fan.max" else "at least" if name == "fan.min" else "at"
    clauses = [f"The part fan runs {what} {num(after)} % instead of {num(before)}{_WHERE.get(name, '')}"]
    if after < before:
        clauses.append("overhangs and small tips come out softer and may curl, layers weld better")
    elif after > before:
        clauses.append("overhangs come out crisper, layers weld less")
    if name == "fan.max" and group.fact("fan.min") and (least := view.numbers("fan.min")):
        clauses.append(f"and at least {from_to(*least, '%')}")
    return Said(tuple(clauses))

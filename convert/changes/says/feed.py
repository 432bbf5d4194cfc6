"""Sentences on the filament's way: diameter, retraction, hop, pressure lead, what can be melted."""

from __future__ import annotations

from convert.changes.figures import View, same
from convert.changes.groups import Group
from convert.changes.says import Said
from convert.changes.words import from_to, more, said
from convert.physics.flow import filament_area
from convert.rules.laid import laid
from convert.rules.words import num


def filament(view: View, group: Group) -> Said | None:
    """The diameter that lengths are computed from."""
    pair = view.numbers("feedstock.diameter")
    if pair is None or min(pair) <= 0:
        return None
    ratio = (pair[0] / pair[1]) ** 2
    size = f"{ratio:.3f} times the plastic" if ratio < 0.7 or ratio > 1.5 else f"{more(1.0, ratio)} plastic"
    bad = ratio < 0.8 or ratio > 1.25
    return Said(
        (f"Every bead gets {size} that it got, if the spool is still the same",),
        severity="spoils" if bad else "differs",
    )


def retraction(view: View, group: Group) -> Said | None:
    """How far and how fast filament is pulled back."""
    if group.fact("retract.enabled") is not None:
        return None
    lengths = view.numbers("retract.length")
    clauses = []
    if group.fact("retract.length") is not None and lengths is not None:
        before, after = lengths
        if after < 0:
            area = filament_area(view.new.get("feedstock.diameter") or 1.75)
            return Said((f"Pushes {num(-after * area)} mm³ out before each travel instead of pulling back",))
        clauses.append(f"Pulls {num(after)} mm of filament back instead of {num(before)}")
        clauses.append("fewer strings, until the strand is drawn cold" if after > before else "strings are likelier")
    elif group.fact("retract.speed") is not None and (speeds := view.numbers("retract.speed")):
        clauses.append(f"Pulls back at {num(speeds[1])} mm/s instead of {num(speeds[0])}")
        if speeds[1] < speeds[0] / 3:
            clauses.append("the nozzle oozes while it stands")
    elif group.fact("retract.return_speed") is not None and (speeds := view.numbers("retract.return_speed")):
        clauses.append(f"Pushes forward again at {num(speeds[1])} mm/s instead of {num(speeds[0])}")
    else:
        return None
    taken = view.both("retraction_time")
    if taken is not None and not same(*taken):
        clauses.append(f"a pull and return takes {from_to(*taken, 's')}")
    return Said(tuple(clauses))


def hop(view: View, group: Group) -> Said | None:
    """How far the nozzle rises on travels."""
    pair = view.numbers("travel.hop")
    if pair is None or group.fact("travel.hop") is None:
        return None
    if not pair[1]:
        return Said(
            (f"The nozzle no longer rises on travels (was {num(pair[0])} mm)", "quicker, and scars are likelier")
        )
    effect = "fewer scars, slightly more strings" if pair[1] > pair[0] else "scars are likelier"
    return Said((f"The nozzle rises {num(pair[1])} mm on retracted travels instead of {num(pair[0])}", effect))


def lead(view: View, group: Group) -> Said | None:
    """Pressure lead, alone or together with less filament pushed back."""
    leads = view.numbers("flow.lead")
    if group.fact("flow.lead") is None or leads is None:
        return None
    features = [one for one in laid(view.new) if view.both("lead_length", one)]
    clauses = []
    if features:
        top = max(features, key=lambda one: (view.both("lead_length", one) or (0, 0))[1])
        lengths = view.both("lead_length", top)
        if lengths is not None:
            clauses.append(
                f"The pressure lead moves {num(lengths[1])} mm of filament at top feed instead of {num(lengths[0])}"
            )
    if not clauses:
        clauses.append(f"The pressure lead is {said(group.facts[0].after_resolved, 'flow.lead')}")
    over = view.numbers("retract.overfeed")
    less = group.fact("retract.overfeed") is not None and over is not None and over[1] < over[0]
    if less and leads[1] > leads[0]:
        clauses.append("two corrections for the same ooze: expect thin starts after corners and an open seam; use one")
    else:
        clauses.append("corners and ends get thinner" if leads[1] > leads[0] else "corners and ends get fatter")
    return Said(tuple(clauses))


def melt(view: View, group: Group) -> Said | None:
    """What hot end, filament and feed are taken to manage: a statement that limits nothing by itself but a warning."""
    name = group.own[0].setting
    pair = view.numbers(name)
    if pair is None or not name.endswith("melt_rate"):
        return None
    who = "hot end" if name.startswith("hotend") else "filament"
    clauses = [f"The {who} is taken to manage {from_to(*pair, 'mm3/s')}"]
    asked = [(flow, one) for one in laid(view.new) if (flow := view.one(view.new, "volume_flow", one)) is not None]
    if asked:
        flow, _ = max(asked)
        clauses.append(
            f"{num(flow)} mm³/s is asked at most, {more(pair[1], flow)} than that"
            if flow > pair[1] * (1 + 1e-9)
            else f"{num(flow)} mm³/s is asked at most"
        )
    return Said(tuple(clauses))

"""What heater and fan words do, and whether filament is pushed warm."""

from __future__ import annotations

from math import isnan, nan

from convert.program.machine import GUARD, TOOLS, UNKNOWN, Machine, heater_name, shown
from convert.program.records import Call

NEAR = 0.5  # K; a literal this close to the setting says the same
APART = 10.0  # K; a literal farther off than this spoils the print rather than shifting it (common practice)
# A target may lie this far above the temperature that was waited for before the wait is called missing.
WAITED = 3.0  # K
KINDS = ("nozzle", "bed", "chamber")
SETTINGS = {
    "nozzle": ("heat.nozzle_first", "heat.nozzle", "heat.nozzle_standby"),
    "bed": ("heat.bed_first", "heat.bed"),
    "chamber": ("heat.chamber",),
}
MAXIMA = {"nozzle": "hotend.max_temperature", "bed": "bed.max_temperature", "chamber": "chamber.max_temperature"}
SWITCHES = {"bed": "bed.heated", "chamber": "chamber.heated"}


def heat(m: Machine, call: Call) -> str:
    """Sets the target of a heater; the wait forms also wait for it."""
    kind, wait = call.command.fixed.get("heater", "nozzle"), call.command.effect == "heat-wait"
    tool = _tool(m, call)
    if tool is None:
        _all_uncertain(m, call)
        return "sets the heater of a tool that is not known here"
    name = heater_name(kind, tool)
    argument = call.get("target")
    if argument is None or argument.flag:
        return _without_target(m, call, name, wait)
    target = argument.value
    before = m.state.get(f"{name}.target", 0.0)
    m.set(f"{name}.target", target)
    reached = m.number(f"{name}.reached") if f"{name}.reached" in m.state else 0.0
    if wait:
        m.set(f"{name}.reached", target)
    elif target < reached or isnan(target):
        m.set(f"{name}.reached", target if target > 0 else nan if reached > 0 or isnan(reached) else 0.0)
    elif f"{name}.reached" not in m.state:
        m.set(f"{name}.reached", 0.0)
    if argument.ids or not target > 0:
        m.literals.pop(name, None)
    else:
        m.literals[name] = (target, m.line, argument.column)
    _possible(m, call, kind, name, tool, target, argument.column)
    said = "unknown" if isnan(target) else f"{shown(target)} Cel"
    if wait:
        return f"heats the {name} to {said} and waits for it"
    return f"switches the {name} heater off" if target <= 0 else f"sets the {name} to {said} (before: {shown(before)})"


def _tool(m: Machine, call: Call) -> int | None:
    """The tool a heater word means; None where that is not known."""
    named = call.number("tool")
    if named is not None and call.command.fixed.get("heater", "nozzle") == "nozzle":
        return int(named) if 0 <= named < TOOLS else None
    if call.command.fixed.get("heater", "nozzle") != "nozzle":
        return 0
    return m.tool if m.state["tool"] != UNKNOWN else None


def _all_uncertain(m: Machine, call: Call) -> None:
    """One of the nozzles, nobody knows which."""
    argument = call.get("target")
    target = nan if argument is None else argument.value
    for name in heaters(m):
        if name.startswith("nozzle") and m.number(f"{name}.target") != target:
            m.set(f"{name}.target", nan)


def _without_target(m: Machine, call: Call, name: str, wait: bool) -> str:
    if not wait:
        return f"names no temperature for the {name}"
    if m.number(f"{name}.target") > 0:
        target = m.state[f"{name}.target"]
        m.see(
            "wait-no-target",
            f"waits for the {name} without saying for which temperature; many controllers then do not wait",
            call.column,
            subject=name,
        )
        m.set(f"{name}.reached", nan)
        return f"waits for the {name} ({shown(target)} Cel), on some machines"
    if not isnan(m.number(f"{name}.target")) or f"{name}.target" not in m.state:
        m.see("wait-unset", f"waits for the {name}, which has no target", call.column, subject=name)
    return f"waits for the {name}, which has no target"


def _possible(m: Machine, call: Call, kind: str, name: str, tool: int, target: float, column: int) -> None:
    """Whether the machine may and can reach a target."""
    limit = m.fact(MAXIMA[kind], tool)
    if target > limit:
        m.see(
            "too-hot",
            f"sets the {name} to {shown(target)} Cel, {shown(target - limit)} K above what the machine may reach",
            column,
            target,
            limit,
            "Cel",
            name,
        )
    if target > 0 and kind in SWITCHES and m.facts.get(SWITCHES[kind]) is False:
        waits = call.command.effect == "heat-wait"
        m.see(
            "no-such-heater",
            f"heats the {name}, which has no heater on this machine" + (": the wait never ends" if waits else ""),
            call.column,
            subject=name,
            severity="fails" if waits else "",
        )


def wait_all(m: Machine, call: Call) -> str:
    """Waits until every heater has its target."""
    for name in heaters(m):
        m.set(f"{name}.reached", m.state[f"{name}.target"])
    return "waits for all heaters"


def tool_data(m: Machine, call: Call) -> str:
    """Offsets and temperatures of a tool, or, without words, a stored retraction."""
    if not call.args:
        return "pulls filament back by the stored length"
    if call.get("target") is not None:
        heat(m, call)
    if any(axis in call.args for axis in "XYZ"):
        m.set("shift.z", nan if "Z" in call.args else m.state["shift.z"])
    return "sets offsets or temperatures of a tool"


def power(m: Machine, call: Call) -> str:
    """The main supply; off means that heaters, fans and motors are off too."""
    state = call.command.fixed["power"]
    m.set("power", state)
    if state == "off":
        everything_off(m)
    return f"switches the main supply {state}"


def emergency_stop(m: Machine, call: Call) -> str:
    """Everything off at once; nothing after it runs."""
    everything_off(m)
    m.ended = True
    return "stops everything at once"


def everything_off(m: Machine) -> None:
    """Heaters, fans and motors without current."""
    for name in heaters(m):
        m.set(f"{name}.target", 0.0)
    for name in [name for name in m.state if name.split(" ")[0] == "fan"]:
        m.set(name, 0.0)
    m.set("motors", "off")
    for axis in "xyz":
        m.set(f"homed.{axis}", False)
    m.literals.clear()


def _fan_name(call: Call) -> str:
    """The part fan is plainly "fan"; fans beyond what a controller may have are one and the same unknown fan."""
    index = call.number("index")
    return "fan" if not index else f"fan P{int(index)}" if 0 < index < TOOLS else "fan P?"


def fan(m: Machine, call: Call) -> str:
    """A fan's share of full speed; 255 is full, and so is 1 where a command set counts from 0 to 1."""
    name = _fan_name(call)
    duty = call.number("duty")
    if duty is None:
        share = 100.0
    elif m.names == "word-binary-offsets" and 0 <= duty <= 1:
        share = duty * 100
    else:
        share = min(max(duty, 0.0), 255.0) / 2.55 if not isnan(duty) else nan
    m.set(name, share)
    return f"switches the {name} off" if share == 0 else f"sets the {name} to {shown(round(share, 1))} %"


def fan_off(m: Machine, call: Call) -> str:
    """Switches a fan off."""
    name = _fan_name(call)
    m.set(name, 0.0)
    return f"switches the {name} off"


def cold_guard(m: Machine, call: Call) -> str:
    """The guard against pushing cold filament: a threshold, or off."""
    off, threshold = call.number("off"), call.number("threshold")
    if off is None and threshold is None:
        m.see(
            "cold-guard-off",
            "on some machines this word alone allows pushing filament cold; on others it only reports",
            call.column,
            sure=False,
        )
        m.set("cold-guard", UNKNOWN)
        return "asks about the cold guard, or switches it off"
    if (off is not None and off > 0) or (threshold is not None and threshold <= 0):
        m.see("cold-guard-off", "allows pushing filament through a cold nozzle", call.column)
        m.set("cold-guard", "off")
        return "switches the cold guard off"
    m.set("cold-guard", "on")
    if threshold is not None:
        m.set("cold-guard.threshold", threshold)
        return f"sets the cold guard to {shown(threshold)} Cel"
    return "switches the cold guard on"


def fault_guard(m: Machine, call: Call) -> str:
    """Detection of heater faults: whatever changes it is remarked on."""
    m.see(
        "fault-guard-changed",
        "changes the detection of heater faults, which shuts a heater off before it overheats",
        call.column,
    )
    m.set("fault-guard", "changed")
    return "changes the detection of heater faults"


def heater_limit(m: Machine, call: Call) -> str:
    """The temperature at which the controller shuts a heater off."""
    value, limit = call.number("limit"), m.fact("hotend.max_temperature", m.tool)
    if value is not None and value > limit:
        m.see(
            "fault-guard-changed",
            f"shuts the heater off only at {shown(value)} Cel, above the {shown(limit)} Cel that the machine may reach",
            call.column,
            value,
            limit,
            "Cel",
        )
    m.set("fault-guard.limit", nan if value is None else value)
    return "sets the temperature at which heaters are shut off"


def heater_control(m: Machine, call: Call) -> str:
    """Constants of a heater's controller."""
    m.see(
        "heater-control",
        "changes how a heater is controlled, for every later print too",
        call.column,
        subject=call.command.word,
    )
    return "changes how a heater is controlled"


def missing(m: Machine, name: str) -> bool:
    """Whether the settings say that the machine has no such heater."""
    kind, _, tool = name.partition(" T")
    return m.facts.get(SWITCHES.get(kind, "")) is False or (tool != "" and int(tool) >= m.fact("tool.count"))


def heaters(m: Machine) -> list[str]:
    """Heaters that were ever set or are known from the settings."""
    return [name[: -len(".target")] for name in m.state if name.endswith(".target")]


# ---- filament


def push(m: Machine, call: Call, amount: float, in_plan: bool) -> None:
    """Remarks on filament pushed forward: is the nozzle warm, were the heaters waited for?"""
    if not m.pushed:
        m.pushed = m.fed = True
        assess_literals(m)
    if in_plan and "plan" not in m.worst:
        m.worst["plan"] = 1.0
        for name in heaters(m):
            if not name.startswith("nozzle"):
                unwaited(m, name, "prints")
    if m.state["tool"] == UNKNOWN:
        return
    name, target, reached, least = nozzle(m)
    column = call.args["E"].column
    if isnan(target):
        return
    if target <= 0:
        m.see(
            "cold-push",
            f"pushes filament while the {name} heater is off",
            column,
            0.0,
            least,
            "Cel",
            name,
            sure=reached == 0,
        )
    elif reached <= 0:
        m.see(
            "unwaited-push",
            f"pushes filament before the {name} was waited for (target {shown(target)} Cel)",
            column,
            subject=name,
        )
    elif reached < least:
        m.see("cold-push", f"pushes filament at {shown(reached)} Cel", column, reached, least, "Cel", name)
    elif target - reached > APART:
        m.see(
            "unwaited-push",
            f"pushes filament while the {name} is still on its way from {shown(reached)} to {shown(target)} Cel",
            column,
            reached,
            target,
            "Cel",
            name,
        )


def nozzle(m: Machine) -> tuple[str, float, float, float]:
    """The active nozzle: name, target, temperature waited for, and the least at which filament may be pushed; all Cel.

    A heater that no code has set is off, except after or during a print that is not seen.
    """
    name = heater_name("nozzle", m.tool)
    unset = nan if m.phase in ("during", "after") or m.state["tool"] == UNKNOWN else 0.0
    target = m.number(f"{name}.target") if f"{name}.target" in m.state else unset
    reached = m.number(f"{name}.reached") if f"{name}.reached" in m.state else unset
    least = m.number("cold-guard.threshold") if "cold-guard.threshold" in m.state else GUARD
    lowest = m.fact("feedstock.min_nozzle", m.tool)
    return name, target, reached, min(least, lowest) if lowest == lowest else least


def unwaited(m: Machine, name: str, does: str, aside: bool = False) -> None:
    """Remarks on a heater that was set but not waited for."""
    target, reached = m.number(f"{name}.target"), m.number(f"{name}.reached")
    if target > 0 and target - reached > WAITED:
        m.see(
            "unwaited-heat",
            f"{does} without having waited for the {name} ({shown(target)} Cel)",
            value=reached,
            limit=target,
            unit="Cel",
            subject=name,
            severity="note" if aside or name == "chamber" else "",
        )


def assess_literals(m: Machine) -> None:
    """Compares temperatures written as numbers with the settings, once they matter."""
    for name, (target, line, column) in m.literals.items():
        kind, _, tool = name.partition(" T")
        index = int(tool) if tool else 0
        stated = [(ident, value) for ident in SETTINGS[kind] if (value := m.fact(ident, index)) == value]
        if m.phase in ("during", "after") and kind != "chamber":
            stated = [pair for pair in stated if not pair[0].endswith("_first")] or stated
        elif kind == "nozzle" and index != m.tool:  # a tool that waits aside is warmed to what it waits at
            stated.sort(key=lambda pair: pair[0] != "heat.nozzle_standby" or abs(pair[1] - target) > NEAR)
        if not stated:
            continue
        ident, value = stated[0]
        if abs(target - value) <= NEAR:
            m.see(
                "fixed-heat",
                f"writes {shown(target)} Cel as a number; {{{ident}}} would follow the settings",
                column,
                target,
                value,
                "Cel",
                name,
                line=line,
            )
        else:
            m.see(
                "literal-heat",
                f"heats the {name} to {shown(target)} Cel, where {ident} says {shown(value)} Cel",
                column,
                target,
                value,
                "Cel",
                name,
                "spoils" if abs(target - value) > APART else "differs",
                line=line,
            )
    m.literals.clear()

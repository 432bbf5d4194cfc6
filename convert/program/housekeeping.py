"""What the other words do: modes, limits, factors, motors, tools, messages, and commands that hide what they do."""

from __future__ import annotations

from collections.abc import Callable
from math import isnan, nan

from convert.program.machine import AXES, TOOLS, UNKNOWN, Machine, clip, shown
from convert.program.records import Call

# Settings that hold the machine's own limits.
AXIS_LIMITS = {"acceleration": "axis.{}.max_acceleration", "speed": "axis.{}.max_speed", "jump": "axis.{}.max_jump"}
SLIGHT = 1e-6  # relative; rounding, not raising
# What the print asks of the axes: limit, axis -> setting.
ASKED = {
    ("speed", "X"): "speed.default", ("speed", "Y"): "speed.default", ("speed", "E"): "retract.speed",
    ("acceleration", "X"): "acceleration.default", ("acceleration", "Y"): "acceleration.default",
}  # fmt: skip
# Factors that do more than shift the print, in percent off 100 (common practice).
MUCH = {"flow": 15.0, "speed": 60.0}
TRIMMED = {"flow": 5.0, "speed": 25.0}
# Steps per millimetre farther off than this share are those of another feed, not a finer calibration.
RECALIBRATED = 0.1


def mode(m: Machine, call: Call) -> str:
    """Units, distance mode, extrusion mode, plane ..., as the row says."""
    for name, value in call.command.fixed.items():
        m.explicit[name] = (m.clock, value)
        m.set(name, value)
        said = f"{name.replace('-', ' ')}: {value}"
    return said


def dwell(m: Machine, call: Call) -> str:
    """A pause in time; P counts milliseconds or seconds, as the command set says."""
    seconds = call.number("s")
    if seconds is None:
        parts = call.number("ms")
        seconds = None if parts is None else parts / 1000
    if seconds is None:
        return "waits for moves to end"
    if seconds > (600 if call.get("s") else 60):
        m.see(
            "long-dwell",
            f"waits {shown(seconds)} s; was it meant in the other unit (s, ms)?",
            call.column,
            seconds,
            600.0 if call.get("s") else 60.0,
            "s",
        )
    return f"waits {shown(seconds)} s"


def limit(m: Machine, call: Call) -> str:
    """Limits per axis that the controller keeps: acceleration, speed, instant speed change."""
    of, scale = call.command.fixed["of"], 1 / 60 if call.command.fixed["unit"] == "mm/min" else 1.0
    unit = "mm/s2" if of == "acceleration" else "mm/s"
    said = []
    for letter in "XYZE":
        value = call.number(letter)
        if value is None:
            continue
        value *= scale
        name = f"limit.{of}.{letter.lower()}"
        m.set(name, value)
        _raised(m, call, letter, value, m.fact(AXIS_LIMITS[of].format(letter.lower())), unit, f"{of} limit of {letter}")
        _lowered(m, call, letter, value, of, unit)
        said.append(f"{letter} {shown(value)}")
    deviation = call.number("deviation")
    if deviation is not None:
        m.set("limit.corner-deviation", deviation)
        said.append(f"corner deviation {shown(deviation)} mm")
    return f"limits {of} to " + ", ".join(said) + f" {unit}" if said else f"names no {of} limit"


def path_limit(m: Machine, call: Call) -> str:
    """Acceleration while extruding, travelling and pulling back."""
    said = []
    for role in ("print", "travel", "pullback", "both"):
        value = call.number(role)
        if value is None:
            continue
        for part in ("print", "travel") if role == "both" else (role,):
            m.set(f"limit.acceleration.{part}", value)
            own, held = m.fact(f"limit.acceleration.{part}"), False
            if isnan(own) and part != "pullback":
                sides = [m.fact(f"axis.{axis}.max_acceleration") for axis in "xy"]
                own, held = (max(sides) if not any(isnan(side) for side in sides) else nan), True
            letter = next(letter for letter, plays in call.command.roles.items() if plays == role)
            what = f"acceleration limit ({part})"
            _raised(m, call, letter, value, own, "mm/s2", what, "differs" if held else "")
            said.append(f"{part} {shown(value)}")
    return "limits acceleration to " + ", ".join(said) + " mm/s2" if said else "names no acceleration"


def _lowered(m: Machine, call: Call, letter: str, value: float, of: str, unit: str) -> None:
    """Whether what the settings ask of an axis is beyond a limit that the code sets."""
    ident = ASKED.get((of, letter))
    asked = m.fact(ident, m.tool) if ident else nan
    if value < asked * (1 - SLIGHT):
        m.see(
            "limit-lowered",
            f"limits the {of} of {letter} to {shown(value)} {unit}, where {ident} asks for {shown(asked)}",
            call.args[letter].column,
            value,
            asked,
            unit,
            f"{of} {letter}",
            "note" if value > asked / 2 else "",
        )


def _raised(
    m: Machine, call: Call, letter: str, value: float, own: float, unit: str, what: str, severity: str = ""
) -> None:
    """`severity` is for limits behind which the axes' own still stand."""
    if value > own * (1 + SLIGHT):
        share = f", {shown(round((value / own - 1) * 100, 1))} % above the machine's own" if own > 0 else ""
        m.see(
            "limit-raised",
            f"raises the {what} to {shown(value)} {unit}{share}; it may stay so for the next print",
            call.args[letter].column,
            value,
            own,
            unit,
            what,
            severity,
        )


def factor(m: Machine, call: Call) -> str:
    """Speed or flow in percent of what the moves say."""
    of, value = call.command.fixed["of"], call.number("percent")
    if value is None:
        return f"reports the {of} factor"
    m.set(f"factor.{of}", value)
    return f"sets the {of} factor to {shown(value)} %"


def factors_at_print(m: Machine) -> None:
    """Factors that the whole print will run with."""
    for of, bulk in (("speed", "at that share of its speeds"), ("flow", "with that share of its filament")):
        value = m.number(f"factor.{of}")
        off = abs(value - 100)
        if off > SLIGHT:
            m.see(
                "factor-left",
                f"begins the print with the {of} factor at {shown(value)} %, so all of it runs {bulk}",
                value=value,
                limit=100.0,
                unit="%",
                subject=of,
                severity="spoils" if off > MUCH[of] else "differs" if off > TRIMMED[of] else "",
            )


def lead(m: Machine, call: Call) -> str:
    """Pressure lead, in seconds; compared with the setting."""
    argument = call.get("lead")
    if argument is None or argument.flag:
        return "reports the pressure lead"
    if "lead" in m.state and m.number("lead") != argument.value:
        m.see(
            "lead-twice",
            f"sets the pressure lead again, from {shown(m.state['lead'])} to {shown(argument.value)} s",
            argument.column,
            subject="code",
        )
    m.set("lead", argument.value)
    own = m.fact("flow.lead", m.tool)
    if not argument.ids and not isnan(own) and not isnan(argument.value):
        if abs(argument.value - own) > 1e-6:
            m.see(
                "lead-conflict",
                f"sets a pressure lead of {shown(argument.value)} s, where flow.lead says {shown(own)} s",
                argument.column,
                argument.value,
                own,
                "s",
            )
        else:
            m.see(
                "lead-twice",
                "sets the pressure lead as a number that flow.lead states too",
                argument.column,
                argument.value,
                own,
                "s",
                "settings",
            )
    return f"sets the pressure lead to {shown(argument.value)} s"


def motors_on(m: Machine, call: Call) -> str:
    """Motors under current."""
    m.set("motors", "on")
    return "switches the motors on"


def motors_off(m: Machine, call: Call) -> str:
    """Motors without current: the axes they hold may move, so their position is lost."""
    axes = [axis for axis in AXES if axis.upper() in call.args]
    if not axes and "E" not in call.args:
        if call.number("timeout"):
            return f"lets the motors go after {shown(call.number('timeout'))} s"
        axes = list(AXES)
        m.set("motors", "off")
    for axis in axes:
        m.set(f"homed.{axis}", False)
        m.set(axis, nan)
    return "switches the motors off" + (f" ({' '.join(axes).upper()})" if m.state["motors"] != "off" else "")


def tool(m: Machine, call: Call) -> str:
    """Picks a tool at once; its offsets are not followed."""
    number = call.number("T")
    if number is None or isnan(number) or not 0 <= number < TOOLS or number != int(number):
        m.set("tool", UNKNOWN)
        return "picks a tool that is not known here"
    count = m.fact("tool.count")
    if number >= count:
        m.see(
            "no-such-tool",
            f"picks T{int(number)}, the last one of this machine is T{int(count) - 1}",
            call.column,
            number,
            count - 1,
            subject=f"T{int(number)}",
        )
    m.set("tool", int(number))
    return f"picks tool T{int(number)}"


def tool_select(m: Machine, call: Call) -> str:
    """RS-274: names the tool that the next M6 brings."""
    number = call.number("T")
    m.set("next tool", UNKNOWN if number is None or not 0 <= number < TOOLS else int(number))
    return "names the next tool"


def tool_change(m: Machine, call: Call) -> str:
    """RS-274: brings the tool named by T."""
    m.set("tool", m.state.get("next tool", UNKNOWN))
    for axis in AXES:
        m.set(axis, nan)
    return "changes the tool; the position after it is unknown"


def macro(m: Machine, call: Call) -> str:
    """A command that runs something not seen here."""
    return opaque(m, call, call.command.word)


def opaque(m: Machine, call: Call, name: str) -> str:
    """Marks all that hidden code may have changed as unknown, and what is still taken as unchanged as doubtful."""
    for axis in AXES:
        m.set(axis, nan)
        m.set(f"homed.{axis}", UNKNOWN)
    for state in [
        state for state in m.state if state.endswith((".target", ".reached")) or state.split(" ")[0] == "fan"
    ]:
        m.set(state, nan)
    for state in ("nozzle.target", "nozzle.reached", "bed.target", "bed.reached", "e", "feed"):
        m.set(state, nan)
    for state in ("distance", "extrusion", "motors"):
        m.set(state, UNKNOWN)
        m.explicit.pop(state, None)
    if m.fact("tool.count") > 1:
        m.set("tool", UNKNOWN)
    m.literals.clear()
    m.lifted = True
    m.see(
        "opaque",
        f"{clip(name)} hides what it does: from here on position, homing, heaters, fans and modes are unknown until "
        "they are set again; units and zero point are taken as unchanged",
        call.column,
        subject=name,
    )
    m.doubtful = True
    return "hides what it does: position, homing, heaters, fans and modes are unknown after it"


def unknown(m: Machine, call: Call) -> str:
    """A numbered word that no table here knows: taken to change nothing, with doubt."""
    m.doubtful = True
    return "does something that is not known here"


def store(m: Machine, call: Call) -> str:
    """Writes settings into lasting memory."""
    m.see(
        "stores-settings", "writes the present settings into the machine's memory, for every later print", call.column
    )
    return "stores the machine's settings"


def recall(m: Machine, call: Call) -> str:
    """Takes settings from memory: limits and factors are unknown after it."""
    for name in [name for name in m.state if name.startswith(("limit.", "factor.")) or name == "lead"]:
        m.set(name, nan)
    return "takes the machine's settings from memory"


def motor_current(m: Machine, call: Call) -> str:
    """Motor currents."""
    m.see("motor-current", "changes a motor current: too little loses steps, too much heats the motor", call.column)
    return "changes a motor current"


def steps(m: Machine, call: Call) -> str:
    """Steps per millimetre, which scale every later move; those of the feed are compared with the setting."""
    value, own = call.number("E"), m.fact("feed.steps", m.tool)
    apart = value is not None and abs(value / own - 1) > RECALIBRATED
    share = ""
    if apart and value is not None:
        part = shown(round(value / own * 100))
        share = f": {shown(value)} for filament, where feed.steps says {shown(own)}, so {part} % comes out"
    m.see(
        "steps-set",
        f"changes the steps per millimetre, which belong to the machine and scale every later print{share}",
        call.column,
        severity="fails" if apart else "",
    )
    return "changes the steps per millimetre"


def levelling_map(m: Machine, call: Call) -> str:
    """Uses the measured bed, or not."""
    on = call.number("on")
    m.set("map", UNKNOWN if on is None or isnan(on) else "on" if on > 0 else "off")
    return f"bed map: {m.state['map']}"


def pause(m: Machine, call: Call) -> str:
    """Waits for a person."""
    return "waits for a person" + (f": {clip(call.text.strip())}" if call.text.strip() else "")


def message(m: Machine, call: Call) -> str:
    """Text for the display or the host."""
    return f"shows '{clip(call.text.strip())}'" if call.text.strip() else "clears the message"


def program_end(m: Machine, call: Call) -> str:
    """Ends the program: nothing after it runs."""
    m.ended = True
    return "ends the program"


def plain(says: str) -> Callable[[Machine, Call], str]:
    """A handler for words that change no state that is followed here."""

    def handler(m: Machine, call: Call) -> str:
        return says

    return handler

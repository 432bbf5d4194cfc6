"""The effects that rows of `schemas/commands.tsv` may name, and the function of each: the one registry."""

from __future__ import annotations

from collections.abc import Callable

from convert.program import heating, housekeeping, motion
from convert.program.machine import Machine
from convert.program.records import Call

Handler = Callable[[Machine, Call], str]

EFFECTS: dict[str, Handler] = {
    "arc": motion.arc,
    "cold-guard": heating.cold_guard,
    "coordinates": motion.coordinates,
    "cycle": motion.cycle,
    "dwell": housekeeping.dwell,
    "emergency-stop": heating.emergency_stop,
    "factor": housekeeping.factor,
    "fan": heating.fan,
    "fan-off": heating.fan_off,
    "fault-guard": heating.fault_guard,
    "heat": heating.heat,
    "heat-wait": heating.heat,
    "heater-control": heating.heater_control,
    "heater-limit": heating.heater_limit,
    "home": motion.home,
    "lead": housekeeping.lead,
    "levelling-map": housekeeping.levelling_map,
    "limit": housekeeping.limit,
    "macro": housekeeping.macro,
    "message": housekeeping.message,
    "mode": housekeeping.mode,
    "motor-current": housekeeping.motor_current,
    "motors-off": housekeeping.motors_off,
    "motors-on": housekeeping.motors_on,
    "move": motion.move,
    "output": housekeeping.plain("switches an output of the machine"),
    "path-limit": housekeeping.path_limit,
    "pause": housekeeping.pause,
    "power": heating.power,
    "probe": motion.probe,
    "probe-bed": motion.probe_bed,
    "program-end": housekeeping.program_end,
    "recall": housekeeping.recall,
    "recover": housekeeping.plain("pushes filament forward by the stored length"),
    "report": housekeeping.plain("asks for a report, changes nothing"),
    "resume": housekeeping.plain("goes on"),
    "retract": housekeeping.plain("pulls filament back by the stored length"),
    "return-home": motion.return_home,
    "set-position": motion.set_position,
    "setting": housekeeping.plain("changes a stored setting of the machine"),
    "shift": motion.shift,
    "signal": housekeeping.plain("gives a signal by light or sound"),
    "steps": housekeeping.steps,
    "store": housekeeping.store,
    "tool": housekeeping.tool,
    "tool-change": housekeeping.tool_change,
    "tool-data": heating.tool_data,
    "tool-select": housekeeping.tool_select,
    "trim": motion.trim,
    "unknown": housekeeping.unknown,
    "wait-all": heating.wait_all,
    "wait-moves": housekeeping.plain("waits for moves to end"),
}

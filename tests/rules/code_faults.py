"""Faults to plant in the command code of any sound setup, as those in faults.py are in its settings."""

from __future__ import annotations

from convert.rules.setup import Setup
from tests.rules.fault_kinds import (
    END,
    START,
    Changes,
    Fault,
    clear,
    code,
    extended,
    first,
    hobby,
    instead,
    lone,
    stated,
    then,
    to,
    upright,
    without,
)


def off_the_plate(s: Setup) -> Changes:
    if not upright(s):
        return None
    edge = s.number("envelope.x") / (2 if s.text("envelope.origin") == "centre" else 1) + 40
    return {"code.start": f"{s.text('code.start')}\nG1 X{edge:.9g} F3000"}


def literal_heat(s: Setup) -> Changes:
    text = s.text("code.start").replace("{heat.nozzle_first}", f"{s.number('heat.nozzle_first') - 35:.9g}")
    return {"code.start": text} if clear(s) and text != s.text("code.start") else None


def other_feed_mode(text: str) -> str:
    return text.replace("M83", "M82") if "M83" in text else text.replace("M82", "M83")


def home_last(text: str) -> str:
    return without("G28")(text) + "\nG28"


CODE_FAULTS: tuple[Fault, ...] = (
    Fault("moves before homing", START, code("start", instead("G28", "G1 X20 Y20 F3000\nG28"), hobby)),
    Fault("never homes", START, code("start", without("G28"))),
    Fault("homes after priming", START, code("start", home_last)),
    Fault("homing swallowed by a comment", START, code("start", instead("\nG28", " ; then home \\nG28"))),
    Fault("primes cold", START, code("start", without("M109", "G10", "M116"))),
    Fault("nozzle's wait commented out", START, code("start", lambda text: text.replace("M109", ";M109"))),
    Fault("never heats the bed", START, code("start", without("M140", "M190"))),
    Fault("does not wait for the bed", START, code("start", without("M190", "M116"))),
    Fault("nozzle temperature as another number", START, literal_heat),
    Fault(
        "bed temperature as another number", START, code("start", lambda text: text.replace("{heat.bed_first}", "130"))
    ),
    Fault("heats to 520", START, code("start", then("M104 S520"), hobby)),
    Fault(
        "placeholder mistyped", START, code("start", lambda text: text.replace("nozzle_first}", "nozzel_first}"), hobby)
    ),
    Fault("primes off the plate", START, off_the_plate),
    Fault("dives below the bed", START, code("start", then("G1 Z-4 F300"), upright)),
    Fault("leaves positions relative", START, code("start", then("G91"), lambda _: True)),
    Fault("leaves inches", START, code("start", then("G20"), lambda _: True)),
    Fault("other filament mode", START, code("start", other_feed_mode)),
    Fault("a tool that is not there", START, code("start", then("T7"))),
    Fault("guard against cold filament off", START, code("start", then("M302 P1"), extended)),
    Fault("stores settings at every start", START, code("start", then("M500"), extended)),
    Fault("raises a limit tenfold", START, code("start", then("M201 X200000"), extended)),
    Fault("another pressure lead", START, code("start", then("M900 K2"), stated("flow.lead", extended))),
    Fault("nozzle left on", END, code("end", without("M104"), hobby)),
    Fault("bed left on", END, code("end", without("M140"), hobby)),
    Fault("chamber left on", END, code("end", without("M141"), hobby)),
    Fault("nozzle heated at the end", END, code("end", then("M104 S200"), hobby)),
    Fault("drives over the part before lifting", END, code("end", first("G90\nG1 X20 Y20 F6000"), upright)),
    Fault("drives down into the part", END, code("end", instead("G91", "G91\nG1 Z-5 F300"), upright)),
    Fault(
        "lifts to a height instead of by one",
        END,
        code("end", without("G91"), lambda s: upright(s) and "G1 Z" in s.text("code.end")),
    ),
    Fault("leaves the plate at the end", END, code("end", then("G90\nG1 X5000 F3000"), hobby)),
    Fault(
        "positions relative after each layer", ("code.layer_closing",), to({"code.layer_closing": "G91\nG1 Z1 F600"})
    ),
    Fault("pause that leaves the nozzle cold", ("code.pause",), to({"code.pause": "M104 S0\nM0"}, lone)),
)

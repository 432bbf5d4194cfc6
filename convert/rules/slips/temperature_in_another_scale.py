"""Temperatures that stand in kelvin or degrees Fahrenheit where degrees Celsius are meant."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from convert.rules.finding import Finding
from convert.rules.laid import ends
from convert.rules.rule import Rule
from convert.rules.setup import Missing, Setup
from convert.rules.slips._slip import SOURCE, Slip, slip, stated

SCALES: dict[str, Callable[[float], float]] = {
    "K": lambda value: value - 273.15,
    "°F": lambda value: (value - 32) / 1.8,
}
Names = tuple[str, ...]

WINDOWS: tuple[tuple[str, Names, float], ...] = (
    ("nozzle", ("heat.nozzle", "heat.nozzle_first", "feedstock.min_nozzle", "feedstock.max_nozzle"), 0.0),
    ("nozzle", ("heat.nozzle_standby",), 80.0),
    ("bed", ("heat.bed", "heat.bed_first"), 0.0),
    ("chamber", ("heat.chamber",), 0.0),
    ("drying_temperature", ("feedstock.drying_temperature",), 0.0),
)
"""Property of the family, settings that are near it, and how much cooler they may be (a waiting nozzle)."""

RATINGS: tuple[tuple[str, Names, float], ...] = (
    ("nozzle_limit", ("hotend.max_temperature",), 200.0),
    ("bed_limit", ("bed.max_temperature",), 60.0),
)
"""Class of the limits table, settings, and the least that such a rating is."""

ROOM = 20.0
HOT = 400.0
"""Hot ends for this and more, Cel, come with plates for 200 and more: common practice in printing PEEK and its kin."""


def check(setup: Setup) -> Iterator[Finding]:
    found: dict[str, dict[str, Slip]] = {scale: {} for scale in SCALES}
    for names, low, high, most in _windows(setup):
        for name, value in stated(setup, names).items():
            scale = _scale(value, low, high) if value > most else None
            if scale:
                found[scale][name] = Slip(value, round(SCALES[scale](value), 1), most)
    for scale, slips in found.items():
        if slips:
            says = "The heater is asked for what it must never reach"
            yield slip("temperature-in-another-scale", "fails", slips, says, f"written in {scale}")


def _bed_asked(setup: Setup) -> float:
    """What the filament asks of the bed: a rating below that would be no rating."""
    return max(setup.get("heat.bed") or 0.0, setup.get("heat.bed_first") or 0.0)


def _windows(setup: Setup) -> Iterator[tuple[Names, float, float, float]]:
    """Settings, the range a converted temperature must lie in, and beyond which a stated one is implausible."""
    for word, names, least in RATINGS:
        most = setup.limit(f"plausible.{word}.high")
        hotend = setup.get("hotend.max_temperature") or 0.0
        if word == "bed_limit" and (
            HOT <= hotend <= setup.limit("plausible.nozzle_limit.high") or _bed_asked(setup) > SCALES["°F"](most)
        ):
            continue
        yield names, least, most, most
    near, beyond = setup.limit("slip.temperature.near"), setup.limit("slip.temperature.beyond")
    for prop, names, cooler in WINDOWS:
        try:
            low, high = ends(setup, prop)
        except Missing:
            return
        if high is not None:
            yield names, (ROOM if low is None else low) - near - cooler, high + near, high + beyond


def _scale(value: float, low: float, high: float) -> str | None:
    """The scale in which the number is a usual temperature; of two, the one in which it is the rounder."""
    fitting = {scale: turn(value) for scale, turn in SCALES.items() if low <= turn(value) <= high}
    return min(fitting, key=lambda scale: abs(fitting[scale] - 5 * round(fitting[scale] / 5)), default=None)


RULE = Rule(
    code="temperature-in-another-scale",
    question="Are temperatures in degrees Celsius, or do they stand in kelvin or degrees Fahrenheit?",
    needs=("heat.nozzle", "heat.bed", "feedstock.family", "hotend.max_temperature"),
    source=SOURCE,
    check=check,
    good={"feedstock.family": "PLA", "heat.nozzle": "215 °C", "heat.bed": "60 °C", "hotend.max_temperature": "300 °C"},
    bad={"feedstock.family": "PLA", "heat.nozzle": "410 °C", "heat.bed": "140 °C"},
    severity="fails",
    explains=("*",),
    formula="Cel = K - 273.15 = (degF - 32)/1.8",
)

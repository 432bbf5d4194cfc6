"""How fast profiles are checked, against jsonschema, and quantities are read, against pint.

    python -m tests.benchmarks.model

All contenders run in turn in one process and are compared by medians. The profile states all settings. The quantities
are 400 texts of a number and a unit, once all new to the reader and once met before, as in a folder of like files.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from fractions import Fraction
from statistics import median
from time import perf_counter

import pint
from jsonschema import Draft202012Validator

from convert.model import numbers
from convert.model.check import check
from convert.model.codec import decode, dumps, loads, profile_to_json
from convert.model.jsontext import exact
from convert.model.profile import Profile
from convert.model.schema import build
from convert.model.setting import SCOPES, SETTINGS, Setting
from convert.model.value import Value

UNITS = {"mm/s": "speed", "mm": "length", "mm/min": "speed", "s": "time", "mm**3/s": "flow", "cm": "length"}
CORNERS = tuple((Fraction(x), Fraction(y)) for x, y in ((0, 0), (300, 0), (300, 300), (0, 300)))


def some_value(setting: Setting) -> Value:
    """A value that a setting may have."""
    if setting.minimum is not None and setting.maximum is not None:
        middle = (setting.minimum + setting.maximum) / 2
        return Fraction(round(middle)) if setting.kind == "count" else middle
    return {"flag": True, "choice": (setting.choices or ("",))[0], "outline": CORNERS}.get(setting.kind, "G28")


def quantities(count: int, seed: int = 1) -> list[tuple[str, str]]:
    """Texts such as "152.3 mm/s", each with its kind."""
    chance = random.Random(seed)
    units = [chance.choice(list(UNITS)) for _ in range(count)]
    return [(f"{chance.randrange(1, 20000) / 10} {unit}".replace("**", "^"), UNITS[unit]) for unit in units]


def measure(work: dict[str, Callable[[], object]], rounds: int = 15) -> dict[str, float]:
    """Median seconds of each over interleaved rounds."""
    times: dict[str, list[float]] = {name: [] for name in work}
    for _ in range(rounds):
        for name, call in work.items():
            start = perf_counter()
            call()
            times[name].append(perf_counter() - start)
    return {name: median(spent) for name, spent in times.items()}


def report(title: str, times: dict[str, float]) -> None:
    first = next(iter(times.values()))
    print(title)
    for name, spent in times.items():
        print(f"  {name:34} {spent * 1e3:9.3f} ms {spent / first:9.2f} x")


def judges() -> dict[str, float]:
    """The fast check of a profile, reading it first, and jsonschema on the same document."""
    profile = Profile("all", SCOPES, {name: some_value(row) for name, row in SETTINGS.items()})
    doc = loads(dumps(profile_to_json(profile)))
    validator = Draft202012Validator(build())
    assert check(profile) == []
    assert validator.is_valid(doc)
    return measure(
        {
            "check(profile)": lambda: check(profile),
            "decode(doc) and check": lambda: check(decode(doc)[0]),
            "jsonschema": lambda: list(validator.iter_errors(doc)),
        }
    )


def readers() -> dict[str, float]:
    """parse_quantity, new and met before, and pint."""
    texts = quantities(400)
    registry = pint.UnitRegistry()
    for text, kind in texts:
        ours, theirs = numbers.parse_quantity(text, kind), registry.Quantity(text)
        assert abs(float(ours[0]) - theirs.magnitude) < 1e-9

    def new() -> None:
        numbers._quantities.clear()
        numbers._numbers.clear()
        for text, kind in texts:
            numbers.parse_quantity(text, kind)

    def again() -> None:
        for text, kind in texts:
            numbers.parse_quantity(text, kind)

    return measure(
        {
            "parse_quantity, new": new,
            "parse_quantity, met before": again,
            "pint": lambda: [registry.Quantity(text) for text, _ in texts],
        }
    )


def writers() -> dict[str, float]:
    """spell and spell_like, and what str(float) does."""
    chance = random.Random(2)
    values = [Fraction(chance.randrange(1, 20000), chance.choice((1, 10, 100, 1000))) for _ in range(400)]
    odd = [value / 60 for value in values]
    floats = [float(value) for value in values]
    assert all(exact(number) == value for number, value in zip(floats, values, strict=True))
    return measure(
        {
            "str(float)": lambda: [str(value) for value in floats],
            "spell": lambda: [numbers.spell(value) for value in values],
            "spell, no short decimal": lambda: [numbers.spell(value) for value in odd],
            "spell_like": lambda: [numbers.spell_like(value, "0.20") for value in values],
        }
    )


def main() -> None:
    report(f"Judging a profile of {len(SETTINGS)} settings", judges())
    report("Reading 400 quantities", readers())
    report("Writing 400 numbers", writers())


if __name__ == "__main__":
    main()

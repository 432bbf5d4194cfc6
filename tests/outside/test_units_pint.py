"""The table of units against pint's own table, and against the numbers of UCUM essence 2.2 and NIST SP 811.

Source: pint (default registry), an independent table of units with its own factors.
"""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest

from convert.units import codes, convert, kinds, unit

# UCUM code -> the same unit in pint's words; atoms only, products are taken apart below.
ATOMS = {
    "Cel": "degC",
    "K": "kelvin",
    "[degF]": "degF",
    "[in_i]": "inch",
    "[mil_i]": "mil_length",
    "[ft_i]": "foot",
    "[lb_av]": "pound",
    "[oz_av]": "ounce",
    "[cin_i]": "inch**3",
    "[cft_i]": "foot**3",
    "[sin_i]": "inch**2",
    "[g]": "standard_gravity",
    "gon": "grade",
    "um": "micrometer",
    "um2": "micrometer**2",
    "us": "microsecond",
    "d": "day",
    "h": "hour",
    "min": "minute",
    "deg": "degree",
    "rad": "radian",
    "%": "percent",
    "[ppth]": "permille",
    "[ppm]": "ppm",
    "1": "dimensionless",
    "L": "liter",
    "mL": "milliliter",
    "W.h": "watt*hour",
    "kW.h": "kilowatt*hour",
}


def words(code: str) -> str:
    """A UCUM code in pint's words: mm/s2 -> (mm)/(s**2)."""
    if code in ATOMS:
        return ATOMS[code]
    if "/" in code:
        return "/".join(f"({words(part)})" if part else "1" for part in code.split("/"))
    return f"{code[:-1]}**{code[-1]}" if code[-1] in "23" else code


@pytest.fixture(scope="module")
def registry() -> pint.UnitRegistry:
    found = pint.UnitRegistry()
    if "mil_length" not in found:  # UCUM: [mil_i] is 1/1000 of [in_i]; pint's name for it changed over the years
        found.define("mil_length = inch / 1000")
    return found


@pytest.mark.parametrize("kind", kinds())
def test_factors_agree_with_pint(kind: str, registry: pint.UnitRegistry) -> None:
    base = codes(kind)[0]
    for code in codes(kind):
        prefix = "delta_" if kind == "temperature_difference" and code != "K" else ""
        base_prefix = "delta_" if kind == "temperature_difference" and base != "K" else ""
        for value in (0.0, 1.0, 37.5):
            theirs = registry.Quantity(value, prefix + words(code)).to(base_prefix + words(base)).magnitude
            ours = float(convert(Fraction(value), unit(code, kind), unit(base, kind)))
            assert ours == pytest.approx(theirs, rel=1e-12, abs=1e-12), (code, base)


@pytest.mark.parametrize(
    ("value", "source", "target", "result"),
    [
        # UCUM essence 2.2: all exact by definition.
        (1, "[in_i]", "mm", "25.4"),
        (1, "[mil_i]", "um", "25.4"),
        (1, "[ft_i]", "mm", "304.8"),
        (32, "[degF]", "Cel", "0"),
        (-40, "[degF]", "Cel", "-40"),
        (0, "Cel", "K", "273.15"),
        (1, "[g]", "m/s2", "9.80665"),
        (1, "[lb_av]", "g", "453.59237"),
        (1, "[oz_av]", "g", "28.349523125"),
        (1, "[cin_i]", "mL", "16.387064"),
        (100, "gon", "deg", "90"),
        # NIST SP 811: 1 l is 1 dm3 and 1 kW.h is 3.6 MJ, exactly.
        (1, "L", "cm3", "1000"),
        (1, "kW.h", "kJ", "3600"),
    ],
)
def test_exact_definitions(value: int, source: str, target: str, result: str) -> None:
    assert convert(Fraction(value), source, target) == Fraction(result)


def test_the_radian_is_as_good_as_forty_decimals() -> None:
    # Machin 1706: pi/4 = 4 arctan(1/5) - arctan(1/239), summed here with 60 decimals.
    def arctan_of_reciprocal(x: int) -> Fraction:
        return sum((Fraction((-1) ** k, (2 * k + 1) * x ** (2 * k + 1)) for k in range(60)), Fraction(0))

    pi = 4 * (4 * arctan_of_reciprocal(5) - arctan_of_reciprocal(239))
    assert abs(unit("rad").factor - 180 / pi) < Fraction(1, 10**39)

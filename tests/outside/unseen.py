"""Numbers whose source was not seen, counted apart: quoted, worked separately, of the trade, from memory.

The books that rows from memory name are where their examples should stand; each example agrees with its own data when
it is worked again, which is why they are kept.
"""

from __future__ import annotations

from math import cos, pi, sqrt

from tests.outside.check import DERIVED, FOOT, INCH, MEMORY, POUND, POUND_FORCE, PRACTICE, QUOTED, Check

KIP, KSI, INCH4 = 1000 * POUND_FORCE, 1000 * POUND_FORCE / INCH**2, INCH**4

INCROPERA = "Incropera, DeWitt, Fundamentals of Heat and Mass Transfer, "
METALS = INCROPERA + "table A.1: thermal diffusivity of "
CALLISTER = "Callister, Materials Science and Engineering, table of glass transition and melting temperatures"
CALLISTER_HEAT = "Callister, Materials Science and Engineering, table of thermal properties"
HALLIDAY = "Halliday, Resnick, Walker, Fundamentals of Physics, sample problem: "
SERWAY = "Serway, Jewett, Physics for Scientists and Engineers, example: "
RAO = "Rao, Mechanical Vibrations, example: "
HIBBELER = "Hibbeler, Mechanics of Materials, example 13.1: "
BEER = "Beer, Johnston, Mechanics of Materials, first example on Euler's formula (E 13 GPa, 2 m, safety 2.5): "
WLF = "Williams, Landel, Ferry, J. Am. Chem. Soc. 77 (1955) 3701: constants 8.86 and 101.6 from Tg + 50 K"
ROD = 398 * pi / 4 * 5**2 / 1000 * 75  # W per 1/mm of decay: k A theta of the copper rod below


def rod(conductivity: float) -> dict[str, float]:
    """Incropera's long rod: 5 mm, 100 W/(m2.K), standing still, so that the heat it carries does not enter."""
    return {"speed": 0, "conductivity": conductivity, "density": 1, "heat_capacity": 1, "film": 100, "depth": 1.25}


def metal(conductivity: float, density: float, heat_capacity: float) -> dict[str, float]:
    return {"conductivity": conductivity, "density": density, "heat_capacity": heat_capacity}


UNSEEN = [
    # --- heat -----------------------------------------------------------------------------------------------------
    Check("constant:FIRST_WEIGHT", None, 1.6018, 2e-4, MEMORY, INCROPERA + "table 5.1, cylinder, Bi infinite: C1"),
    Check("constant:FIRST_RATE", None, 2.4050**2, 3e-4, MEMORY, INCROPERA + "table 5.1, cylinder, Bi infinite: zeta1"),
    Check(
        "depth_share",
        {"depth": 680, "diffusivity": 0.138, "time": 60 * 86400},
        15 / 35,
        0.01,
        MEMORY,
        INCROPERA + "example, water main: 0 Cel reaches 0.68 m in 60 days, soil 20, surface -15 Cel",
    ),
    Check(
        "biot_number",
        {"film": 400, "depth": 0.706 / 6, "conductivity": 20},
        2.35e-3,
        0.005,
        MEMORY,
        INCROPERA + "example 5.1, thermocouple bead",
    ),
    Check(
        "time_constant",
        {"density": 8.5, "heat_capacity": 0.4, "depth": 0.706 / 6, "film": 400},
        1.0,
        0.002,
        MEMORY,
        INCROPERA + "example 5.1, thermocouple bead of 1 s",
    ),
    Check(
        "cooling_time",
        {"start_temperature": 25, "air_temperature": 200, "temperature": 199, "tau": 1},
        5.2,
        0.01,
        MEMORY,
        INCROPERA + "example 5.1, 199 Cel in gas of 200 Cel",
    ),
    Check("trail_decay", rod(398), 8.3 / ROD, 0.01, MEMORY, INCROPERA + "example 3.9, long copper rod gives off 8.3 W"),
    Check("trail_decay", rod(180), 5.6 / ROD * 398 / 180, 0.01, MEMORY, INCROPERA + "example 3.9, aluminium, 5.6 W"),
    Check("trail_decay", rod(14), 1.6 / ROD * 398 / 14, 0.035, MEMORY, INCROPERA + "example 3.9, stainless, 1.6 W"),
    Check("diffusivity", metal(401, 8.933, 0.385), 117, 0.005, MEMORY, METALS + "copper"),
    Check("diffusivity", metal(237, 2.702, 0.903), 97.1, 0.002, MEMORY, METALS + "aluminium"),
    Check("diffusivity", metal(317, 19.3, 0.129), 127, 0.005, MEMORY, METALS + "gold"),
    Check("diffusivity", metal(80.2, 7.870, 0.447), 23.1, 0.015, MEMORY, METALS + "iron"),
    Check("diffusivity", metal(14.9, 7.900, 0.477), 3.95, 0.002, MEMORY, METALS + "AISI 304"),
    Check(
        "viscosity_shift",
        {"temperature": 25, "reference_temperature": 37, "energy": 50},
        2.18,
        0.002,
        MEMORY,
        "Atkins, Physical Chemistry, illustration of the Arrhenius equation: 50 kJ/mol from 25 to 37 Cel",
    ),
    # --- flow of melts --------------------------------------------------------------------------------------------
    Check(
        "newtonian_pressure",
        {"flow": 0.00398 * FOOT**3 / 60, "bore": 0.1 * INCH, "land": FOOT, "viscosity": 0.492},
        40 * POUND_FORCE / INCH**2,
        0.002,
        MEMORY,
        "Bird, Stewart, Lightfoot, Transport Phenomena, example 2.3-1: glycerine, 4.92 poise at 40 psi",
    ),
    Check(
        "glass_shift",
        ({"temperature": 200, "glass_transition": 100}, {"temperature": 150, "glass_transition": 100}),
        10 ** (-8.86 * 50 / 151.6),
        0.01,
        MEMORY,
        WLF + ", at Tg + 100 K",
    ),
    Check(
        "glass_shift",
        ({"temperature": 170, "glass_transition": 100}, {"temperature": 150, "glass_transition": 100}),
        10 ** (-8.86 * 20 / 121.6),
        0.01,
        MEMORY,
        WLF + ", at Tg + 70 K",
    ),
    Check(
        "glass_shift",
        ({"temperature": 120, "glass_transition": 100}, {"temperature": 150, "glass_transition": 100}),
        10 ** (8.86 * 30 / 71.6),
        0.02,
        MEMORY,
        WLF + ", at Tg + 20 K",
    ),
    Check(
        "weld_share",
        {
            "start_temperature": 230,
            "air_temperature": 230,
            "tau": 1,
            "time": 1,
            "reference_temperature": 230,
            "reference_time": 16,
            "energy": 100,
        },
        0.5,
        1e-9,
        MEMORY,
        "Wool, O'Connor, J. Appl. Phys. 52 (1981) 5953: strength grows with the fourth root of time",
    ),
    # --- columns --------------------------------------------------------------------------------------------------
    Check(
        "buckling_force",
        {"modulus": 29_000 * KSI, "second_moment": 37.1 * INCH4, "free_length": 12 * FOOT},
        512 * KIP,
        0.001,
        MEMORY,
        HIBBELER + "W8x31 of 12 ft, 512 kip",
    ),
    Check(
        "buckling_force",
        {"modulus": 29_000 * KSI, "second_moment": pi / 4 * (3**4 - 2.75**4) * INCH4, "free_length": 24 * FOOT},
        64.5 * KIP,
        0.001,
        MEMORY,
        HIBBELER.replace("13.1", "13.1 (earlier editions)") + "tube of 3 in and 2.75 in radius, 24 ft, 64.5 kip",
    ),
    Check(
        "buckling_force",
        {"modulus": 13_000, "second_moment": 7.794e6, "free_length": 2000},
        250e3,
        0.001,
        MEMORY,
        BEER + "100 kN asks for 7.794e6 mm4",
    ),
    Check(
        "buckling_force",
        {"modulus": 13_000, "second_moment": 15.588e6, "free_length": 2000},
        500e3,
        0.001,
        MEMORY,
        BEER + "200 kN asks for 15.588e6 mm4",
    ),
    Check(
        "guide_compression",
        {"pressure": 940 / 9.4, "guide_length": 10_000, "modulus": 200_000},
        5.0,
        0.001,
        MEMORY,
        SERWAY + "10 m cable of 9.4 mm2 stretches 0.50 cm under 940 N, Y 20e10 N/m2",
    ),
    Check(
        "contraction",
        {"expansion": 11, "part_length": 30_000, "rise": 40},
        13,
        0.02,
        MEMORY,
        SERWAY + "30 m of railroad track, 0 to 40 Cel: 0.013 m",
    ),
    # --- motion ---------------------------------------------------------------------------------------------------
    Check(
        "ramp_distance",
        {"speed": 80e6 / 3600, "acceleration": 1580, "start_speed": 100e6 / 3600},
        88_000,
        0.002,
        MEMORY,
        HALLIDAY + "braking from 100 to 80 km/h in 88.0 m, 1.58 m/s2",
    ),
    Check(
        "ramp_time",
        {"speed": 80e6 / 3600, "acceleration": 1580, "start_speed": 100e6 / 3600},
        3.52,
        0.002,
        MEMORY,
        HALLIDAY + "the same in 3.52 s",
    ),
    Check(
        "ramp_distance",
        {"speed": 63_000, "acceleration": 31_500},
        63_000,
        0.002,
        MEMORY,
        SERWAY + "carrier landing from 63 m/s in 2.0 s: 63 m",
    ),
    Check(
        "centripetal_speed",
        {"radius": 1.496e14, "acceleration": 5.93},
        2 * pi * 1.496e14 / 3.156e7,
        0.002,
        MEMORY,
        SERWAY + "the Earth in its orbit, 5.93e-3 m/s2",
    ),
    # --- vibration ------------------------------------------------------------------------------------------------
    Check(
        "natural_frequency",
        {"stiffness": 0.005, "moved_mass": 0.2},
        1 / 1.26,
        0.005,
        MEMORY,
        SERWAY + "block of 200 g on 5.00 N/m, period 1.26 s",
    ),
    Check(
        "static_deflection",
        {"acceleration": 1250, "frequency": 5 / (2 * pi)},
        50,
        0.001,
        MEMORY,
        SERWAY + "the same block, amplitude 5.00 cm, greatest acceleration 1.25 m/s2",
    ),
    Check(
        "natural_frequency",
        {"stiffness": 80, "moved_mass": 1460},
        1.18,
        0.005,
        MEMORY,
        SERWAY + "car of 1300 kg with two people on four springs of 20 000 N/m, 1.18 Hz",
    ),
    Check(
        "natural_frequency",
        {"stiffness": 0.065, "moved_mass": 0.68},
        1.56,
        0.005,
        MEMORY,
        HALLIDAY + "block of 680 g on 65 N/m, 1.56 Hz",
    ),
    Check(
        "swing_decay",
        {"damping": 0.070 / (2 * sqrt(85 * 0.25)), "frequency": sqrt(85 / 0.25) / (2 * pi), "time": 5.0},
        0.5,
        0.01,
        MEMORY,
        HALLIDAY + "damped block of 250 g, 85 N/m, 70 g/s: half the amplitude after 5.0 s",
    ),
    Check(
        "natural_frequency",
        {"stiffness": 1545.6672 * POUND_FORCE / INCH, "moved_mass": 6e5 * POUND},
        0.9977 / (2 * pi),
        0.001,
        MEMORY,
        RAO + "water tank, 0.9977 rad/s",
    ),
    Check(
        "impulse_ratio",
        {"damping": 0.4037},
        0.25,
        0.001,
        MEMORY,
        RAO + "shock absorber of a motorcycle: a quarter of the amplitude after half a swing, zeta 0.4037",
    ),
    Check(
        "natural_frequency",
        {"stiffness": 2.3582652, "moved_mass": 200},
        3.4338 / (2 * pi),
        0.001,
        MEMORY,
        RAO + "the same, 3.4338 rad/s",
    ),
    Check(
        "impulse_delay",
        {"frequency": 3.4338 / (2 * pi), "damping": 0.4037},
        1.0,
        0.001,
        MEMORY,
        RAO + "the same, damped period 2 s",
    ),
    Check(
        "static_deflection",
        {"acceleration": 9806.65, "frequency": 187.8 / 60},
        INCH,
        0.003,
        MEMORY,
        "Den Hartog, Mechanical Vibrations: 187.8 vibrations per minute at an inch of static deflection",
    ),
    Check(
        "first_impulse",
        {"damping": 0},
        0.5,
        1e-12,
        MEMORY,
        "Singer, Seering, J. Dyn. Syst. Meas. Control 112 (1990) 76: undamped, two equal impulses",
    ),
    Check(
        "impulse_delay",
        {"frequency": 1, "damping": 0},
        0.5,
        1e-12,
        MEMORY,
        "Singer, Seering, J. Dyn. Syst. Meas. Control 112 (1990) 76: half a period apart",
    ),
    # --- geometry -------------------------------------------------------------------------------------------------
    Check(
        "void_share",
        {"width": 1, "height": 1},
        1 - 0.7854,
        1e-4,
        DERIVED,
        "square packing of circles covers pi/4",
    ),
    # --- polymers -------------------------------------------------------------------------------------------------
    *(
        Check(f"polymer:{row}", None, value, 1e-9, MEMORY, CALLISTER)
        for row, value in (
            ("PA66.glass_transition.low", 57),
            ("PA66.melting.low", 265),
            ("PET.glass_transition.low", 69),
            ("PET.melting.low", 265),
            ("PE.glass_transition.low", -110),
            ("PE.glass_transition.high", -90),
            ("PE.melting.low", 115),
            ("PE.melting.high", 137),
            ("PP.melting.high", 175),
            ("PS.glass_transition.low", 100),
            ("PS.melting.low", 240),
            ("PC.glass_transition.high", 150),
            ("PTFE.glass_transition.low", -97),
            ("PTFE.melting.low", 327),
        )
    ),
    *(
        Check(f"polymer:{row}", None, value, 1e-9, MEMORY, CALLISTER_HEAT)
        for row, value in (
            ("PA66.conductivity.low", 0.24),
            ("PA66.heat_capacity.low", 1.67),
            ("PA66.expansion.low", 144),
            ("PP.expansion.low", 145),
            ("PP.expansion.high", 180),
            ("PS.heat_capacity.low", 1.17),
            ("PTFE.heat_capacity.low", 1.05),
        )
    ),
    Check("polymer:PEEK.glass_transition.low", None, 143, 1e-9, QUOTED, "Callister, appendix E"),
    Check("polymer:PEEK.melting.low", None, 334, 1e-9, QUOTED, "Callister, appendix E"),
    Check("polymer:ABS.density.low", None, 1.04, 1e-9, QUOTED, "Crawford, Plastics Engineering, table 1.8"),
    Check("polymer:PP.density.low", None, 0.905, 1e-9, QUOTED, "Crawford, Plastics Engineering, table 1.8"),
    Check("polymer:PEEK.density.low", None, 1.30, 1e-9, QUOTED, "Crawford, Plastics Engineering, table 1.8"),
    Check("polymer:PP.fusion_heat.low", None, 207, 1e-9, QUOTED, "Blaine, Polymer Heats of Fusion, TN048"),
    Check("polymer:PA6.fusion_heat.low", None, 230, 1e-9, QUOTED, "Blaine, Polymer Heats of Fusion, TN048"),
    Check("polymer:PA12.fusion_heat.low", None, 245, 1e-9, QUOTED, "Blaine, Polymer Heats of Fusion, TN048"),
    Check(
        "polymer:PP.crystallinity.low",
        None,
        94 / 207,
        0.01,
        QUOTED,
        "a sample of 94 J/g (thermal-analysis pages) over 207 J/g (Blaine, TN048)",
    ),
    Check("polymer:PLA.fusion_heat.low", None, 93, 1e-9, QUOTED, "thermal-analysis instrument maker's pages"),
    Check("polymer:PLA.decomposition.low", None, 350, 1e-9, QUOTED, "thermal-analysis instrument maker's pages"),
    Check("polymer:PC.decomposition.low", None, 480, 1e-9, QUOTED, "thermal-analysis instrument maker's pages"),
    Check("limit:liner.ptfe.max", None, 250, 1e-9, QUOTED, "Crawford, Plastics Engineering, table 1.8"),
    Check("limit:liner.ptfe.melting", None, 327, 1e-9, MEMORY, CALLISTER),
    Check(
        "limit:liner.ptfe.fumes",
        None,
        330,
        1e-9,
        QUOTED,
        "Guide to the Safe Handling of Fluoropolymer Resins",
    ),
    Check(
        "limit:liner.ptfe.toxic",
        None,
        450,
        1e-9,
        QUOTED,
        "Guide to the Safe Handling of Fluoropolymer Resins",
    ),
    Check("limit:weld.pause", None, 5, 1e-9, QUOTED, "Ai, Vogt, Prog. Addit. Manuf. 2022, abstract"),
    # --- worked separately ------------------------------------------------------------------------------------------
    Check(
        "bead_section",
        {"width": 0.45, "height": 0.2},
        0.0814159,
        1e-6,
        DERIVED,
        "rectangle 0.25 x 0.2 and a circle of 0.2",
    ),
    Check(
        "bead_section",
        {"width": 0.6, "height": 0.28},
        0.1512,
        0.001,
        DERIVED,
        "rectangle 0.32 x 0.28 and a circle of 0.28",
    ),
    Check("bead_width", {"section": 0.09, "height": 0.2}, 0.4929, 1e-3, DERIVED, "stadium of a rectangle's section"),
    Check(
        "wall_stack",
        {"outer_width": 0.45, "inner_width": 0.45, "height": 0.2, "count": 3},
        1.2642,
        1e-4,
        DERIVED,
        "3 x 0.45 less 2 x 0.0429",
    ),
    Check(
        "layer_count",
        {"part_height": 20, "first_height": 0.25, "height": 0.2},
        100,
        1e-12,
        DERIVED,
        "0.25 + 99 x 0.2 = 20.05",
    ),
    Check("volume_flow", {"width": 0.45, "height": 0.2, "speed": 300}, 24.4, 0.002, DERIVED, "0.0814 mm2 x 300 mm/s"),
    Check("filament_speed", {"flow": 24.425, "diameter": 1.75}, 10.155, 1e-3, DERIVED, "24.425 / 2.4053"),
    Check("filament_length", {"volume": 10_000, "diameter": 1.75}, 4157.5, 1e-4, DERIVED, "10000 / 2.40528"),
    Check("diameter_flow", {"true_diameter": 1.8, "set_diameter": 1.75}, 1.05796, 1e-5, DERIVED, "(1.80/1.75)^2"),
    Check(
        "melt_power",
        {"flow": 24, "density": 1.24, "heat_capacity": 1.8, "rise": 195, "crystallinity": 1, "fusion_heat": 30},
        11.3,
        0.005,
        DERIVED,
        "24 mm3/s x 1.24 mg/mm3 x (351 + 30) J/g",
    ),
    Check(
        "melt_power",
        {"flow": 10, "density": 0.905, "heat_capacity": 2.2, "rise": 210, "crystallinity": 0.5, "fusion_heat": 207},
        5.118,
        1e-3,
        DERIVED,
        "9.05 mg/s x (462 + 103.5) J/g",
    ),
    Check(
        "residence_time", {"diameter": 1.75, "heated_length": 20, "flow": 10}, 4.811, 1e-3, DERIVED, "2.405 x 20 / 10"
    ),
    Check("diffusivity", metal(0.25, 1.04, 1.3), 0.1849, 1e-3, DERIVED, "k, rho, c of ABS from Crawford, table 1.8"),
    Check("diffusivity", metal(0.22, 0.905, 2.2), 0.1105, 1e-3, DERIVED, "k, rho, c of PP from Crawford, table 1.8"),
    Check("apparent_shear_rate", {"flow": 8, "bore": 0.4}, 1273.2, 1e-4, DERIVED, "4 x 8 / (pi 0.2^3)"),
    Check(
        "land_pressure",
        {"flow": 8, "bore": 0.4, "land": 0.6, "consistency": 6000, "exponent": 0.4},
        0.7138,
        1e-3,
        DERIVED,
        "wall stress 0.119 MPa over a land of 0.6 mm",
    ),
    Check(
        "newtonian_pressure",
        {"flow": 8, "bore": 0.4, "land": 0.6, "viscosity": 1000},
        7.639,
        1e-3,
        DERIVED,
        "8 eta L Q/(pi R^4)",
    ),
    Check("feed_force", {"pressure": 1.0074, "diameter": 1.75}, 2.423, 1e-3, DERIVED, "1.0074 x 2.4053"),
    Check("second_moment", {"diameter": 1.75}, 0.4604, 1e-3, DERIVED, "pi 1.75^4/64"),
    Check("line_time", {"length": 40, "speed": 150, "acceleration": 3000}, 0.31667, 1e-4, DERIVED, "40/150 + 150/3000"),
    Check("line_time", {"length": 4, "speed": 150, "acceleration": 3000}, 0.07303, 1e-4, DERIVED, "2 sqrt(4/3000)"),
    Check(
        "smooth_distance", {"speed": 150, "acceleration": 3000, "jerk": 2e5}, 4.875, 1e-6, DERIVED, "150 x 0.065 / 2"
    ),
    Check(
        "deviation_speed",
        {"acceleration": 3000, "deviation": 0.02},
        12.04,
        1e-3,
        DERIVED,
        "sqrt(3000 x 0.02 x 2.41421)",
    ),
    Check("corner_deviation", {"speed": 8, "acceleration": 3000}, 0.008837, 1e-3, DERIVED, "(sqrt 2 - 1) 64/3000"),
    Check("jump_speed", {"jump": 8}, 5.657, 1e-3, DERIVED, "8/sqrt 2"),
    Check("ring_wavelength", {"speed": 100, "frequency": 45}, 2.2222, 1e-4, DERIVED, "100/45"),
    Check("worst_swing", {"acceleration": 3000, "frequency": 45}, 0.07505, 1e-3, DERIVED, "6000/(2 pi 45)^2"),
    Check(
        "time_constant",
        {"density": 1.24, "heat_capacity": 1.8, "depth": 0.0814159 / 0.8783185, "film": 60},
        3.448,
        1e-3,
        DERIVED,
        "2.232 J/(cm3.K) x 0.0927 mm / 60 W/(m2.K)",
    ),
    Check(
        "contact_temperature",
        {"hot_temperature": 240, "cold_temperature": 100, "hot_effusivity": 520, "cold_effusivity": 1449},
        136.97,
        1e-4,
        DERIVED,
        "weighted mean",
    ),
    Check(
        "weld_temperature",
        {"laid_temperature": 230, "below_temperature": 80, "height": 0.2, "diffusivity": 0.09, "time": 1},
        129.1,
        1e-3,
        DERIVED,
        "80 + 75 erf(0.6667)",
    ),
    Check(
        "infill_spacing",
        {"width": 0.45, "height": 0.2, "fill": 0.2, "families": 3},
        6.106,
        1e-3,
        DERIVED,
        "3 x 0.0814 / 0.04",
    ),
    Check(
        "box_volume",
        {
            "x": 40,
            "y": 30,
            "z": 20,
            "wall_thickness": 1.26425,
            "floor_thickness": 0.8,
            "roof_thickness": 0.8,
            "fill": 0.2,
        },
        8847,
        1e-3,
        DERIVED,
        "24000 less 0.8 of a core of 18941",
    ),
    Check("stair_roughness", {"height": 0.2, "slope": 45}, 35.36, 1e-3, DERIVED, "50 um/sqrt 2"),
    Check("shrink_scale", {"shrinkage": 0.007}, 1.00705, 1e-5, DERIVED, "1/0.993"),
    Check(
        "box_print time",
        {"x": 60, "y": 40, "z": 30, "width": 0.45, "height": 0.2, "speed": 100, "acceleration": 2000, "density": 1.24},
        3334,
        0.01,
        DERIVED,
        "every move of the print summed one by one",
    ),
    Check(
        "limit:resonance.swing.ringing",
        None,
        0.02 / cos(pi / 2 * 5 / 6),
        0.05,
        DERIVED,
        "two equal impulses half a period of 5/6 f apart leave cos(pi/2 x 5/6) of the swing: 0.02 mm of it",
    ),
    Check(
        "bead_width",
        {"section": 0.0814159, "height": 0.3},
        0.3358,
        1e-3,
        DERIVED,
        "offset.per_first.max: in a gap of one and a half layers a bead of 0.45 x 0.2 is 1.12 times as wide as high",
    ),
    # --- the trade ------------------------------------------------------------------------------------------------
    Check(
        "belt_steps",
        {"motor_steps": 200, "microsteps": 16, "pitch": 2, "teeth": 20},
        80,
        1e-9,
        PRACTICE,
        "1.8 deg motor, 16 microsteps, 2 mm belt, 20 teeth: 80 steps/mm",
    ),
    Check(
        "screw_step",
        {"screw_lead": 8, "motor_steps": 200},
        0.04,
        1e-9,
        PRACTICE,
        "8 mm screw: layers in steps of 0.04 mm",
    ),
    Check(
        "spool_length",
        {"mass": 1000, "density": 1.24, "diameter": 1.75},
        335e3,
        0.005,
        PRACTICE,
        "a kilogram of 1.75 mm PLA is about 335 m",
    ),
    Check(
        "spool_length", {"mass": 1000, "density": 1.04, "diameter": 1.75}, 400e3, 0.005, PRACTICE, "of ABS about 400 m"
    ),
    Check(
        "heater_power", {"voltage": 24, "resistance": 14.4}, 40, 1e-9, PRACTICE, "a 24 V, 40 W cartridge has 14.4 Ohm"
    ),
    Check("shrink_scale", {"shrinkage": 0.005}, 1.005, 1e-4, PRACTICE, "half a percent of shrinkage: scale by 100.5 %"),
    Check("limit:bead.aspect.min", None, 1.2, 1e-9, PRACTICE, "rule of the trade"),
    Check("limit:liner.ptfe.caution", None, 240, 1e-9, PRACTICE, "rule of the trade"),
    # --- from memory ----------------------------------------------------------------------------------------------
    Check("limit:hot.touch.minute", None, 51, 1e-9, MEMORY, "ISO 13732-1, contact of 1 min, any material"),
    Check("limit:hot.touch.long", None, 48, 1e-9, MEMORY, "ISO 13732-1, contact of 10 min"),
    Check("polymer:PE.fusion_heat.low", None, 293, 1e-9, MEMORY, "heat of fusion of crystalline polyethylene"),
    Check("polymer:PEI.glass_transition.high", None, 217, 1e-9, MEMORY, "glass transition of polyetherimide"),
    Check("diffusivity", metal(0.13, 1.24, 1.8), 0.058, 0.01, MEMORY, "molten PLA"),
    Check(
        "fitted_roughness",
        {"height": 0.25, "slope": 0},
        (69.3 + 72.4) / 2 * 0.25,
        0.01,
        MEMORY,
        "Pandey, Reddy, Dhande 2003: 69.3..72.4 um per mm of layer",
    ),
]

"""A bad and a good example for every observation code: code -> (bad, good, settings beyond the usual ones).

An example is the text of `code.start` (after `START`), or a mapping of section names to texts.
"""

from __future__ import annotations

from convert.resources import read_bytes

KNOWN = frozenset(line.split("\t")[0] for line in read_bytes("schemas", "settings.tsv").decode().splitlines()[1:])

FACTS: dict[str, object] = {
    "code.commands": "word-extended",
    "code.relative_feed": True,
    "tool.count": 1,
    "envelope.x": 200.0,
    "envelope.y": 180.0,
    "envelope.z": 150.0,
    "envelope.origin": "corner",
    "heat.nozzle_first": 240.0,
    "heat.nozzle": 235.0,
    "heat.bed_first": 80.0,
    "heat.bed": 75.0,
    "hotend.max_temperature": 280.0,
    "bed.max_temperature": 110.0,
    "axis.x.max_acceleration": 3000.0,
    "axis.y.max_acceleration": 2000.0,
    "axis.x.max_speed": 300.0,
    "axis.e.max_jump": 5.0,
    "fan.max": 100.0,
    "flow.lead": 0.04,
}
# A start and an end to which nothing needs to be said, with place for one more line at the end.
START = """G21
G90
M83
M140 S{heat.bed_first}
G28
M190 S{heat.bed_first}
M109 S{heat.nozzle_first}
G92 E0
"""
END = """G91
G1 E-2 F1800
G1 Z5 F600
G90
M104 S0
M140 S0
M107
M84
"""


def after(*lines: str) -> dict[str, str]:
    return {"code.start": START, "code.end": "\n".join((END.rstrip(), *lines))}


def start(*lines: str) -> dict[str, str]:
    return {"code.start": START + "\n".join(lines), "code.end": END}


def without(text: str) -> str:
    """The usual start without one of its lines."""
    assert text in START
    return START.replace(text + "\n", "")


def begin(text: str, *lines: str) -> dict[str, str]:
    return {"code.start": text + "\n".join(lines), "code.end": END}


SQUARE = [[150, 0], [200, 0], [200, 40], [150, 40]]
CORNER = [[0, 0], [100, 0], [100, 50], [50, 50], [50, 100], [0, 100]]  # an L
NC: dict[str, object] = {"code.commands": "numeric-control"}
Sections = dict[str, str]

PRIMING: dict[str, object] = {"nozzle.diameter": 0.4, "feedstock.diameter": 1.75, "hotend.melt_rate": 12.0}

EXAMPLES: dict[str, list[tuple[Sections, Sections, dict[str, object]]]] = {
    "unhomed-move": [
        (begin("G21\nG90\nG1 X10 F600\n" + START), begin("G21\nG91\nG1 Z5 F600\n" + START), {}),
        (begin(without("G28") + "G28 X Y\n"), begin(without("G28") + "G28 X Y\nG28 Z\n"), {}),
        (start("M84", "G1 X5"), start("M84 S600", "G1 X5"), {}),
        (begin(without("G28") + "G29\n"), begin(START + "G29\n"), {}),
    ],
    "outside-area": [
        (start("G1 X201"), start("G1 X200 Y180 F6000"), {}),
        (start("G1 X-101"), start("G1 X-20"), {"envelope.origin": "centre"}),
        (start("G1 X-20"), start("G1 X20"), {}),
        (start("G1 X10 Y90", "G2 X10 Y90.001 I-6 J0"), start("G1 X10 Y90", "G3 X10.2 Y90 I0.1 J0"), {}),
        (start("G1 X90 Y90"), start("G1 X60 Y60"), {"envelope.shape": "round", "envelope.origin": "centre"}),
        (start("G1 X75 Y75"), start("G1 X45 Y75"), {"envelope.outline": CORNER}),
        (
            start("G1 X10 Y95", "G1 X95 Y10"),
            start("G1 X10 Y95", "G1 X10 Y10", "G1 X95 Y10"),
            {"envelope.outline": CORNER},
        ),
        (start("G1 X100", "G92 X0", "G1 X101"), start("G1 X100", "G92 X0", "G1 X100"), {}),
        (start("G1 X100", "G91", "G1 X101", "G90"), start("G1 X100", "G91", "G1 X99", "G90"), {}),
        (start("G20", "G1 X8", "G21"), start("G20", "G1 X7.8", "G21"), {}),
    ],
    "above-top": [(start("G1 Z151"), start("G1 Z150"), {})],
    "below-bed": [(start("G1 Z-0.1"), start("G1 Z0"), {})],
    "excluded-area": [
        (start("G1 X140 Y20", "G1 X199 Y60"), start("G1 X140 Y20", "G1 X140 Y60"), {"envelope.excluded": SQUARE}),
        (start("G1 X160 Y20"), start("G1 X149 Y20"), {"envelope.excluded": [SQUARE]}),
        (
            start("G1 X140 Y50", "G3 X190 Y50 R25.1"),
            start("G1 X140 Y50", "G2 X190 Y50 R25.1"),
            {"envelope.excluded": SQUARE},
        ),
    ],
    "bad-arc": [
        (start("G1 X50 Y50", "G2 X60 Y50 I5.1 J0"), start("G1 X50 Y50", "G2 X60 Y50 I5 J0"), {}),
        (start("G1 X50 Y50", "G2 X60 Y50 R4"), start("G1 X50 Y50", "G2 X60 Y50 R6"), {}),
        (start("G1 X50 Y50", "G2 X50 Y50 R4"), start("G1 X50 Y50", "G2 X50 Y50 I4"), {}),
        (start("G1 X50 Y50", "G2 X60 Y50"), start("G1 X50 Y50", "G2 X60 Y50 R-6"), {}),
    ],
    "blind-lift": [
        ({"code.start": START, "code.pause": "G91\nG1 Z5\nG90"}, {"code.start": START, "code.pause": "G1 Z150"}, {}),
    ],
    "into-part": [
        ({"code.end": "G91\nG1 Z-5 F300\nG90\n" + END}, {"code.end": END}, {}),
        ({"code.end": "G1 Z20 F300\n" + END}, {"code.end": "G1 Z150 F300\n" + END}, {}),
        ({"code.end": "G1 Z20 F300\n" + END}, {"code.end": "G28\nG1 Z20 F300\n" + END}, {}),
        (after("G28"), after("G28 X Y"), {"machine.kinematics": "moving-bed"}),
        (after("G28 Z"), after("G28 Y"), {"machine.kinematics": "crossed-belt"}),
    ],
    "blind-drive": [
        (
            {"code.end": END.replace("G90\n", "G1 Y170 F6000\nG90\n")},
            {"code.end": END.replace("G90\n", "G90\nG1 Y170 F6000\n")},
            {},
        ),
        (
            {"code.end": END.replace("G90\n", "G1 X-110 F6000\nG90\n")},
            {"code.end": END.replace("G90\n", "G1 X-20 F6000\nG90\n")},
            {},
        ),
    ],
    "feed-beyond-axis": [
        (start("G1 Z0.3 F9000"), start("G1 Z0.3 F600"), {"axis.z.max_speed": 12.0}),
        (start("G1 X5 Z5 F9000", "G1 Z2"), start("G1 X5 Z5 F9000", "G1 Z2 F720"), {"axis.z.max_speed": 12.0}),
    ],
    "zero-moved": [
        (start("G92 X0 Y0"), start("G92 E0"), {}),
        (start("G1 X100 Y40 F6000", "G92 X0 Y0"), start("G1 X100 Y40 F6000", "G92 X100 Y40"), {}),
        (start("M206 Z-5"), start("M206 Z0"), {}),
        (start("G1 X100 F6000", "G92 X95"), start("G1 Z0.3 F600", "G92 Z0.35"), {}),
    ],
    "park-before-lift": [
        ({"code.end": "G1 X5 F6000\n" + END}, {"code.end": END.replace("M84", "G1 X5 F6000")}, {}),
        ({"code.end": "G28 X\n" + END}, {"code.end": END.replace("M84", "G28 X\nM84")}, {}),
        (
            {"code.start": START, "code.pause": "G91\nG1 Z9\nG90", "code.next_part": "G1 X0 Y0 F9000"},
            {"code.start": START, "code.next_part": "G91\nG1 Z9 F600\nG90\nG1 X0 Y0 F9000"},
            {},
        ),
    ],
    "area-not-checked": [
        (
            start("G1 Y60", *["G1 X5", "G1 X6"] * 600),
            start("G1 X5", "G1 X6"),
            {"envelope.outline": [[i % 200, (i * i) % 180] for i in range(200)]},
        ),
    ],
    "cold-push": [
        (begin(without("M109 S{heat.nozzle_first}") + "G1 X50 E5\n"), start("G1 X50 E5"), {}),
        (begin(without("M109 S{heat.nozzle_first}") + "M109 S60\nG1 X50 E5\n"), start("G1 X50 E5"), {}),
        (start("M104 S0", "G1 E5"), start("M104 S0", "G1 E-5"), {}),
        (start("T1", "G1 E5", "T0"), start("T1", "M109 S240", "G1 E5", "T0"), {"tool.count": 2}),
    ],
    "unwaited-push": [
        (begin(START.replace("M109", "M104") + "G1 X50 E5\n"), start("G1 X50 E5"), {}),
        (start("M104 S270", "G1 X50 E5"), start("M104 S245", "G1 X50 E5"), {}),
    ],
    "unwaited-heat": [
        (begin(without("M190 S{heat.bed_first}")), start(), {}),
        (begin(without("M109 S{heat.nozzle_first}") + "M104 S{heat.nozzle_first}\n"), start(), {}),
        (begin(START.replace("M190 S{heat.bed_first}\n", "") + "G1 X9 E2\nM190 S80"), start("G1 X9 E2"), {}),
        (begin(without("M190 S{heat.bed_first}")), begin(without("M190 S{heat.bed_first}") + "M116\n"), {}),
    ],
    "unheated": [
        (begin(without("M109 S{heat.nozzle_first}")), start(), {}),
        (begin(START.replace("M140 S{heat.bed_first}\n", "").replace("M190 S{heat.bed_first}\n", "")), start(), {}),
        ({"code.start": ""}, {"code.end": END}, {}),
    ],
    "wait-unset": [(begin("M190\n" + START), begin(START), {})],
    "wait-no-target": [(start("M109"), start("M109 S{heat.nozzle_first}"), {})],
    "prime-fast": [
        (start("G1 X10 Y5 Z0.3 F9000", "G1 X100 E90 F900"), start("G1 X10 Y5 Z0.3 F9000", "G1 X100 E9 F900"), PRIMING),
        (start("G1 X10 Y5 Z0.3 F9000", "G1 X100 E9 F6000"), start("G1 X10 Y5 Z0.3 F9000", "G1 E9 F600"), PRIMING),
    ],
    "prime-high": [
        (start("G1 X10 Y5 Z0.8 F9000", "G1 X100 E9 F900"), start("G1 X10 Y5 Z0.4 F9000", "G1 X100 E9 F900"), PRIMING),
        (start("G1 X10 Y5 Z30 F9000", "G1 X100 E9 F900"), start("G1 X10 Y5 Z30 F9000", "G1 E9 F600"), PRIMING),
        (start("G1 X10 Z9", "G1 X99 E9"), start("G1 X10 Z0.3", "G1 X99 E9", "G1 Z9"), PRIMING),
    ],
    "no-prime": [
        (start(), start("G1 E9 F600"), {}),
        (start("G1 X100 F900"), start("G1 X100 E9 F900"), {"base.kind": "skirt"}),
    ],
    "left-cold": [
        (
            {"code.start": START, "code.pause": "M104 S0\nM0"},
            {"code.start": START, "code.pause": "M104 S0\nM0\nM109 S{heat.nozzle}"},
            {},
        ),
        ({"code.start": START, "code.next_part": "M140 S0"}, {"code.start": START, "code.tool_change": "M104 S0"}, {}),
    ],
    "left-hot": [
        (
            {"code.start": START, "code.end": END.replace("M104 S0", "M104 T0 S0")},
            {"code.start": START, "code.end": END.replace("M104 S0", "M104 T0 S0\nM104 T1 S0")},
            {"tool.count": 2, "heat.nozzle_standby": [160.0, 160.0]},
        ),
        ({"code.end": END.replace("M140 S0\n", "")}, {"code.end": END}, {}),
        ({"code.end": END.replace("M104 S0\n", "M104 S50\n")}, {"code.end": END}, {}),
        ({"program": "M140 S60"}, {"program": "M140 S60\nM140 S0"}, {}),
        ({"program": "M140 S60"}, {"program": "M140 S60\nM81"}, {}),
        (
            {"code.end": END.replace("M104 S0\n", "")},
            {"code.end": END},
            {"heat.nozzle": None, "heat.nozzle_first": None},
        ),
        (
            {"code.start": START + "M104 T1 S200", "code.end": END},
            {"code.start": START + "M104 T1 S200", "code.end": END + "M104 T0 S0\nM104 T1 S0"},
            {"tool.count": 2},
        ),
    ],
    "too-hot": [
        (start("M104 S281"), start("M104 S280"), {}),
        (start("M140 S111"), start("M140 S110"), {}),
        (start("M104 T1 S260", "M104 T0 S240"), start("M104 T1 S250"), {"hotend.max_temperature": [280.0, 250.0]}),
    ],
    "no-such-heater": [
        (start("M141 S40"), start("M141 S0"), {"chamber.heated": False}),
        (start(), begin(without("M140 S{heat.bed_first}").replace("M190", ";M190")), {"bed.heated": False}),
    ],
    "literal-heat": [
        (start("M109 S215"), start("M109 S{heat.nozzle_first}"), {}),
        (start("M109 S215"), start("M109 S215", "M109 S{heat.nozzle_first}"), {}),
        (
            {"code.start": START, "code.layer_closing": "M104 S200"},
            {"code.start": START, "code.layer_closing": "M104 S{heat.nozzle}"},
            {},
        ),
        (start("READY NOZZLE=215"), start("READY NOZZLE={heat.nozzle_first}"), {"code.commands": "named-macros"}),
    ],
    "fixed-heat": [(start("M109 S240"), start("M109 S{heat.nozzle_first}"), {})],
    "heat-in-comment": [
        (begin(START.replace("M190", ";M190")), start(";M190 S80"), {}),
        (begin(START.replace("M109", "; M109")), start("; M109 is what waits"), {}),
        ({"code.end": END.replace("M140", ";M140")}, {"code.end": END + ";M140 S0"}, {}),
    ],
    "fan-left-on": [
        ({"code.end": END.replace("M107\n", "")}, {"code.end": END}, {}),
        ({"program": "M106 S128"}, {"program": "M106 S128\nM106 S0"}, {}),
        ({"code.end": END.replace("M107\n", "M106\n")}, {"code.end": END}, {"fan.max": 0.0}),
    ],
    "motors-left-on": [({"code.end": END.replace("M84\n", "")}, {"code.end": END}, {})],
    "units-left": [
        (start("G20"), start("G20", "G21"), {}),
        ({"code.start": START, "code.pause": "G20"}, {"code.start": START, "code.pause": "G20\nG21"}, {}),
    ],
    "relative-left": [
        (start("G91"), start("G91", "G90"), {}),
        ({"code.end": END + "G91"}, {"code.end": END}, {}),
        (
            {"code.start": START, "code.tool_change": "G91\nG1 Z1"},
            {"code.start": START, "code.tool_change": "G91\nG1 Z1\nG90"},
            {},
        ),
    ],
    "feed-mode-mismatch": [
        (begin(START.replace("M83", "M82")), start(), {}),
        (begin(without("M83")), start(), {}),
        ({"code.start": START, "code.pause": "M82"}, {"code.start": START, "code.pause": "M82\nM83"}, {}),
    ],
    "feed-mode-ambiguous": [
        (begin(START.replace("G90\nM83", "M83\nG90") + "G1 X5 E1\n"), start("G1 X5 E1"), {}),
        (start("G91", "M82", "G91", "G1 E1", "M83", "G90"), start("G91", "G1 E1", "G90", "M83"), {}),
    ],
    "no-feed-reset": [
        (
            begin(START.replace("M83", "M82") + "G1 X9 E5\n"),
            begin(START.replace("M83", "M82") + "G1 X9 E5\nG92 E0"),
            {"code.relative_feed": False},
        ),
    ],
    "fan-conflict": [
        (start("M106 S255"), start("M106 S255", "M107"), {"fan.first_layer": 0.0}),
        (start("M106 S128"), start("M106 S3"), {"fan.off_layers": 3.0}),
        (
            {"code.start": START, "code.layer_opening": "M106 S255"},
            {"code.start": START, "code.layer_opening": "M106 S51"},
            {"fan.max": 20.0},
        ),
    ],
    "factor-left": [
        (start("M221 S95"), start("M221 S95", "M221 S100"), {}),
        (after("M220 S50"), after("M220 S100"), {}),
    ],
    "limit-raised": [
        (start("M201 X3500"), start("M201 X3000"), {}),
        (start("M203 X301"), start("M203 X300"), {}),
        (start("M203 X19000"), start("M203 X17000"), {"code.commands": "word-binary-offsets"}),
        (start("M204 P3500"), start("M204 P3000"), {}),
        (start("M204 T900"), start("M204 P900"), {"limit.acceleration.travel": 800.0}),
        (start("M205 E6"), start("M205 E5"), {}),
    ],
    "limit-lowered": [
        (start("M203 E5"), start("M203 E40"), {"retract.speed": 35.0}),
        (start("M203 X60"), start("M203 Z60"), {"speed.default": 150.0}),
        (start("M201 Y500"), start("M201 Y1500"), {"acceleration.default": 1500.0}),
    ],
    "cold-guard-off": [
        (start("M302 P1"), start("M302 S170"), {}),
        (start("M302 S0"), start("M302 P0"), {}),
        (start("M302"), start(), {}),
    ],
    "fault-guard-changed": [
        (start("M570 H1 P60 T50"), start(), {"code.commands": "word-binary-offsets"}),
        (start("M143 H1 S320"), start("M143 H1 S275"), {"code.commands": "word-binary-offsets"}),
    ],
    "heater-control": [(start("M301 P20 I1 D80"), start(), {})],
    "stores-settings": [(start("M500"), start("M503"), {})],
    "motor-current": [(start("M906 X900"), start(), {})],
    "steps-set": [(start("M92 E400"), start(), {})],
    "repeated-trim": [(start("M290 Z-0.05"), start(), {})],
    "map-before-home": [
        (start("G29", "G28"), start("G28", "G29"), {}),
        (start("M420 S1", "G28"), start("M420 S0", "G28"), {}),
    ],
    "lead-conflict": [(start("M900 K0.06"), start("M900 K{flow.lead}"), {})],
    "lead-twice": [
        (start("M900 K0.04"), start("M900 K{flow.lead}"), {}),
        (start("M900 K0.04", "M900 K0.05"), start("M900 K0.05"), {"flow.lead": None}),
    ],
    "no-such-tool": [(start("T1"), start("T0"), {})],
    "unknown-placeholder": [
        (start("M104 S{heat.nozle_first}"), start("M104 S{heat.nozzle_first}"), {}),
        (start("M104 S{first layer heat}"), start("M117 {a set} of words"), {}),
        (start("M117 {heat.bedd}"), start("M117 {heat.bed}"), {}),
        (start("M140 S{{heat.bed}}"), start("M140 S{heat.bed}"), {}),
        (start("M140 S{feedstock.name}"), start("M117 {feedstock.name}"), {"feedstock.name": "Meadow"}),
    ],
    "missing-value": [(start("M141 S{heat.chamber}"), start("M141 S0"), {})],
    "foreign-command": [
        (start("M201 X100"), start("M104 S240"), {"code.commands": "word-basic"}),
        ({"p": "M104 S0"}, {"p": "M3 S100"}, NC),
        (start("READY"), start(), {}),
    ],
    "unknown-command": [(start("M4321"), start("M400"), {}), (start("G{heat.bed}"), start("G4 P1"), {})],
    "opaque": [
        (start("READY BED=80"), start("M104 S240"), {"code.commands": "named-macros"}),
        (start('M98 P"warm"'), start("M104 S240"), {}),
        (start("{code.feedstock_start}"), start("; {code.feedstock_start}"), {}),
    ],
    "swallowed-code": [
        ({"code.start": START.replace("\n", "\\n")}, {"code.start": START}, {}),
        (start("G1 Z5 ; lift\\nM109 S215"), start("G1 Z5 ; lift\nM109 S240"), {}),
        (start("G28 ; home M104 S200 ; warm"), start("G28 ; home, as M104 needs"), {}),
        (start("(lift\\nG28)"), start("(lift)"), {}),
        (start("M117 hot\\nM104 S0"), start("M117 C:\\notes"), {}),
    ],
    "command-in-comment": [(start("; G29"), start("; then G29"), {}), (start("(M84)"), start("(all well)"), {})],
    "second-command": [
        (start("G91 G1 Z1"), start("G91", "G1 Z1", "G90"), {}),
        (start("M107 M84"), start("M107"), {"code.commands": "word-binary-offsets"}),
        (start("T0 M104 S240"), start("M104 T0 S240"), {}),
    ],
    "implied-motion": [(start("G1 X5", "X6"), start("G1 X5", "G1 X6"), {})],
    "assumed-mode": [
        (begin(without("G21") + "G1 X5"), start("G1 X5"), {}),
        (begin(without("G90") + "G1 X5"), start("G1 X5"), {}),
    ],
    "skipped-line": [(start("/G1 X5"), start("G1 X5"), {})],
    "after-end": [({"p": "G0 X1\nM2\nG0 X2"}, {"p": "G0 X1\nG0 X2\nM2\n(bye)\n%"}, NC)],
    "long-dwell": [
        (start("G4 P90000"), start("G4 P900"), {}),
        (start("G4 S900"), start("G4 S9"), {}),
        ({"p": "G4 P1000"}, {"p": "G4 P1"}, NC),
    ],
    "long-line": [(start("; " + "x" * 255), start("; " + "x" * 254), {})],
    "long-line-number": [(start("N123456 G1 X5"), start("N12345 G1 X5"), {})],
    "repeated-word": [(start("G1 X5 X6"), start("G1 X5 Y6"), {}), (start("G1 F900 X5 F600"), start("G1 F900 X5"), {})],
    "modal-conflict": [({"p": "G90 G91"}, {"p": "G90 G21"}, NC), ({"p": "M3 M5"}, {"p": "M3 M8"}, NC)],
    "many-m-words": [({"p": "M3 M6 M7 M48 M0"}, {"p": "M3 M6 M7 M48"}, NC)],
    "odd-letter": [({"p": "G1 X1 E5"}, {"p": "G1 X1 A5"}, NC), (start("M104 S240 Q1"), start("M104 S240"), {})],
    "bad-checksum": [(start("N3 G1 X10 Y5 F1200*124"), start("N3 G1 X10 Y5 F1200*123"), {})],
    "open-comment": [(start("G1 X5 (there"), start("G1 X5 (there)"), {})],
    "split-number": [(start("G1 X1 0"), start("G1 X 10"), {}), ({"p": "M104 S2 00"}, {"p": "M104 S 200"}, {})],
    "not-evaluated": [(start("G1 X[5+[1/2]]"), start("G1 X5.5"), {}), (start("#5=3"), start("; #5=3"), {})],
    "unreadable-text": [
        (start("!go"), start(";!go"), {}),
        (start("G1 X5 % 3"), start("%"), {}),
        (start("Q5"), start("M117 Q5"), {}),
    ],
    "odd-character": [
        (start("G1 X\u22125"), start("G1 X5"), {}),
        (start("G1\u00a0X5"), start("G1 X5"), {}),
        (start("M98 P\u201cx\u201d"), start("; \u201cx\u201d"), {}),
    ],
}

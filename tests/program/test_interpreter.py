"""The state machine: what it knows, what it does not, and what comes of it."""

from __future__ import annotations

from fractions import Fraction
from math import isnan

import pytest
from hypothesis import example, given
from hypothesis import settings as budget
from hypothesis import strategies as st

from convert.program import Context, Run, final_state, interpret, state_table, tables
from tests.program.examples import END, FACTS, KNOWN, START

WORD_SETS = sorted(tables())


def run(text: str, **extra: object) -> Run:
    return interpret([("program", text)], Context({**FACTS, **extra}, KNOWN))


def state(text: str, **extra: object) -> dict[str, object]:
    return final_state(run(text, **extra))


# ---- it never raises

FRAGMENTS = st.sampled_from([
    *sorted(tables()["other"]), *"XYZEFSPRIJKTNAD", "M570", "G1 ", "G2 ", "M104 S", "READY_UP ", "A=", "0", "1", "99",
    "-5", ".5", "9" * 400, "-" + "9" * 400, "[", "]", "(", ")", ";", "/", "%", "*", "*71", "\\n", "\n", " ", "\t", '"',
    "{heat.bed}", "{heat.nozle}", "{{heat.bed}}", "{code.start}", "{tool.count}", "{", "}", "#5", "=", "\u2212", "T",
    "N10 ", "T-1", "T1e9",
])  # fmt: skip
FACT_VALUES = st.dictionaries(
    st.sampled_from(sorted(KNOWN)),
    st.one_of(
        st.none(), st.booleans(), st.floats(), st.integers(), st.fractions(), st.text(max_size=8),
        st.lists(st.integers(-9, 9), max_size=3),
        st.lists(st.lists(st.integers(-9, 300), min_size=2, max_size=2), max_size=5),
        st.sampled_from(["round", "outline", "centre", *WORD_SETS]),
    ),
    max_size=12,
)  # fmt: skip


@budget(max_examples=400)
@given(
    st.lists(FRAGMENTS, max_size=60).map("".join),
    st.sampled_from(WORD_SETS),
    st.sampled_from(["code.start", "code.pause", "code.end", "program"]),
    FACT_VALUES,
)
def test_no_text_and_no_settings_raise(text: str, commands: str, section: str, extra: dict[str, object]) -> None:
    facts = {**FACTS, "code.start": "G1 X5\nG28", **extra, "code.commands": commands}
    done = interpret([(section, text), ("code.end", text)], Context(facts, KNOWN))
    rows = state_table(done)
    assert len(rows) == len(done.steps)
    assert all(isinstance(row["says"], str) and row["says"] for row in rows)
    assert all(not isinstance(value, float) or not isnan(value) for value in final_state(done).values())
    assert sum(bool(row["first"]) for row in rows) >= (
        1
        if done.first and any((row["section"], row["line"]) == (done.first.section, done.first.line) for row in rows)
        else 0
    )


@given(st.text(max_size=200))
def test_no_arbitrary_text_raises(text: str) -> None:
    interpret({"code.start": text, "code.end": text}, FACTS)


def test_hostile_code_takes_time_in_proportion() -> None:
    # Each would take hours if remarks, states or inserted texts grew with the square of the code.
    lines = 2000
    for text in (
        "".join(f"M106 P{index} S9\n/M106 P{index} S1\n" for index in range(lines)),
        "".join(f"M104 T{index} S9\nREADY{index}\n" for index in range(lines)),
        "".join(f"M{index + 5000}\n" for index in range(lines)),
        "".join(f"M104 S{{heat.nozl{index}}}\n" for index in range(lines)),
        "{code.pause}\n" * lines,
        "G1" * 50_000,
        "{a} " * 50_000 + "{heat.bed}",
        "\\" * 100_000,
        "G1 X5\\n" * 20_000,
    ):
        interpret([("program", text)], Context({**FACTS, "code.pause": "G28\n" * 1000}, KNOWN))


# ---- the short way is the long way


COORDINATES = st.one_of(st.none(), st.integers(-4, 210))
PLAIN = st.tuples(
    st.sampled_from(["G0", "G1", "G00", "G01"]), COORDINATES, COORDINATES, COORDINATES, COORDINATES, st.booleans()
)
OTHER = st.sampled_from([
    "G92 X0 Y0", "G92 E0", "G91", "G90", "M82", "M83", "M104 S0", "M109 S240", "G28", "G20", "G21", "T1", "M84", "; so",
    "G28 X", "M107", "M400", "READY",
])  # fmt: skip


def plain(parts: tuple[str, int | None, int | None, int | None, int | None, bool]) -> str:
    word, x, y, z, e, feed = parts
    values = zip("XYZE", (x, y, z, e), strict=True)
    return word + "".join(f" {letter}{value}" for letter, value in values if value is not None) + " F600" * feed


@budget(max_examples=300)
@example(["G0 Y0 E1", "T1", "G0 X0", "G1 E2"], False, False)
@given(st.lists(st.one_of(PLAIN.map(plain), PLAIN.map(plain), OTHER), max_size=25), st.booleans(), st.booleans())
def test_the_short_way_gives_what_the_long_way_gives(lines: list[str], prepared: bool, after: bool) -> None:
    lines = [*START.rstrip().split("\n"), *lines] if prepared else lines
    section = "code.end" if after else "program"
    short = interpret([(section, "\n".join(lines))], Context(FACTS, KNOWN))
    # A comment in parentheses before the line keeps it out of the short way; columns move with it.
    mark = "( ) "
    long = interpret(
        [(section, "\n".join(line if line[0] in ";R" else mark + line for line in lines))], Context(FACTS, KNOWN)
    )
    assert final_state(short) == final_state(long)
    assert [(s.line, s.says, s.changes, s.effect) for s in short.steps] == [
        (s.line, s.says, s.changes, s.effect) for s in long.steps
    ]
    assert [(o.code, o.line, o.says, o.value, o.severity, o.sure) for o in short.observations] == [
        (o.code, o.line, o.says, o.value, o.severity, o.sure) for o in long.observations
    ]


# ---- what it knows


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("G20\nG1 X1 F60", {"x": 25.4, "feed": 25.4, "units": "inch"}),
        ("G91\nG1 X5", {"x": "unknown"}),
        ("G1 X3\nG91\nG1 X5", {"x": 8}),
        ("G1 X3\nG92 X10\nG1 X12", {"x": 12, "shift.x": -7}),
        ("G1 E5\nG92 E0\nM83\nG1 E2\nG1 E2", {"e": 4}),
        ("M82\nG1 E2\nG1 E2", {"e": 2}),
        ("G28 X", {"homed.x": True, "homed.y": False, "x": "unknown"}),
        ("G28\nM84 Y", {"homed.x": True, "homed.y": False, "motors": "on"}),
        ("G28\nM84", {"homed.z": False, "motors": "off"}),
        ("M104 S200", {"nozzle.target": 200, "nozzle.reached": 0}),
        ("M109 S200\nM104 S180", {"nozzle.target": 180, "nozzle.reached": 180}),
        ("M109 R200", {"nozzle.target": 200, "nozzle.reached": 200}),
        ("M104 S200\nM140 S50\nM116", {"nozzle.reached": 200, "bed.reached": 50}),
        ("M104 T2 S200\nT2\nM104 S190", {"nozzle T2.target": 190, "tool": 2}),
        ("M106 S51", {"fan": 20}),
        ("M106", {"fan": 100}),
        ("M106 S255\nM107", {"fan": 0}),
        ("M106 P2 S255", {"fan P2": 100, "fan": 0}),
        ("M203 X100 Z5", {"limit.speed.x": 100, "limit.speed.z": 5}),
        ("M204 P500 T900", {"limit.acceleration.print": 500, "limit.acceleration.travel": 900}),
        ("M205 X8 J0.02", {"limit.jump.x": 8, "limit.corner-deviation": 0.02}),
        ("M220 S80\nM221 S95", {"factor.speed": 80, "factor.flow": 95}),
        ("M900 K0.05", {"lead": 0.05}),
        ("M302 P1", {"cold-guard": "off"}),
        ("M420 S1", {"map": "on"}),
        ("M104 S200\nM81", {"nozzle.target": 0, "power": "off"}),
        ("M104 S200\nM112\nM104 S200", {"nozzle.target": 0}),
        ("G1 X1 Y1\nG2 X3 Y1 I1 J0", {"x": 3, "y": 1}),
        ("M104 S{heat.nozzle_first}", {"nozzle.target": 240}),
        ("M104 S{heat.chamber}", {"nozzle.target": "unknown"}),
        ("G1 X-{heat.bed}", {"x": -75}),
        ("G1 Z5\n/G1 Z9", {"z": "unknown"}),
        ("G1 Z5\n/G1 Z5", {"z": 5}),
        ("N5 g1 x 1*{heat.bed}", {"x": 1}),
    ],
)
def test_states(text: str, expected: dict[str, object]) -> None:
    got = state(text)
    assert {name: got.get(name) for name in expected} == expected


def test_units_of_words_depend_on_the_command_set() -> None:
    assert state("M203 X6000", **{"code.commands": "word-binary-offsets"})["limit.speed.x"] == 100
    assert state("M566 X600", **{"code.commands": "word-binary-offsets"})["limit.jump.x"] == 10
    assert state("M106 S1", **{"code.commands": "word-binary-offsets"})["fan"] == 100
    dwell = [run("G4 P2", **{"code.commands": name}).steps[0].says for name in ("word-basic", "numeric-control")]
    assert dwell == ["waits 0.002 s", "waits 2 s"]


def test_a_list_gives_each_tool_its_own_value() -> None:
    temperatures = {"heat.nozzle": [205.0, 260.0], "tool.count": 2}
    assert state("T1\nM104 S{heat.nozzle}", **temperatures)["nozzle T1.target"] == 260
    assert state("M104 T1 S{heat.nozzle}", **temperatures)["nozzle T1.target"] == 260
    assert state("M104 S{heat.nozzle}", **temperatures)["nozzle.target"] == 205


def test_exact_numbers_are_as_good_as_floats() -> None:
    assert state("M104 S{heat.nozzle}", **{"heat.nozzle": Fraction(431, 2)})["nozzle.target"] == 215.5


def test_only_the_first_command_of_a_line_runs_where_controllers_read_one() -> None:
    assert state("G91 G1 X5", **{"code.commands": "word-basic"})["distance"] == "relative"
    assert state("G1 X4\nG91 G1 X5", **{"code.commands": "word-basic"})["x"] == 4
    assert state("G1 X4\nG91 G1 X5", **{"code.commands": "numeric-control"})["x"] == 9


def test_text_of_a_setting_is_put_in_once() -> None:
    inner = {"code.feedstock_start": "M141 S{heat.bed}\nM106 S255\n{code.feedstock_start}"}
    got = run("{code.feedstock_start}\nM104 S5", **inner)
    assert final_state(got)["fan"] == 100
    assert final_state(got)["chamber.target"] == "unknown"
    assert [step.line for step in got.steps][:3] == [1, 1, 1]


# ---- what it does not know


def test_hidden_commands_leave_everything_unknown_but_say_so() -> None:
    got = run(START + "READY\nG90\nM104 S200", **{"code.commands": "named-macros"})
    final = final_state(got)
    assert final["x"] == final["homed.x"] == final["bed.target"] == final["fan"] == "unknown"
    assert (final["distance"], final["nozzle.target"]) == ("absolute", 200)
    (seen,) = [one for one in got.observations if one.code == "opaque"]
    assert "READY" in seen.says


def test_declared_macros_do_what_they_declare() -> None:
    context = Context(
        {"code.commands": "named-macros"}, KNOWN, macros={"Warm_Up": "heat-wait heater=nozzle TEMP:target"}
    )
    got = interpret([("program", "WARM_UP TEMP=215")], context)
    assert final_state(got)["nozzle.reached"] == 215
    assert not [one for one in got.observations if one.code == "opaque"]


def test_initial_states_can_be_given() -> None:
    context = Context(FACTS, KNOWN, initial={"nozzle.target": 200.0, "nozzle.reached": 200.0, "home.z": 0.0})
    got = interpret([("program", "G28\nG91\nG1 Z5\nG90")], context)
    assert (final_state(got)["z"], final_state(got)["nozzle.target"]) == (5, 200)


# ---- phases


def test_sections_of_a_mapping_run_in_their_order() -> None:
    got = interpret({"code.end": END, "code.pause": "M0", "code.start": START}, FACTS)
    assert got.sections == ("code.start", "code.pause", "code.end")
    assert [step.section for step in got.steps if step.line == 0] == ["print"]


def test_the_print_leaves_the_machine_hot_and_somewhere() -> None:
    got = interpret({"code.start": START, "code.end": ""}, FACTS)
    final = final_state(got)
    assert (final["nozzle.target"], final["bed.target"], final["x"], final["homed.x"]) == (235, 75, "unknown", True)


def test_what_a_hook_changes_may_or_may_not_hold() -> None:
    got = interpret({"code.start": START, "code.layer_closing": "M140 S50\nM106 P1 S255", "code.end": ""}, FACTS)
    assert final_state(got)["bed.target"] == "unknown"
    got = interpret({"code.start": START, "code.layer_closing": "M140 S75", "code.end": ""}, FACTS)
    assert final_state(got)["bed.target"] == 75


def test_end_code_alone_is_judged_as_after_a_print() -> None:
    got = interpret({"code.end": "M104 S0"}, {"heat.bed": 60.0})
    assert [one.subject for one in got.observations if one.code == "left-hot"] == ["bed"]


def test_steps_say_what_happens() -> None:
    got = run("G28\nG1 X10 E-2 F600\nM104 S{heat.bed}\nM117 hello")
    assert [step.says for step in got.steps] == [
        "homes X Y Z",
        "moves to X10 at 10 mm/s, pulling 2 mm of filament back",
        "sets the nozzle to 75 Cel (before: 0)",
        "shows 'hello'",
    ]
    assert got.steps[1].changes == (("x", "unknown", 10), ("e", 0, -2), ("feed", "unknown", 10))


def test_the_table_has_one_row_a_step() -> None:
    rows = state_table(interpret({"code.start": "G21\nG90\n\n; nothing\nG1 X500 F600"}, Context(FACTS, KNOWN)))
    assert [(row["line"], row["first"]) for row in rows] == [(1, False), (2, False), (5, True)]
    assert "unhomed-move" in rows[-1]["observations"]  # type: ignore[operator]
    assert rows[-1]["changes"] == "x: unknown -> 500; feed: unknown -> 10; motors: off -> on"


@given(st.integers(0, 3))
@example(0)
def test_line_ends_count_once(kind: int) -> None:
    end = ("\n", "\r\n", "\r", "\n")[kind]
    got = run(end.join(("G28", "", "M104 S999")))
    (seen,) = [one for one in got.observations if one.code == "too-hot"]
    assert seen.line == 3

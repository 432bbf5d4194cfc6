"""Every observation has an example that provokes it and one that does not."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from convert.program import CODES, Context, Observation, interpret
from convert.program.observations import SEVERITIES
from tests.program.examples import END, EXAMPLES, FACTS, KNOWN, START, start


def seen(code: Mapping[str, str], **extra: object) -> list[Observation]:
    facts = {name: value for name, value in {**FACTS, **extra}.items() if value is not None}
    return list(interpret(code, Context(facts, KNOWN)).observations)


CASES = [(code, index) for code, rows in EXAMPLES.items() for index in range(len(rows))]


@pytest.mark.parametrize(("code", "index"), CASES)
def test_the_bad_example_is_remarked_on(code: str, index: int) -> None:
    bad, _, extra = EXAMPLES[code][index]
    found = [one for one in seen(bad, **extra) if one.code == code]
    assert found
    assert all(one.says and one.severity in SEVERITIES and one.section in bad for one in found)
    for one in found:
        lines = bad[one.section].split("\n")
        assert 0 <= one.line <= len(lines)
        assert one.column >= 1
        if one.line and one.column > 1:
            assert one.column <= len(lines[one.line - 1]) + 1


@pytest.mark.parametrize(("code", "index"), CASES)
def test_the_good_example_is_not(code: str, index: int) -> None:
    _, good, extra = EXAMPLES[code][index]
    assert [one for one in seen(good, **extra) if one.code == code] == []


def test_every_code_has_examples() -> None:
    assert EXAMPLES.keys() == CODES.keys()


def test_a_sound_profile_is_left_alone() -> None:
    assert seen({"code.start": START + "G1 X50 Y5 Z0.3 E5 F900\n", "code.end": END}) == [
        one for one in seen({"code.end": END}) if one.code == "blind-lift"
    ]


def test_places_values_and_margins() -> None:
    found = seen(start("G1 X150 F600", "G1 X210", "G1 X260", "G1 X230"))
    (one,) = [one for one in found if one.code == "outside-area"]
    # The worst value and its place, and the words are of that too; five millimetres and less are only a note.
    assert (one.line, one.column, one.value, one.limit, one.unit) == (START.count("\n") + 3, 4, 260.0, 200.0, "mm")
    assert "260" in one.says
    assert one.severity == "fails"
    (near,) = [one for one in seen(start("G1 X203")) if one.code == "outside-area"]
    assert near.severity == "note"


def test_literals_are_graded_by_how_far_they_are_off() -> None:
    grades = {}
    for target in (215, 235, 240):
        (one,) = [one for one in seen(start(f"M109 S{target}")) if one.code in ("literal-heat", "fixed-heat")]
        grades[target] = (one.code, one.severity, one.value, one.limit)
    assert grades == {
        215: ("literal-heat", "spoils", 215.0, 240.0),
        235: ("literal-heat", "differs", 235.0, 240.0),
        240: ("fixed-heat", "note", 240.0, 240.0),
    }


def test_a_mistyped_placeholder_names_what_was_meant() -> None:
    (one,) = [one for one in seen(start("M104 S{heat.nozle_first}")) if one.code == "unknown-placeholder"]
    assert one.limit == "heat.nozzle_first"
    assert "{heat.nozzle_first}" in one.says
    assert (one.line, one.column) == (START.count("\n") + 1, 7)


def test_doubt_is_said() -> None:
    facts = {"code.commands": "named-macros", "heat.nozzle": 240.0}
    hidden = interpret({"code.start": "READY\nG90\nG1 X500 F600"}, {**facts, "envelope.x": 200.0})
    (one,) = [one for one in hidden.observations if one.code == "outside-area"]
    assert not one.sure
    plain = interpret({"code.start": "G28\nG90\nG1 X500 F600"}, {**facts, "envelope.x": 200.0})
    (one,) = [one for one in plain.observations if one.code == "outside-area"]
    assert one.sure


def test_the_first_violation_is_marked() -> None:
    run = interpret(start("G1 X50 E5", "M104 S0", "G1 E5", "G1 X300"), Context(FACTS, KNOWN))
    assert run.first is not None
    assert (run.first.code, run.first.line) == ("cold-push", START.count("\n") + 3)

"""Examples and rules of RS-274 as described in NISTIR 6556 (Kramer, Proctor, Messina: The NIST RS274/NGC Interpreter,
version 3, 2000). Section numbers stand beside each check; examples are quoted from memory of that report.
Checks marked "common practice" have no standard behind them."""

from __future__ import annotations

from math import hypot

import pytest

from convert.program import Run, final_state, interpret, tables, tokenize
from convert.program.geometry import centre_from_radius

NC = {"code.commands": "numeric-control"}


def run(text: str) -> Run:
    return interpret([("program", text)], NC)


def codes(text: str) -> list[str]:
    return [seen.code for seen in run(text).observations]


def words(text: str) -> list[tuple[str, float | None]]:
    return [(word.letter, word.value) for word in tokenize(text).words]


# ---- 3.3 format of a line


def test_blanks_and_case_do_not_matter() -> None:
    # 3.3.2: "g0x +0. 12 34y 7" is equivalent to "g0 x+0.1234 y7".
    assert words("g0x +0. 12 34y 7") == words("g0 x+0.1234 y7") == [("G", 0), ("X", 0.1234), ("Y", 7)]


@pytest.mark.parametrize(
    ("text", "value"), [("1", 1), ("+1", 1), ("-1.", -1), (".5", 0.5), ("-.5", -0.5), ("0012.50", 12.5)]
)
def test_numbers(text: str, value: float) -> None:
    # 3.3.2.1: optional sign, digits, at most one point, at least one digit.
    assert words(f"X{text}") == [("X", value)]


@pytest.mark.parametrize("text", [".", "+", "--1", "1.2.3", "1,5", "1e3"])
def test_what_is_no_number(text: str) -> None:
    # 3.3.2.1, the same grammar; there is no exponent, so e is a letter of its own.
    (first, *rest) = words(f"X{text}")
    other = [token for token in tokenize(f"X{text}").tokens if token.kind == "other"]
    assert first[1] is None or rest or other


def test_a_line_may_have_256_characters() -> None:
    # 3.3.1: "the maximum ... is 256 characters".
    assert "long-line" not in codes("G0 X1" + " " * 251)
    assert "long-line" in codes("G0 X1" + " " * 252)


def test_line_numbers_and_block_delete() -> None:
    # 3.3.1: optional block delete, then optional line number of up to five digits, then the segments.
    line = tokenize("/N00123 G0 X1")
    assert (line.deleted, line.number, words("/N00123 G0 X1")) == (True, "00123", [("G", 0), ("X", 1)])
    assert "long-line-number" in codes("N123456 G0 X1")


def test_comments() -> None:
    # 3.3.4: "G80 M5 (stop motion)" is the report's example of a line with a comment; a comment may stand anywhere.
    line = tokenize("G80 M5 (stop motion)")
    assert [token.text for token in line.tokens if token.kind == "comment"] == ["(stop motion)"]
    assert words("G80 M5 (stop motion)") == [("G", 80), ("M", 5)]
    assert words("G0 (half way) X1") == [("G", 0), ("X", 1)]
    # 3.3.4: an open parenthesis must be closed on the same line.
    assert "open-comment" in codes("G0 X1 (stop")


def test_one_word_a_letter_and_four_m_words() -> None:
    # 3.3.5: any number of G words, up to four M words, one word of any other letter.
    assert "repeated-word" in codes("G1 X1 X2")
    assert "repeated-word" not in codes("G90 G1 G94 X2 F1")
    assert "many-m-words" in codes("M3 M7 M48 M6 M0")
    assert "many-m-words" not in codes("M3 M7 M48 M0")


def test_the_order_of_words_does_not_matter() -> None:
    # 3.3.6: items of a line may be in any order; 3.8, table 8: units and distance mode take effect before motion.
    assert final_state(run("G1 X1 G20 G90 F60"))["x"] == final_state(run("F60 G90 G20 X1 G1"))["x"] == 25.4


@pytest.mark.parametrize(
    "pair", ["G0 G1 X1", "G17 G18", "G90 G91", "G93 G94", "G20 G21", "G54 G55", "G61 G64", "M3 M5", "M0 M30"]
)
def test_modal_groups_exclude_each_other(pair: str) -> None:
    # 3.4, table 4: two words of one modal group may not be on one line.
    assert "modal-conflict" in codes(pair)


@pytest.mark.parametrize("pair", ["G90 G21", "G17 G20", "M3 M8", "G1 G90 X1 F1", "M6 M3"])
def test_words_of_different_groups_may_stand_together(pair: str) -> None:
    assert "modal-conflict" not in codes(pair)


def test_the_codes_of_tables_5_and_7_are_known() -> None:
    # Tables 5 (G codes) and 7 (M codes).
    g_codes = (
        "0 1 2 3 4 10 17 18 19 20 21 28 30 38.2 40 41 42 43 49 53 54 55 56 57 58 59 59.1 59.2 59.3 61 61.1 64 "
        "80 81 82 83 84 85 86 87 88 89 90 91 92 92.1 92.2 92.3 93 94 98 99"
    )
    m_codes = "0 1 2 3 4 5 6 7 8 9 30 48 49 60"
    expected = [f"G{code}" for code in g_codes.split()] + [f"M{code}" for code in m_codes.split()]
    assert tables()["numeric-control"].keys() - {"T"} == set(expected)


# ---- 3.5 G codes


def test_the_radius_format_arc() -> None:
    # 3.5.3.1: "G17 G2 x 10 y 15 r 20 z 5": a helix ending at X10 Y15 Z5 with a radius of 20; if Z starts at 5, an arc.
    got = run("G21 G90\nG0 X0 Y0 Z5\nG17 G2 x 10 y 15 r 20 z 5")
    assert {axis: final_state(got)[axis] for axis in "xyz"} == {"x": 10, "y": 15, "z": 5}
    assert "bad-arc" not in [seen.code for seen in got.observations]
    # Positive radius: less than 180 degrees; negative: more.
    near = centre_from_radius((0, 0), (10, 15), 20, True)
    far = centre_from_radius((0, 0), (10, 15), -20, True)
    assert near is not None
    assert far is not None
    assert hypot(*near) == pytest.approx(20)
    assert hypot(*far) == pytest.approx(20)
    side = [(10 * centre[1] - 15 * centre[0]) for centre in (near, far)]
    assert side[0] < 0 < side[1]  # clockwise and short: the centre lies to the right of the chord


def test_the_centre_format_arc() -> None:
    # 3.5.3.2: "G17 G2 x 10 y 16 i 3 j 4 z 9" from X7 Y7: centre X10 Y11, radius 5.
    got = run("G21 G90\nG0 X7 Y7 Z9\nG17 G2 x 10 y 16 i 3 j 4 z 9")
    assert "bad-arc" not in [seen.code for seen in got.observations]
    assert {axis: final_state(got)[axis] for axis in "xyz"} == {"x": 10, "y": 16, "z": 9}


def test_the_two_radii_of_an_arc() -> None:
    # 3.5.3: an error if the radii at start and end differ by more than 0.002 mm (0.0002 inch).
    assert "bad-arc" not in codes("G21 G90\nG0 X7 Y7\nG2 X10 Y16.0019 I3 J4")
    assert "bad-arc" in codes("G21 G90\nG0 X7 Y7\nG2 X10 Y16.0021 I3 J4")
    assert "bad-arc" not in codes("G20 G90\nG0 X7 Y7\nG2 X10 Y16.00019 I3 J4")
    assert "bad-arc" in codes("G20 G90\nG0 X7 Y7\nG2 X10 Y16.00021 I3 J4")


def test_a_full_circle_needs_the_centre() -> None:
    # 3.5.3.1: a radius does not define a circle whose end is its start; 3.5.3.2: the centre does.
    assert "bad-arc" in codes("G21 G90\nG0 X5 Y5\nG2 X5 Y5 R2")
    assert "bad-arc" not in codes("G21 G90\nG0 X5 Y5\nG2 X5 Y5 I2 J0")


@pytest.mark.parametrize(("plane", "arc"), [("G17", "X10 Y0 I5 J0"), ("G18", "X10 Z0 I5 K0"), ("G19", "Y10 Z0 J5 K0")])
def test_the_plane_picks_the_offsets(plane: str, arc: str) -> None:
    # 3.5.3.2: I J in the XY plane, I K in XZ, J K in YZ.
    assert "bad-arc" not in codes(f"G21 G90 {plane}\nG0 X0 Y0 Z0\nG2 {arc}")
    assert "bad-arc" in codes(f"G21 G90 {plane}\nG0 X0 Y0 Z0\nG2 {arc.translate(str.maketrans('IJK', 'ABC'))}")


def test_clockwise_is_seen_from_the_positive_axis() -> None:
    # 3.5.3: G2 clockwise, G3 counter-clockwise as seen from the positive end of the axis normal to the plane.
    # In the XZ plane that is +Y; with right-handed axes a counter-clockwise quarter turn about +Y takes Z to X and X to
    # -Z. So G2 from the -X side of the centre goes by way of -Z, G3 by way of +Z.
    for word, bulge in (("G2", "below-bed"), ("G3", "above-top")):
        got = interpret([("program", f"G21 G90 G18\nG0 X0 Y0 Z0\n{word} X10 Z0 I5 K0")], {**NC, "envelope.z": 1.0})
        found = [seen.code for seen in got.observations if seen.code in ("above-top", "below-bed")]
        assert found == [bulge], word


def test_dwell_counts_seconds() -> None:
    # 3.5.4: "G4 P...": seconds.
    assert run("G4 P0.5").steps[0].says == "waits 0.5 s"


def test_units() -> None:
    # 3.5.7: G20 inches, G21 millimetres; feed in units per minute (3.5.19, G94).
    assert final_state(run("G20 G90\nG1 X1 F60"))["x"] == 25.4
    assert final_state(run("G21 G90\nG1 X1 F60"))["feed"] == 1


def test_axis_offsets() -> None:
    # 3.5.18: at X4 with no offset, "G92 x7" makes the present point X7 and the offset -3.
    final = final_state(run("G21 G90\nG0 X4\nG92 x7"))
    assert (final["x"], final["shift.x"]) == (7, -3)


def test_distance_modes() -> None:
    # 3.5.17: G90 positions, G91 increments.
    assert final_state(run("G21 G90\nG0 X4\nG91\nG0 X4\nG90\nG0 Y1"))["x"] == 8


def test_modal_motion_goes_on() -> None:
    # 3.4: a line with axis words and no motion word goes on in the motion mode in force.
    assert final_state(run("G21 G90\nG1 X4 F100\nX5"))["x"] == 5
    assert "implied-motion" not in codes("G21 G90\nG1 X4 F100\nX5")


def test_the_program_ends_at_m2_and_m30() -> None:
    # 3.6.1.
    for word in ("M2", "M30"):
        got = run(f"G21 G90\nG0 X1\n{word}\nG0 X2")
        assert final_state(got)["x"] == 1
        assert "after-end" in [seen.code for seen in got.observations]


# ---- beside RS-274


def test_checksum() -> None:
    # Common practice, not RS-274: exclusive-or of the bytes before the asterisk.
    text = "N3 G1 X10 Y5 F1200"
    total = 0
    for byte in text.encode():
        total ^= byte
    assert total == 123
    for number, wrong in ((123, False), (122, True)):
        got = interpret([("program", f"{text}*{number}")], {"code.commands": "word-basic"})
        assert ("bad-checksum" in [seen.code for seen in got.observations]) == wrong


def test_semicolon_comments() -> None:
    # Common practice, not RS-274.
    assert words("G1 X1 ; Y2 (Z3)") == [("G", 1), ("X", 1)]

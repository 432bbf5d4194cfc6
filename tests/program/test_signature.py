"""Reformatted code has the same signature; code that does something else has not."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.program import Context, interpret, signature, tokenize
from tests.program.examples import END, FACTS, KNOWN, START


def sign(text: str, commands: str = "word-extended", **values: object) -> object:
    return signature(interpret({"code.start": text}, Context({**FACTS, "code.commands": commands, **values}, KNOWN)))


def respell(number: str, rng: random.Random) -> str:
    """The same number, written another way."""
    if not number or "{" in number or '"' in number:
        return number
    sign_, digits = (number[0], number[1:]) if number[0] in "+-" else ("", number)
    if "." in digits:
        digits += "0" * rng.randrange(3)
    else:
        digits += rng.choice(["", ".", ".0", ".000"])
    digits = "0" * rng.randrange(3) + digits
    return (sign_ or rng.choice(["", "+"])) + digits


def reformat(text: str, rng: random.Random, shuffle: bool = True) -> str:
    """Case, blanks, comments, line numbers, spelling of numbers, order of words, line ends."""
    lines = []
    for index, line in enumerate(text.split("\n")):
        split = tokenize(line)
        if split.message is not None or split.name:
            lines.append(line)
            continue
        words = [f"{word.letter}{respell(word.text, rng)}" for word in split.words]
        if shuffle:
            head, rest = words[:1], words[1:]
            rng.shuffle(rest)
            words = head + rest
        words = [word.lower() if "{" not in word and '"' not in word and rng.random() < 0.5 else word for word in words]
        fill = ["", " ", "  ", "\t", "(so) "]
        new = "".join(rng.choice(fill) + word for word in words)
        if words and rng.random() < 0.3:
            new = f"N{index + 1} {new}"
        if rng.random() < 0.3:
            new += rng.choice([" ; as before", "(as before)", "   "])
        lines.append(new)
        if rng.random() < 0.2:
            lines.append(rng.choice(["", "   ", "; nothing", "(nothing)", "%"]))
    return rng.choice(["\n", "\r\n", "\r"]).join(lines)


LINES = st.lists(
    st.sampled_from([
        *START.rstrip().split("\n"), *END.rstrip().split("\n"), "G1 X10 Y20.5 E1 F1200", "G0 X-5 Y.5",
        "G1 X{envelope.x} Y5", "G2 X10 Y10 I5 J0", "G3 X1 Y1 R-20", "M106 S127.5", "M117 Hello G1",
        'M98 P"Ready Steady"', "G4 P100", "T1", "G28 X Y", "M204 P500 T900", "M104 S-{heat.bed}", "G92 X0 E0",
        "M9999 K1", "READY A=1",
    ]),
    max_size=12,
).map("\n".join)  # fmt: skip


@given(LINES, st.randoms(use_true_random=False))
def test_reformatting_changes_nothing(text: str, rng: random.Random) -> None:
    assert sign(reformat(text, rng)) == sign(text)


@given(LINES, st.randoms(use_true_random=False))
def test_a_moved_comment_sign_changes_it(text: str, rng: random.Random) -> None:
    lines = text.split("\n")
    index = rng.randrange(len(lines))
    if not lines[index]:
        return
    lines[index] = ";" + lines[index]
    assert sign("\n".join(lines)) != sign(text)


@pytest.mark.parametrize(
    ("one", "two"),
    [
        ("M190 S60", ";M190 S60"),
        ("G1 X5 ; Y6", "G1 X5 Y6"),
        ("G1 X5 (Y6)", "G1 X5 Y6 ()"),
        ("G1 X5", "G1 X5.1"),
        ("G1 X5", "G0 X5"),
        ("G1 X5", "G1 X-5"),
        ("G1 X5\nG1 Y5", "G1 Y5\nG1 X5"),
        ("G1 X5\nG1 Y5", "G1 X5 Y5"),
        ("G28", "G28 X"),
        ("M104 S240", "M104 S{heat.nozzle_first}"),
        ("M117 one", "M117 two"),
        ('M98 P"one"', 'M98 P"two"'),
        ("READY A=1", "READY A=2"),
        ("READY A=1", "READY B=1"),
        ("G90\nG90", "G90"),
        ("G91 G1 X5", "G1 G91 X5"),
        ("/G1 X5", "G1 X5"),
        ("G28\nM104 S5", "G28\\nM104 S5"),
        ("G1 X5 !", "G1 X5"),
        ("G4 P5", "G4 S5"),
    ],
)
def test_other_code_is_told_apart(one: str, two: str) -> None:
    assert sign(one) != sign(two)


def test_numeric_control_runs_a_line_in_its_own_order() -> None:
    # NISTIR 6556, 3.3.6: the order of words in a line has no meaning; table 8 gives the order of execution.
    assert sign("G1 X5 G91 F60 G20", "numeric-control") == sign("G20 G91 F60 G1 X5", "numeric-control")


def test_placeholders_count_by_name() -> None:
    assert sign("M104 S{heat.bed}", **{"heat.bed": 50.0}) == sign("m104 s{heat.bed}", **{"heat.bed": 60.0})
    assert sign("M104 S{heat.bed}") != sign("M104 S{heat.nozzle}")


def test_comments_alone_are_no_code() -> None:
    assert sign("; G28\n(G1 X5)\n\n%") == ()
    assert sign("") == ()


def test_signatures_can_be_kept() -> None:
    assert hash(sign(START)) == hash(sign(START))

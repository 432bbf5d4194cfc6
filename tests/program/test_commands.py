"""The command tables and the registry of effects fit each other and the settings."""

from __future__ import annotations

from convert.program import tables
from convert.program.commands import COLUMNS, SETS
from convert.program.effects import EFFECTS
from convert.program.lines import _RANK
from convert.program.observations import CODES, SEVERITIES
from convert.program.words import TEXT_WORDS
from convert.resources import read_bytes


def rows() -> list[list[str]]:
    lines = read_bytes("schemas", "commands.tsv").decode("utf-8").split("\n")
    assert lines[-1] == ""
    return [line.split("\t") for line in lines[:-1]]


def test_rows_are_whole_and_named_once() -> None:
    head, *body = rows()
    assert tuple(head) == COLUMNS
    assert all(len(row) == len(COLUMNS) for row in body)
    named = [(row[0], row[1]) for row in body if row[2] != "include"]
    assert len(named) == len(set(named))
    assert all(row[6].startswith(("NISTIR 6556", "common practice")) for row in body)


def test_every_effect_has_a_function_and_a_word() -> None:
    used = {command.effect for table in tables().values() for command in table.values()}
    assert used <= EFFECTS.keys()
    assert EFFECTS.keys() - used == {"unknown"}


def test_command_sets_are_the_choices_of_the_setting() -> None:
    lines = read_bytes("schemas", "settings.tsv").decode("utf-8").splitlines()
    row = next(line.split("\t") for line in lines if line.startswith("code.commands\t"))
    assert set(row[lines[0].split("\t").index("choices")].split("|")) == set(SETS)
    assert all(tables()[name] for name in SETS)


def test_text_words_are_the_messages() -> None:
    messages = {word for table in tables().values() for word, row in table.items() if row.effect == "message"}
    assert messages <= TEXT_WORDS


def test_modal_groups_have_a_place_in_the_order_of_a_line() -> None:
    groups = {row.group for row in tables()["numeric-control"].values()}
    assert groups <= _RANK.keys()


def test_sets_include_one_another() -> None:
    basic, extended = tables()["word-basic"], tables()["word-extended"]
    assert basic.keys() < extended.keys()
    assert extended.keys() < tables()["word-binary-offsets"].keys()
    assert "M104" not in tables()["numeric-control"]
    assert tables()["other"]["G28"].effect == "home"
    assert tables()["numeric-control"]["G28"].effect == "return-home"


def test_codes_are_graded() -> None:
    assert all(severity in SEVERITIES and question for severity, question in CODES.values())
    assert [code for code, (severity, _) in CODES.items() if severity == "hurts"] == [
        "left-hot",
        "too-hot",
        "fault-guard-changed",
    ]

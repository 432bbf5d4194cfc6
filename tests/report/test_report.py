"""How results look: columns, widths, and that no text acts on the terminal."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from convert.dialects.fates import MEANINGS
from convert.dialects.ledger import Entry, Ledger, Side
from convert.errors import InputError, Location, Problem
from convert.model.phrase import parse_phrase
from convert.model.setting import SETTINGS
from convert.model.value import Share, State
from convert.report import ledger as reports
from convert.report.document import encode, problem
from convert.report.grid import NARROWEST, grid, paragraph
from convert.report.values import spoken
from convert.report.visible import shorten, visible


@given(st.text())
def test_visible_text_prints(text: str) -> None:
    shown = visible(text)
    assert shown.isprintable()
    assert visible(shown) == shown
    if text.isprintable():
        assert shown == text


@given(st.text(max_size=200), st.integers(20, 80))
def test_shortened_text_fits(text: str, most: int) -> None:
    assert len(shorten(text, most)) <= most + 5


cells = st.text(st.characters(min_codepoint=33, max_codepoint=126), max_size=70)


@given(st.integers(1, 5).flatmap(lambda n: st.lists(st.lists(cells, min_size=n, max_size=n), min_size=1, max_size=6)))
def test_grids_fit_and_keep_all_text(rows: list[list[str]]) -> None:
    text = grid(rows, width=80, indent=2)
    assert all(len(line) <= 80 for line in text.split("\n"))
    assert sorted("".join(text.split())) == sorted("".join(cell for row in rows for cell in row))


def test_a_grid_that_cannot_fit_is_wide_rather_than_wrong() -> None:
    text = grid([["a" * 90, "b" * 90]], width=60, whole=[0])
    assert "a" * 90 in text
    assert "b" * NARROWEST in text


def test_cells_keep_their_own_lines_and_empty_columns_go() -> None:
    assert grid([["a", "", "x\ny"], ["b", "", "z"]], ["one", "two", "three"]) == "one  three\na    x\n     y\nb    z"
    assert grid([]) == ""


def test_paint_changes_no_widths() -> None:
    def paint(text: str, role: str) -> str:
        return f"\x1b[1m{text}\x1b[0m"

    rows: list[list[str | tuple[str, str]]] = [[("dropped", "bad"), "x"], ["y", "z"]]
    painted = grid(rows, ["fate", "key"], paint=paint)
    assert painted.replace("\x1b[1m", "").replace("\x1b[0m", "") == grid(rows, ["fate", "key"])


def test_paragraph() -> None:
    assert paragraph("one two three", width=9, hang=2) == "one two\n  three"


def test_what_is_spoken_can_be_typed_again() -> None:
    for name, setting in SETTINGS.items():
        if setting.is_number:
            for value in (setting.minimum, setting.maximum, State("off"), State("unlimited")):
                assert value is not None
                assert parse_phrase(spoken(value, name), setting) == value
        elif setting.kind == "choice":
            assert parse_phrase(spoken(setting.choices[0], name), setting) == setting.choices[0]
    share = Share(Fraction(40), "speed.default")
    assert parse_phrase(spoken(share, "speed.gap"), SETTINGS["speed.gap"]) == share
    per_tool = (Fraction(200), Fraction(210))
    assert parse_phrase(spoken(per_tool, "heat.nozzle"), SETTINGS["heat.nozzle"]) == per_tool


def test_problems_as_json() -> None:
    found = problem(Problem("odd", Location("a", 3, 4), "mend it"))
    assert found == {"file": "a", "line": 3, "column": 4, "says": "odd", "hint": "mend it"}
    assert problem(InputError("odd"))["file"] is None
    assert encode({"a": Fraction(1, 5), "b": "\x1b"}) == b'{"a": 0.2, "b": "\\u001b"}\n'


def entry(number: int, fate: str, says: str = "", key: str = "key", **more: object) -> Entry:
    fields = {"side": "source", "file": "a.ini", "line": number, "path": (), "key": f"{key}{number}", "setting": None}
    return Entry(**{**fields, "fate": fate, "before": "1", "says": says, **more})  # type: ignore[arg-type]


def ledger(entries: list[Entry]) -> Ledger:
    return Ledger(Side("one", ["a.ini"]), Side("two", ["b.ini"]), entries, equal=3)


def test_counts_add_up() -> None:
    entries = [entry(number, fate) for number, fate in enumerate(MEANINGS)]
    text = reports.counts(ledger(entries))
    assert all(fate in text for fate in MEANINGS)
    assert text.splitlines()[-1].split() == ["keys", "in", "total", str(len(MEANINGS)), "0"]


def test_losses_are_told_worst_first_and_carried_keys_are_none() -> None:
    entries = [entry(number, fate) for number, fate in enumerate(MEANINGS)]
    fates = [one.fate for one in reports.losses(ledger(entries))]
    assert fates == ["invalid", "dropped", "unknown", "approximated", "link_lost", "rounded"]


def test_many_losses_are_folded_by_reason() -> None:
    entries = [entry(number, "dropped", "two has no key for it") for number in range(100)]
    entries += [entry(number, "rounded", "rounded", residual=0.02, setting="layer.height") for number in range(3)]
    text = reports.summary(ledger(entries), ["b.ini: written"])
    assert text.count("two has no key for it") == 1
    assert "... and 94 more" in text
    assert "off by 0.02 mm" in text
    assert len(text.splitlines()) < 30
    assert "3 of 3 settings read back equal" in text


def test_one_loss_in_many_files_is_told_once() -> None:
    entries = [entry(7, "dropped", "no key", file=f"shop/{name}.ini") for name in "abc"]
    text = reports.summary(ledger(entries), [])
    assert "3 keys of shop/" in text
    assert "a.ini:7 and 2 more" in text


def test_hostile_texts_in_a_ledger() -> None:
    entries = [entry(1, "unknown", "\x1b[2J", key="\x1b[31m", before="\x9b1m", file="\x1b.ini")]
    text = reports.summary(ledger(entries), ["\x1b"])
    assert all(char.isprintable() or char == "\n" for char in text)

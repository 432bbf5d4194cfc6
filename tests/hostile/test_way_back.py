"""By way of canonical documents, and in its own dialect, a file comes back byte for byte, whatever is in it."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.run import run

WORKSHOP = os.path.join(os.path.dirname(__file__), "..", "..", "corpus", "workshop")
GROUPED = [
    (dialect, name) for dialect in ("hasp", "skep", "trug") for name in sorted(os.listdir(f"{WORKSHOP}/{dialect}"))
]


def there_and_back(name: str, data: bytes, dialect: str) -> bytes:
    """The bytes of a file after a detour over canonical documents in a folder of their own."""
    Path(name).write_bytes(data)
    there = run("convert", name, "--from", dialect, "--to", "canonical", "--out", "there/")
    assert there.status == 0, there.err
    back = run("convert", "there", "--to", dialect, "--out", "back/")
    assert back.status == 0, back.err
    assert os.listdir("back") == [name]
    return Path("back", name).read_bytes()


@pytest.mark.parametrize(("dialect", "name"), GROUPED, ids=" ".join)
def test_profiles_find_their_places_again_in_any_order(dialect: str, name: str) -> None:
    # A folder gives its documents by name, the file has its profiles in an order of its own.
    data = Path(WORKSHOP, dialect, name).read_bytes()
    assert there_and_back(name, data, dialect) == data


def test_profiles_of_one_name_are_not_exchanged() -> None:
    card = '<card for="line" title="Twin"><fact of="LineGauge" in="mm">{}</fact></card>'
    cards = "\n".join(card.format(size) for size in ("1.75", "2.85", "3"))
    data = f"<cabinet>\n{cards}\n</cabinet>\n".encode()
    assert there_and_back("twins.hasp.xml", data, "hasp") == data


def test_more_digits_than_are_kept_stay_where_nothing_changed() -> None:
    lines = ("setup.called = Digits", "ply.rise = 0.1234567890123456789", "pace.all = 60.00000000000000000001", "")
    data = "\n".join(lines).encode()
    assert there_and_back("digits.quern.ini", data, "quern") == data
    done = run("set", "speed.default=60 mm/s", "--from", "quern", "back/digits.quern.ini")
    assert done.status == 0
    assert Path("back/digits.quern.ini").read_bytes() == data


def test_setups_without_names_become_cards_of_different_names() -> None:
    Path("a.quern.ini").write_text("setup.called = Same\nply.rise = 0.2\npace.all = 60\nnozzle.bore = 0.4\n")
    made = run("convert", "a.quern.ini", "--from", "quern", "--to", "hasp", "--out", "a.hasp.xml")
    assert made.status == 0, made.err
    shown = run("show", "a.hasp.xml", "--format", "json").document["profiles"]
    assert [profile["name"] for profile in shown] == ["Same", "Same 2", "Same 3"]


def test_too_many_combinations_are_refused() -> None:
    scopes = {
        "equipment": ("nozzle: bore", "0,4"),
        "supply": ("filament: diameter", "1,75"),
        "job": ("layer: height", "0,2"),
    }
    columns = [(f"P{number}", scope) for scope in scopes for number in range(20)]
    lines = ["setting;in;remark;" + ";".join(f"{name} ({scope})" for name, scope in columns)]
    for own, (key, value) in scopes.items():
        lines.append(f"{key};mm;;" + ";".join(value if scope == own else "" for _, scope in columns))
    Path("wide.skep.csv").write_text("\n".join(lines) + "\n")
    result = run("convert", "wide.skep.csv", "--to", "quern", "--out", "out/")
    assert result.status == 2
    assert "8000 setups" in result.err
    assert not Path("out").exists()
    for call in (("audit",), ("explain", "wall_stack", "--for")):
        result = run(*call, "wide.skep.csv", "--format", "json")
        assert result.status == 2
        assert not result.data

"""Zips, meanings, recognising, exports and CSV."""

from __future__ import annotations

import csv
import io
import os
import sys
import zipfile
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from convert.api import read
from convert.archive import digest, meaning
from convert.archive.digest import Tables, recognise
from convert.archive.export import place
from convert.archive.meaning import decode, understand
from convert.archive.query import Hit
from convert.archive.run import normalise
from convert.archive.walk import walk
from convert.archive.zips import MOST_RATIO, members
from convert.dialects import shape
from convert.dialects.detect import Match, detect
from convert.dialects.registry import Registry
from convert.errors import BeadwiseError, InputError
from convert.model.profile import equal_values
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.report.archive import hits_csv
from convert.text.source import Source
from tests.archive.generator import make
from tests.cli.run import run
from tests.cli.test_json import judge
from tests.dialects.values import any_value
from tests.zoo import CORPUS, WORKSHOP

# ---- meanings


@st.composite
def settings(draw: st.DrawFn) -> dict[str, Value]:
    names = draw(st.lists(st.sampled_from(sorted(SETTINGS)), max_size=8, unique=True))
    return {name: draw(any_value(SETTINGS[name])) for name in names}


@given(settings())
def test_a_meaning_keeps_every_value(values: dict[str, Value]) -> None:
    meaning, labels = understand(values)
    back = {**decode(meaning.body), **labels}
    assert back.keys() == values.keys()
    assert all(equal_values(back[name], values[name]) for name in values)
    assert understand(dict(reversed(values.items())))[0] == meaning


def test_two_spellings_of_a_number_are_one_meaning() -> None:
    one, _ = understand({"speed.travel": Fraction("16.666666666666667") * 6})
    other, _ = understand({"speed.travel": Fraction(100)})
    assert one.digest == other.digest


# ---- recognising


@pytest.mark.parametrize("folder", ["workshop/quern", "workshop/withy", "workshop/trug", "workshop/hasp", "awkward"])
def test_the_short_way_recognises_as_the_long_one(folder: str) -> None:
    tables = Tables(Registry())
    place = os.path.join(CORPUS, folder)
    for name in sorted(os.listdir(place)):
        with open(os.path.join(place, name), "rb") as file:
            source = Source.from_bytes(file.read(), name)
        try:
            expected = detect(source, tables.registry)
        except BeadwiseError as error:
            with pytest.raises(type(error)):
                recognise(source, tables)
            continue
        found = recognise(source, tables)
        assert type(found) is type(expected)
        if isinstance(found, Match) and isinstance(expected, Match):
            assert found.table is expected.table


def test_several_threads_may_read_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a cluster's worker; with bounds so small that what is remembered is thrown away all the time."""
    for module, name, bound in (
        (shape, "MOST_KEYS", 600),
        (meaning, "_MOST_FORMS", 3),
        (meaning, "_MOST_MEMO", 5),
        (digest, "MOST_NOTES", 1),
    ):
        monkeypatch.setattr(module, name, bound)
    files = []
    for dialect in ("quern", "trug", "sedge"):
        for name in sorted(os.listdir(os.path.join(WORKSHOP, dialect)))[:8]:
            with open(os.path.join(WORKSHOP, dialect, name), "rb") as file:
                files.append((file.read(), name))
    tables = Tables(Registry())
    alone = [digest.digest(data, name, tables) for data, name in files]
    before = sys.getswitchinterval()
    sys.setswitchinterval(1e-5)
    try:
        with ThreadPoolExecutor(8) as threads:
            together = list(threads.map(lambda file: digest.digest(*file, tables), files * 6))
    finally:
        sys.setswitchinterval(before)
    assert together == alone * 6


@pytest.mark.parametrize("dialect", ["quern", "trug"])
def test_what_is_remembered_with_the_keys_does_not_hide_other_lines(dialect: str) -> None:
    """Files of the same keys, with another dialect's keys in their comments, between or below the settings."""
    tables = Tables(Registry())
    place = os.path.join(WORKSHOP, dialect)
    with open(os.path.join(WORKSHOP, "withy", sorted(os.listdir(os.path.join(WORKSHOP, "withy")))[0]), "rb") as file:
        foreign = [line for line in file.read().splitlines() if line.startswith(b";")]
    mark = tables.registry.table(dialect).text["comments"][0].encode()
    for name in sorted(os.listdir(place)):
        with open(os.path.join(place, name), "rb") as file:
            data = file.read()
        lines = data.splitlines()
        for more in (
            [],
            [b""],
            [mark + b" a remark"],
            [mark + line.lstrip(b";") for line in foreign],
            [line.lstrip(b"; ") for line in foreign],
        ):
            for at in (1, len(lines) // 2, len(lines)):
                text = b"\n".join([*lines[:at], *more, *lines[at:]]) + b"\n"
                source = Source.from_bytes(text, name)
                try:
                    expected = detect(source, tables.registry)
                except BeadwiseError as error:
                    with pytest.raises(type(error)):
                        recognise(source, tables)
                    continue
                found = recognise(source, tables)
                assert isinstance(found, Match)
                assert isinstance(expected, Match)
                assert found.table is expected.table
            assert found.known == expected.known


# ---- zips


def test_members_that_are_not_read_say_why(tmp_path: Path) -> None:
    path = str(tmp_path / "a.zip")
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as file:
        file.writestr("bomb.quern.ini", b"a" * 20_000_000)
        file.writestr("../../escape.quern.ini", b"b = 1\n")
        file.writestr("same.ini", b"1")
        with pytest.warns(UserWarning, match="Duplicate"):
            file.writestr("same.ini", b"2")
        link = zipfile.ZipInfo("link")
        link.external_attr = 0o120777 << 16
        file.writestr(link, "target")
    found = {one.name: one for one in members(path)}
    assert found["bomb.quern.ini"].status == "refused"
    assert "bomb" in found["bomb.quern.ini"].why
    assert found["link"].status == "skipped"
    assert found["../../escape.quern.ini"].status == ""
    assert {"same.ini", "same.ini#2"} <= set(found)
    assert MOST_RATIO * os.path.getsize(path) / 2 < 20_000_000
    summary = normalise(str(tmp_path), str(tmp_path.parent / f"{tmp_path.name}-c"))
    assert summary.found == 5
    assert {p for p, _ in summary.refused} >= {"a.zip!bomb.quern.ini"}


def test_overlapping_members_are_refused(tmp_path: Path) -> None:
    """As in a bomb that lists one member a thousand times."""
    path = str(tmp_path / "a.zip")
    with zipfile.ZipFile(path, "w") as file:
        file.writestr("one", b"x" * 1000)
        first = file.infolist()[0]
        for number in range(50):
            other = zipfile.ZipInfo(f"copy{number}")
            other.header_offset, other.CRC = first.header_offset, first.CRC
            other.compress_size, other.file_size = first.compress_size, first.file_size
            file.filelist.append(other)
    with pytest.raises(InputError, match="overlap"):
        members(path)


def test_damaged_members_are_refused(tmp_path: Path) -> None:
    archive = tmp_path / "a"
    archive.mkdir()
    path = archive / "a.zip"
    with zipfile.ZipFile(path, "w") as file:
        file.writestr("one.quern.ini", b"layer = 1\n" * 200)
    data = bytearray(path.read_bytes())
    data[100] ^= 0xFF
    path.write_bytes(bytes(data))
    found = normalise(str(archive), str(tmp_path / "c"))
    assert [p for p, _ in found.refused] == ["a.zip!one.quern.ini"]
    assert "unpacked" in found.refused[0][1]


# ---- walking


def test_links_hidden_files_and_odd_names(tmp_path: Path) -> None:
    (tmp_path / "sub").mkdir()
    (tmp_path / ".git").mkdir()
    (tmp_path / ".git" / "config").write_text("x = 1\n")
    (tmp_path / "sub" / "a.ini").write_text("x = 1\n")
    os.symlink(tmp_path / "sub", tmp_path / "circle")
    os.mkfifo(tmp_path / "pipe")
    with open(os.fsencode(str(tmp_path)) + b"/odd\xff.ini", "wb") as file:
        file.write(b"x = 1\n")
    found = {(folder.path, one.name): one.why for folder in walk(str(tmp_path)) for one in folder.files}
    assert found["", ".git"] == "a hidden folder"
    assert "link" in found["", "circle"]
    assert found["", "pipe"] == "no regular file"
    assert found["", "odd\\xff.ini"] == ""
    assert found["sub", "a.ini"] == ""
    assert len(found) == 5


# ---- exports


def test_exported_documents_read_back(tmp_path: Path) -> None:
    shop = os.path.join(WORKSHOP, "quern")
    assert run("normalise", shop, "--into", str(tmp_path / "c"), "--export", str(tmp_path / "out")).status == 0
    made = 0
    for name in sorted(os.listdir(shop)):
        folder = place(str(tmp_path / "out"), name)
        (document,) = os.listdir(folder)
        there = read([os.path.join(folder, document)]).profiles[0]
        here = read([os.path.join(shop, name)]).profiles[0]
        assert there.name == here.name
        assert there.settings.keys() == here.settings.keys()
        assert all(equal_values(there.settings[key], here.settings[key]) for key in here.settings)
        made += 1
    assert made > 10
    again = run("normalise", shop, "--into", str(tmp_path / "c"), "--export", str(tmp_path / "out"))
    assert again.status == 3
    assert "exists already" in again.err


def test_a_whole_archive_is_converted_with_one_ledger(tmp_path: Path) -> None:
    archive = tmp_path / "a"
    make(str(archive), 4, families=1, size=4)
    arguments = ("normalise", str(archive), "--into", str(tmp_path / "c"), "--export", str(tmp_path / "out"))
    result = run(*arguments, "--to", "sedge", "--format", "json")
    judge(result.document)
    import json

    with open(tmp_path / "out" / "ledger.json", encoding="utf-8") as file:
        ledger = json.load(file)
    judge(ledger)
    assert ledger["read_back"]["differs"] == 0
    assert ledger["source_keys"] == sum(entry["side"] == "source" for entry in ledger["entries"])
    assert ledger["target_keys"] == sum(ledger["counts"]["target"].values())
    assert len(ledger["target"]["files"]) == result.document["exported"]
    assert all(os.path.isfile(tmp_path / "out" / name) for name in ledger["target"]["files"])
    assert any(".zip!" in name for name in ledger["source"]["files"])


def test_exports_stay_out_of_the_archive(tmp_path: Path) -> None:
    result = run("normalise", str(tmp_path), "--into", f"{tmp_path}-c", "--export", str(tmp_path / "out"))
    assert result.status == 2
    assert run("normalise", str(tmp_path), "--into", f"{tmp_path}-c", "--to", "trug").status == 2


@given(st.text(max_size=40))
def test_no_name_leads_out_of_the_export(name: str) -> None:
    found = os.path.normpath(place("/out", name))
    assert found == "/out" or found.startswith("/out/")


# ---- CSV


@given(st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\0"), max_size=12), st.integers(-5, 5))
def test_csv_is_read_back_and_starts_no_formula(text: str, number: int) -> None:
    hit = Hit(text, text, ("process",), "quern", 1, {"layer.height": number, "process.name": text})
    made = hits_csv([hit], ["layer.height", "process.name"])
    rows = list(csv.reader(io.StringIO(made, newline="")))
    assert rows[1][4] == str(number)
    assert rows[1][0] in (text, "'" + text)
    for cell in (rows[1][0], rows[1][5]):
        assert cell[:1] not in ("=", "+", "@", "\t", "\r")
        assert cell[:1] != "-" or float(cell) <= 0

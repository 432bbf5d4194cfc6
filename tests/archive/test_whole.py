"""An archive of known content: nothing is missed, copies and families are found, the archive stays as it was."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from convert.api import Session
from convert.archive.catalogue import Catalogue
from convert.archive.kin import kin
from convert.archive.meaning import LABELS, decode
from convert.archive.run import Summary, normalise
from convert.model.profile import equal_values
from convert.report.archive import kin_document, kin_table, summary_table
from tests.archive.content import comparable, snapshot
from tests.archive.generator import Truth, make
from tests.cli.run import run
from tests.cli.test_json import judge
from tests.zoo import CORPUS

Shared = tuple[Path, Path, Truth, Summary]


def test_every_file_has_its_fate(shared: Shared) -> None:
    _, _, truth, found = shared
    assert {path for path, _ in found.refused} == truth.refused
    assert {path for path, _ in found.skipped} == truth.skipped
    assert found.found == found.read + len(found.refused) + len(found.skipped)
    assert found.read == len(truth.read)
    assert all(reason for _, reason in found.refused + found.skipped)


def test_copies_and_one_meaning(shared: Shared) -> None:
    _, catalogue, truth, _ = shared
    with Catalogue(str(catalogue)) as opened:
        found = kin(opened)
    exact = {frozenset(group) for group in found.exact}
    assert {frozenset(group) for group in truth.exact} <= exact
    # The two zips are alike, so their members are copies of each other; beside these there are no more.
    planted = {frozenset(group) for group in truth.exact}
    assert all(all(".zip!" in path for path in group) for group in exact - planted)
    groups = [set(group) for group in found.same_meaning]
    assert all(any(twins <= group for group in groups) for twins in truth.same)
    families = list(truth.parents)
    for group in groups:
        members = {path for path in families if path in group}
        assert len(members) <= 1, "two members of a family differ"


def test_families(tmp_path: Path) -> None:
    """At least 95 % of the edges, over several seeds; a setting changed twice in a row makes the truth ambiguous."""
    right = total = 0
    for seed in (3, 4, 5):
        truth = make(str(tmp_path / f"a{seed}"), seed, families=4, size=25, zips=0)
        normalise(str(tmp_path / f"a{seed}"), str(tmp_path / f"c{seed}"))
        with Catalogue(str(tmp_path / f"c{seed}")) as opened:
            parents = {edge.child: edge.parent for edge in kin(opened).family}
        right += sum(parents.get(child, "none") == parent for child, parent in truth.parents.items())
        total += len(truth.parents)
    assert total == 300
    assert right >= 0.95 * total


def test_the_archive_is_not_touched(tmp_path: Path) -> None:
    archive = tmp_path / "archive"
    make(str(archive), 1, families=1, size=4)
    before = snapshot(str(archive))
    normalise(str(archive), str(tmp_path / "catalogue"))
    normalise(str(archive), str(tmp_path / "catalogue"), jobs=2)
    out = run("normalise", str(archive), "--into", str(tmp_path / "catalogue"), "--export", str(tmp_path / "out"))
    assert out.status == 3
    assert snapshot(str(archive)) == before


def test_meanings_are_those_of_reading_by_hand(tmp_path: Path) -> None:
    """What the catalogue keeps of the workshop is what `read` gives, file by file, parents beside them included."""
    shop = os.path.join(CORPUS, "workshop")
    normalise(shop, str(tmp_path))
    session = Session()
    checked = 0
    with Catalogue(str(tmp_path)) as opened:
        for dialect in ("canonical", "master", "sedge", "quern", "withy", "trug", "hasp", "skep"):
            for name in sorted(os.listdir(os.path.join(shop, dialect)))[:12]:
                inputs = session.read([os.path.join(shop, dialect, name)])
                rows = opened.rows(
                    "SELECT p.name, m.body FROM profiles p JOIN files f ON f.id = p.file"
                    " JOIN folders d ON d.id = f.folder JOIN meanings m ON m.id = p.meaning"
                    " WHERE d.path = ? AND f.name = ? ORDER BY p.ordinal",
                    dialect,
                    name,
                ).fetchall()
                assert [row[0] for row in rows] == [profile.name for profile in inputs.profiles]
                for (_, body), profile in zip(rows, inputs.profiles, strict=True):
                    kept, meant = decode(body), {n: v for n, v in profile.settings.items() if n not in LABELS}
                    assert kept.keys() == meant.keys()
                    assert all(equal_values(kept[n], meant[n]) for n in kept)
                    checked += 1
    assert checked > 100


def test_awkward_files(tmp_path: Path) -> None:
    found = normalise(os.path.join(CORPUS, "awkward"), str(tmp_path))
    refused = dict(found.refused)
    assert "line 4, column 11" in refused["sedge-missing-parent.method.json"]
    assert "circle" in refused["sedge-circle-a.method.json"]
    assert "binary" in refused["photo.trug"]
    assert found.found == len(os.listdir(os.path.join(CORPUS, "awkward")))


def test_two_jobs_make_the_same_catalogue(shared: Shared, tmp_path: Path) -> None:
    archive, catalogue, _, _ = shared
    normalise(str(archive), str(tmp_path), jobs=2)
    assert comparable(str(tmp_path)) == comparable(str(catalogue))


@pytest.mark.parametrize(
    "arguments",
    [
        ("find", "--where", "speed.travel >= 6000 mm/min and present layer.height", "--show", "nozzle.diameter"),
        ("find", "--where", "layer.height > 0.1 mm", "--findings", "note"),
        ("kin",),
    ],
)
def test_results_keep_to_their_schemas(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    archive = tmp_path / "archive"
    make(str(archive), 2, families=1, size=6, zips=0)
    result = run("normalise", str(archive), "--into", str(tmp_path / "c"), "--format", "json")
    judge(result.document)
    assert result.status == 3
    result = run(arguments[0], "--in", str(tmp_path / "c"), *arguments[1:], "--format", "json")
    judge(result.document)
    assert result.status in (0, 1)
    assert run(arguments[0], "--in", str(tmp_path / "c"), *arguments[1:], "--format", "json").data == result.data


def test_tables_for_people(shared: Shared) -> None:
    _, catalogue, truth, found = shared
    text = summary_table(found)
    assert f"{found.found} found = {found.read} read + {len(truth.refused)} refused" in text
    with Catalogue(str(catalogue)) as opened:
        relations = kin(opened)
    assert "+-" in kin_table(relations)
    assert json.dumps(kin_document(relations))


def test_a_slip_in_a_family_is_named(tmp_path: Path) -> None:
    shop = os.path.join(CORPUS, "workshop", "quern", "Kestavo C3 - Meadow - Kestavo fine.quern.ini")
    with open(shop, encoding="utf-8") as file:
        text = file.read()
    (tmp_path / "a").mkdir()
    old = next(line for line in text.split("\n") if line.startswith("pace.roam"))  # the quern key of speed.travel
    right = float(old.split("=")[1])
    for at in range(8):
        value = right + at if at < 7 else right * 60
        (tmp_path / "a" / f"{at}.quern.ini").write_text(text.replace(old, f"pace.roam = {value:g}"), encoding="utf-8")
    normalise(str(tmp_path / "a"), str(tmp_path / "c"))
    with Catalogue(str(tmp_path / "c")) as opened:
        found = kin(opened)
    assert [(one.path, one.setting) for one in found.outliers if one.says] == [("7.quern.ini", "speed.travel")]
    (unit,) = [one for one in found.units if one.dissenters]
    assert (unit.setting, unit.dissenters[0].path, unit.count) == ("speed.travel", "7.quern.ini", 8)
    assert "mm/min" in unit.dissenters[0].says

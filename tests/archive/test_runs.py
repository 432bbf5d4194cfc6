"""Runs that follow each other, are killed, meet on one catalogue, or have no room to write."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest

from convert.archive.catalogue import Catalogue
from convert.archive.run import normalise
from convert.errors import OutputError, UsageError
from tests.archive.content import comparable, snapshot
from tests.archive.generator import make
from tests.cli.run import run
from tests.zoo import ROOT, WORKSHOP

COMMAND = (sys.executable, "-m", "convert", "normalise")


def start(*arguments: str, **options: object) -> subprocess.Popen[bytes]:
    env = {**os.environ, "PYTHONPATH": ROOT}
    pipe = subprocess.PIPE
    return subprocess.Popen([*COMMAND, *arguments], env=env, stdout=pipe, stderr=pipe, **options)  # type: ignore[call-overload]


def copy_shop(target: Path, *dialects: str) -> None:
    for dialect in dialects:
        shutil.copytree(os.path.join(WORKSHOP, dialect), target / dialect)
    for folder, _, names in os.walk(target):
        for name in names:
            os.utime(os.path.join(folder, name), (1_600_000_000, 1_600_000_000))


def test_a_further_run_reads_only_what_changed(tmp_path: Path) -> None:
    archive, catalogue = tmp_path / "a", str(tmp_path / "c")
    copy_shop(archive, "sedge", "quern", "trug")
    first = normalise(str(archive), catalogue)
    assert first.unchanged == 0
    again = normalise(str(archive), catalogue)
    assert again.unchanged == again.found == first.found
    before = comparable(catalogue)

    touched = archive / "quern" / sorted(os.listdir(archive / "quern"))[0]
    os.utime(touched, (1_650_000_000, 1_650_000_000))
    assert normalise(str(archive), catalogue).unchanged == first.found - 1
    assert comparable(catalogue)["profiles"] == before["profiles"]

    parent = archive / "sedge" / "Kestavo base.method.json"
    parent.write_text(parent.read_text(encoding="utf-8").replace("0.2", "0.3"), encoding="utf-8")
    os.remove(archive / "trug" / "Kestavo C3.trug")
    shutil.copy(os.path.join(WORKSHOP, "skep", "Kestavo C3.skep.csv"), archive)
    assert normalise(str(archive), catalogue).unchanged == first.found - 2
    normalise(str(archive), str(tmp_path / "fresh"))
    assert comparable(catalogue) == comparable(str(tmp_path / "fresh"))
    assert comparable(catalogue)["profiles"] != before["profiles"]


def test_a_change_that_leaves_the_time_as_it_was_is_seen(tmp_path: Path) -> None:
    """The racy rule: a file changed right after it was read, within the clock's tick, of the same size."""
    archive, catalogue = tmp_path / "a", str(tmp_path / "c")
    copy_shop(archive, "quern")
    path = archive / "quern" / sorted(os.listdir(archive / "quern"))[0]
    now = time.time_ns()
    os.utime(path, ns=(now, now))
    normalise(str(archive), catalogue)
    before = comparable(catalogue)
    data = path.read_bytes()
    changed = data.replace(b"0.2", b"0.3", 1)
    assert len(changed) == len(data)
    assert changed != data
    path.write_bytes(changed)
    os.utime(path, ns=(now, now))
    normalise(str(archive), catalogue)
    assert comparable(catalogue)["files"] != before["files"]


def test_parents_in_other_folders_and_after_their_children(tmp_path: Path) -> None:
    archive, catalogue = tmp_path / "a", str(tmp_path / "c")
    copy_shop(archive, "hasp")
    text = (archive / "hasp" / "Kestavo C3.hasp.xml").read_text(encoding="utf-8")
    assert "after=" in text
    found = normalise(str(archive), catalogue)
    assert found.unresolved == []
    os.remove(archive / "hasp" / "Kestavo C3.hasp.xml")
    normalise(str(archive), catalogue)
    copy_shop(tmp_path / "b", "sedge")
    os.makedirs(tmp_path / "b" / "late")
    shutil.move(
        tmp_path / "b" / "sedge" / "Kestavo base.method.json", tmp_path / "b" / "late" / "Kestavo base.method.json"
    )
    missing = normalise(str(tmp_path / "b"), str(tmp_path / "c2"))
    assert {path for path, _ in missing.refused} >= {"sedge/Kestavo fine.method.json"}
    shutil.move(
        tmp_path / "b" / "late" / "Kestavo base.method.json", tmp_path / "b" / "sedge" / "Kestavo base.method.json"
    )
    healed = normalise(str(tmp_path / "b"), str(tmp_path / "c2"))
    assert healed.refused == []
    normalise(str(tmp_path / "b"), str(tmp_path / "c3"))
    assert comparable(str(tmp_path / "c2")) == comparable(str(tmp_path / "c3"))


def test_a_changed_table_reads_only_its_dialect(tmp_path: Path) -> None:
    archive, catalogue = tmp_path / "a", str(tmp_path / "c")
    copy_shop(archive, "quern", "trug", "sedge")
    found = normalise(str(archive), catalogue)
    table = tmp_path / "quern.toml"
    with open(os.path.join(ROOT, "mappings", "quern.toml"), encoding="utf-8") as file:
        table.write_text(file.read() + "\n# another remark\n", encoding="utf-8")
    again = normalise(str(archive), catalogue, tables=[str(table)])
    assert again.unchanged == found.found - len(os.listdir(archive / "quern"))
    assert normalise(str(archive), catalogue, tables=[str(table)]).unchanged == found.found
    assert normalise(str(archive), catalogue, tables=[str(table)], tool="later").unchanged == 0


def test_killed_at_any_instant(tmp_path: Path) -> None:
    """SIGKILL, then a further run: the same content as a run that was left alone. `tests.archive.kill` does more."""
    from tests.archive.kill import trial

    archive = tmp_path / "a"
    make(str(archive), 7, families=2, size=8)
    before = snapshot(str(archive))
    normalise(str(archive), str(tmp_path / "calm"), tool="0.1.0")
    calm = comparable(str(tmp_path / "calm"))
    random = Random(11)
    for at in range(6):
        trial(str(archive), str(tmp_path / f"c{at}"), random.uniform(0.05, 0.9), 1 + at % 2)
        assert comparable(str(tmp_path / f"c{at}")) == calm
    assert snapshot(str(archive)) == before


def test_interrupted_by_the_user(tmp_path: Path) -> None:
    archive = tmp_path / "a"
    make(str(archive), 8, families=4, size=20, zips=6)
    process = start(str(archive), "--into", str(tmp_path / "c"))
    deadline = time.monotonic() + 30
    while not os.path.exists(tmp_path / "c" / "catalogue.sqlite") and time.monotonic() < deadline:
        time.sleep(0.01)
    time.sleep(0.15)
    process.send_signal(signal.SIGINT)
    _, err = process.communicate(timeout=30)
    assert process.returncode == 130
    assert err.decode().strip().endswith("interrupted")
    assert b"Traceback" not in err
    normalise(str(archive), str(tmp_path / "c"), tool="0.1.0")
    normalise(str(archive), str(tmp_path / "calm"), tool="0.1.0")
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "calm"))


def test_two_runs_on_one_catalogue(tmp_path: Path) -> None:
    copy_shop(tmp_path / "a", "quern")
    with Catalogue(str(tmp_path / "c"), write=True):
        result = run("normalise", str(tmp_path / "a"), "--into", str(tmp_path / "c"))
        assert result.status == 3
        assert f"in use by process {os.getpid()} on " in result.err
    assert run("normalise", str(tmp_path / "a"), "--into", str(tmp_path / "c")).status == 0


def test_one_catalogue_for_one_archive(tmp_path: Path) -> None:
    copy_shop(tmp_path / "a", "quern")
    copy_shop(tmp_path / "b", "trug")
    normalise(str(tmp_path / "a"), str(tmp_path / "c"))
    with pytest.raises(OutputError, match="holds the catalogue of"):
        normalise(str(tmp_path / "b"), str(tmp_path / "c"))
    with pytest.raises(UsageError, match="in the archive"):
        normalise(str(tmp_path / "a"), str(tmp_path / "a" / "catalogue"))


def test_a_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy_shop(tmp_path / "a", "quern", "sedge", "trug")
    connect = Catalogue._connect

    def small(self: Catalogue, write: bool):  # type: ignore[no-untyped-def]
        db = connect(self, write)
        db.execute("PRAGMA max_page_count = 40")
        return db

    monkeypatch.setattr(Catalogue, "_connect", small)
    result = run("normalise", str(tmp_path / "a"), "--into", str(tmp_path / "c"))
    assert result.status == 3
    assert "the disk is full" in result.err
    monkeypatch.undo()
    normalise(str(tmp_path / "a"), str(tmp_path / "c"), tool="0.1.0")
    normalise(str(tmp_path / "a"), str(tmp_path / "calm"), tool="0.1.0")
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "calm"))


def test_a_disk_that_takes_no_more(tmp_path: Path) -> None:
    """The system itself refuses to let files grow."""
    copy_shop(tmp_path / "a", "quern", "sedge", "trug")

    def bounded() -> None:
        resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000))
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)

    process = start(str(tmp_path / "a"), "--into", str(tmp_path / "c"), preexec_fn=bounded)
    _, err = process.communicate(timeout=60)
    assert process.returncode == 3, err
    assert b"cannot be" in err
    assert b"Traceback" not in err


def test_a_target_that_cannot_be_written(tmp_path: Path) -> None:
    copy_shop(tmp_path / "a", "quern")
    (tmp_path / "file").write_text("x", encoding="utf-8")
    result = run("normalise", str(tmp_path / "a"), "--into", str(tmp_path / "file"))
    assert result.status == 3
    assert "file" in result.err
    result = run("normalise", str(tmp_path / "a"), "--into", "/proc/none/catalogue")
    assert result.status == 3
    assert "cannot be made" in result.err


def test_a_catalogue_that_is_none(tmp_path: Path) -> None:
    copy_shop(tmp_path / "a", "quern")
    os.makedirs(tmp_path / "c")
    (tmp_path / "c" / "catalogue.sqlite").write_text("this is no database, whatever it is called\n" * 99)
    for result in (
        run("normalise", str(tmp_path / "a"), "--into", str(tmp_path / "c")),
        run("kin", "--in", str(tmp_path / "c")),
    ):
        assert result.status == 3
        assert "no sound catalogue" in result.err
    assert run("find", "--in", str(tmp_path), "--where", "present layer.height").status == 4


def test_the_journal(tmp_path: Path) -> None:
    copy_shop(tmp_path / "a", "quern")
    normalise(str(tmp_path / "a"), str(tmp_path / "c"), tool="0.1.0")
    with Catalogue(str(tmp_path / "c")) as opened:
        (row,) = opened.rows("SELECT outcome, tool, tables, looked, unchanged FROM runs").fetchall()
    assert row[0] == "done"
    assert row[1] == "0.1.0"
    assert "quern=" in row[2]
    assert row[3:] == (len(os.listdir(tmp_path / "a" / "quern")), 0)

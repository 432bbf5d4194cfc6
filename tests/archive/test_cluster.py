"""Archives read by a Dask cluster: the catalogue is the one that is made here."""

from __future__ import annotations

import os
import socket
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from convert.archive import remote
from convert.archive.catalogue import Catalogue
from convert.archive.cluster import Cluster, parse
from convert.archive.judge import judge, unjudged
from convert.archive.run import normalise
from convert.errors import NothingDone, OutputError, UsageError
from tests.archive.content import comparable
from tests.archive.dask_cluster import cluster
from tests.archive.generator import make
from tests.archive.test_runs import copy_shop, start
from tests.cli.run import run
from tests.zoo import ROOT


@pytest.fixture(scope="module")
def two_workers() -> Iterator[dict[str, Any]]:
    pytest.importorskip("distributed")
    with cluster(2) as running:
        yield running


def call(*arguments: str) -> tuple[int, str]:
    """Status and stderr of a run in a process of its own."""
    process = start(*arguments)
    _, err = process.communicate(timeout=120)
    return process.returncode, err.decode()


def free_port() -> int:
    """A port that nobody listens on."""
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        port: int = found.getsockname()[1]
        return port


def test_the_same_catalogue(two_workers: dict[str, Any], tmp_path: Path) -> None:
    """Folders, zips, broken files, inheritance, a table that only the client has; then a run without changes."""
    archive, table = tmp_path / "a", tmp_path / "quern.toml"
    make(str(archive), 13, families=3, size=20, zips=3)
    with open(os.path.join(ROOT, "mappings", "quern.toml"), encoding="utf-8") as file:
        table.write_text(file.read().replace('"combs" ', '"wax"   '), encoding="utf-8")
    calm = normalise(str(archive), str(tmp_path / "calm"), tables=[str(table)], tool="0.1.0")
    engine = ("--engine", f"dask://{two_workers['address']}", "--table", str(table), "--quiet")
    status, err = call(str(archive), "--into", str(tmp_path / "c"), *engine, "--findings")
    assert (status, err) == (3 if calm.refused else 0, err)
    assert "Traceback" not in err
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "calm"))
    again = normalise(str(archive), str(tmp_path / "c"), tables=[str(table)], tool="0.1.0")
    assert again.unchanged == again.found == calm.found
    here = run("find", "--in", str(tmp_path / "calm"), "--findings", "note", "--format", "csv")
    far = run("find", "--in", str(tmp_path / "c"), "--findings", "note", "--format", "csv")
    assert here.data == far.data
    assert far.status == 1


def test_only_what_changed_is_sent(tmp_path: Path) -> None:
    copy_shop(tmp_path / "a", "quern", "sedge")
    normalise(str(tmp_path / "a"), str(tmp_path / "c"))
    for path in (tmp_path / "a" / "quern").iterdir():
        os.utime(path, (1_650_000_000, 1_650_000_000))
    changed = next((tmp_path / "a" / "sedge").iterdir())
    changed.write_bytes(changed.read_bytes() + b"\n")
    sent: list[str] = []

    class Spy(Cluster):
        def __init__(self) -> None: ...

        def map(self, function: Any, work: Any) -> Any:
            for parcel in work:
                sent.extend(path for _, path in parcel.files)
                yield function(parcel)

    normalise(str(tmp_path / "a"), str(tmp_path / "c"), cluster=Spy())
    assert sent == [f"sedge/{changed.name}"]
    normalise(str(tmp_path / "a"), str(tmp_path / "fresh"))
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "fresh"))


FAULT = """
import os, signal, time
from convert.archive import remote
calls = []

def faulty(parcel):
    calls.append(0)
    if len(calls) == 3 and not os.path.exists({flag!r}):
        open({flag!r}, "w").close()
        {deed}
    return remote.sound(parcel)

if not hasattr(remote, "sound"):  # scripts run more than once
    remote.sound = remote.digest_parcel
    remote.digest_parcel = faulty
"""
"""Runs in each worker: the first one to be given a third piece of work does something else first."""


@contextmanager
def faulty_cluster(folder: Path, deed: str) -> Iterator[tuple[dict[str, Any], Path]]:
    """Two workers, and the file that is there once one of them has done it."""
    flag, preload = folder / "flag", folder / "preload.py"
    preload.write_text(FAULT.format(flag=str(flag), deed=deed), encoding="utf-8")
    with cluster(2, str(preload)) as running:
        yield running, flag


def test_a_worker_is_killed(tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    archive = tmp_path / "a"
    make(str(archive), 14, families=4, size=30, zips=4)
    normalise(str(archive), str(tmp_path / "calm"), tool="0.1.0")
    with faulty_cluster(tmp_path, "os.kill(os.getpid(), signal.SIGKILL)") as (running, flag):
        engine = f"dask://{running['address']}"
        status, err = call(str(archive), "--into", str(tmp_path / "c"), "--engine", engine, "--quiet")
    assert flag.exists()
    assert status == 3, err  # the archive has broken files
    assert "cluster" not in err
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "calm"))


UNTOLD = "raise type('Untold', (Exception,), {'__reduce__': lambda self: (int, ('no number',))})"


@pytest.mark.parametrize("deed", ["1 / 0", UNTOLD])
def test_a_fault_in_a_worker_ends_the_run(deed: str, tmp_path: Path) -> None:
    """Also one that cannot travel; and the next run goes on."""
    pytest.importorskip("distributed")
    make(str(tmp_path / "a"), 14, families=4, size=30, zips=4)
    with faulty_cluster(tmp_path, deed) as (running, _):
        engine = f"dask://{running['address']}"
        status, err = call(str(tmp_path / "a"), "--into", str(tmp_path / "c"), "--engine", engine, "--quiet")
        assert status == 70, err
        assert err.count("\n") == 1
        status, err = call(str(tmp_path / "a"), "--into", str(tmp_path / "c"), "--engine", engine, "--quiet")
        assert status == 3, err
    normalise(str(tmp_path / "a"), str(tmp_path / "calm"), tool="0.1.0")
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "calm"))


def test_findings_of_another_release_are_not_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    copy_shop(tmp_path / "a", "quern")
    normalise(str(tmp_path / "a"), str(tmp_path / "c"))
    joined = False

    class Growing(Cluster):
        def __init__(self) -> None: ...

        def map(self, function: Any, work: Any) -> Any:
            for piece in work:
                if joined:
                    monkeypatch.setattr(remote, "release", lambda: "another")
                yield function(piece)

    with Catalogue(str(tmp_path / "c"), write=True) as catalogue:
        waiting = unjudged(catalogue, "0.1.0")
        joined = True
        with pytest.raises(NothingDone, match="a worker has another beadwise"):
            judge(catalogue, "0.1.0", cluster=Growing())
        assert unjudged(catalogue, "0.1.0") == waiting > 0
        joined = False
        monkeypatch.undo()
        assert judge(catalogue, "0.1.0", cluster=Growing()) == waiting


class Late:
    """A future that is not there at the first look; what it is then, and what asking again gives."""

    def __init__(self, status: str, *answers: object) -> None:
        self.status, self.answers = status, [TimeoutError(), *answers]

    def result(self, timeout: float) -> object:
        answer = self.answers.pop(0)
        if isinstance(answer, BaseException):
            raise answer
        return answer


def test_a_result_that_comes_between_two_looks() -> None:
    pytest.importorskip("distributed")

    class Alone(Cluster):
        def __init__(self) -> None:
            self.place, self._under_way = "scheduler.example:8786", set()

    assert Alone()._wait(Late("finished", "found")) == "found"
    with pytest.raises(OutputError, match="has not come over"):
        Alone()._wait(Late("finished", TimeoutError()))
    with pytest.raises(TimeoutError):
        Alone()._wait(Late("error"))


def test_workers_of_another_release(tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    copy_shop(tmp_path / "a", "quern")
    other = "from convert.archive import remote; remote.release = lambda: 'f00d'"
    for line, says in (
        (other, "has another beadwise (code and tables f00d, here "),
        ("import sys; sys.modules['convert'] = None", "has no beadwise"),
    ):
        (tmp_path / "preload.py").write_text(line + "\n", encoding="utf-8")
        with cluster(1, str(tmp_path / "preload.py")) as running:
            engine = f"dask://{running['address']}"
            status, err = call(str(tmp_path / "a"), "--into", str(tmp_path / "c"), "--engine", engine)
        assert status == 4, err
        assert says in err
        assert err.count("\n") == 1
        assert not (tmp_path / "c").exists()


def test_nobody_there(tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    copy_shop(tmp_path / "a", "quern")
    engine = f"dask://127.0.0.1:{free_port()}"
    began = time.monotonic()
    status, err = call(str(tmp_path / "a"), "--into", str(tmp_path / "c"), "--engine", engine)
    assert time.monotonic() - began < 40
    assert status == 4, err
    assert "the cluster cannot be reached" in err
    assert err.count("\n") == 1
    assert not (tmp_path / "c").exists()


def test_a_cluster_without_workers(tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    copy_shop(tmp_path / "a", "quern")
    with cluster(0) as running:
        status, err = call(
            str(tmp_path / "a"), "--into", str(tmp_path / "c"), "--engine", f"dask://{running['address']}"
        )
    assert status == 4, err
    assert "the cluster has no workers" in err


def test_the_cluster_goes_away(tmp_path: Path) -> None:
    """What is in the catalogue by then is sound, and a run here completes it."""
    pytest.importorskip("distributed")
    archive = tmp_path / "a"
    make(str(archive), 14, families=4, size=30, zips=4)
    with faulty_cluster(tmp_path, "time.sleep(5)") as (running, flag):
        engine = f"dask://{running['address']}"
        process = start(str(archive), "--into", str(tmp_path / "c"), "--engine", engine, "--quiet")
        while not flag.exists():
            assert process.poll() is None
            time.sleep(0.01)
    _, err = process.communicate(timeout=120)
    assert process.returncode == 3, err
    assert b"the cluster cannot go on" in err
    assert b"Traceback" not in err
    normalise(str(archive), str(tmp_path / "c"), tool="0.1.0")
    normalise(str(archive), str(tmp_path / "calm"), tool="0.1.0")
    assert comparable(str(tmp_path / "c")) == comparable(str(tmp_path / "calm"))


def test_without_the_packages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "dask", None)
    monkeypatch.setitem(sys.modules, "dask.config", None)
    monkeypatch.setitem(sys.modules, "distributed", None)
    copy_shop(tmp_path / "a", "quern")
    result = run("normalise", str(tmp_path / "a"), "--into", str(tmp_path / "c"), "--engine", "dask://127.0.0.1:8786")
    assert result.status == 2
    assert "pip install 'beadwise[dask]'" in result.err


@pytest.mark.parametrize("engine", ["", "dask", "dask://", "dask://host", "dask://host:", "dask://:x", "spark://h:1"])
def test_what_is_no_engine(engine: str) -> None:
    with pytest.raises(UsageError, match="is no engine"):
        parse(engine)


def test_jobs_and_engine(tmp_path: Path) -> None:
    result = run("normalise", str(tmp_path), "--into", str(tmp_path / "c"), "--jobs", "2", "--engine", "dask://h:1")
    assert result.status == 2
    assert "exclude each other" in result.err

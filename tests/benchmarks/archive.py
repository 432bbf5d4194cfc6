"""Archives: first index, further run, workers, queries and memory, against other ways to do the work, in one run.

    python -m tests.benchmarks.archive [FILES] [PEER_FILES] [SMALL_FILES]

The archive has FILES whole setups of 400 keys each (some 200 known ones, the rest unknown), one number different in
each. The peer reads PEER_FILES of them with configparser, makes quantities with pint, checks a document with jsonschema
against the profile's schema, and compares each with the one before by deepdiff; its time is per file. A run without
changes is measured over SMALL_FILES of three keys.

Everything is done ROUNDS times in turn, and the least counts. Where one process works, its processor time is taken,
which others on the machine hardly change; two jobs are compared by the clock, which tells something on a quiet machine
only.
"""

from __future__ import annotations

import configparser
import json
import os
import resource
import subprocess
import sys
import tempfile
from collections.abc import Callable
from hashlib import sha256
from time import perf_counter, process_time
from typing import NamedTuple

from convert.archive.catalogue import Catalogue
from convert.archive.query import find
from convert.archive.run import normalise
from convert.archive.where import parse
from convert.resources import read_bytes
from tests.benchmarks.convert_one import sample
from tests.zoo import ROOT

RUN = (
    "import resource, sys; from convert.archive.run import normalise;"
    "found = normalise(sys.argv[1], sys.argv[2], int(sys.argv[3]));"
    "own, workers = map(resource.getrusage, (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN));"
    "print(own.ru_utime + own.ru_stime, workers.ru_utime + workers.ru_stime, found.read, own.ru_maxrss // 1024,"
    " workers.ru_maxrss // 1024)"
)
ROUNDS = 3


class Run(NamedTuple):
    """A run in a process of its own: seconds by the clock and of processor, files read, megabytes."""

    clock: float
    own: float
    workers: float
    read: int
    memory: int
    memory_of_worker: int


def make(folder: str, files: int) -> None:
    """Files of an old date, a hundred a folder."""
    data = sample()
    line = next(one for one in data.split(b"\n") if one.startswith(b"pace.roam"))
    for number in range(files):
        place = os.path.join(folder, f"{number // 100:04}")
        os.makedirs(place, exist_ok=True)
        path = os.path.join(place, f"{number}.quern.ini")
        with open(path, "wb") as file:
            file.write(data.replace(line, b"pace.roam = %d.%02d" % (100 + number % 300, number // 300 % 100)))
        os.utime(path, (1_600_000_000, 1_600_000_000))


def seconds(work: Callable[[], object]) -> float:
    """Of processor."""
    start = process_time()
    work()
    return process_time() - start


def paths(folder: str) -> list[str]:
    return [os.path.join(place, name) for place, _, names in os.walk(folder) for name in names]


def floor(folder: str) -> int:
    """Read and hash, nothing else."""
    return len([sha256(open(path, "rb").read()).digest() for path in paths(folder)])


def peer(files: list[str]) -> float:
    """The pipeline of well-known parts; the seconds that it takes once everything is loaded."""
    import pint
    from deepdiff import DeepDiff
    from jsonschema import Draft202012Validator

    registry = pint.UnitRegistry()
    validator = Draft202012Validator(json.loads(read_bytes("schemas", "profile.schema.json")))
    before: dict[str, object] = {}
    start = process_time()
    for path in files:
        parser = configparser.ConfigParser(interpolation=None, delimiters=("=",), strict=False)
        with open(path, encoding="utf-8") as file:
            parser.read_string("[all]\n" + file.read())
        settings: dict[str, object] = {}
        for key, text in parser["all"].items():
            try:
                settings[key] = {"value": registry.Quantity(float(text), "mm/min").to("mm/s").magnitude, "unit": "mm/s"}
            except ValueError:
                settings[key] = {"value": text}
        document = {"beadwise": "profile/1", "name": path, "scopes": ["process"], "settings": settings}
        list(validator.iter_errors(document))
        DeepDiff(before, settings)
        before = settings
    return process_time() - start


def index(archive: str, into: str, jobs: int) -> Run:
    """Read an archive into a new catalogue."""
    command = [sys.executable, "-c", RUN, archive, into, str(jobs)]
    start = perf_counter()
    done = subprocess.run(command, env={**os.environ, "PYTHONPATH": ROOT}, capture_output=True, text=True, check=True)
    clock = perf_counter() - start
    own, workers, *numbers = done.stdout.split()
    return Run(clock, float(own), float(workers), *map(int, numbers))


def listing(folder: str) -> float:
    """Processor seconds of find -printf."""
    command = ["find", folder, "-printf", "%p %s %T@\n"]
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def further_runs(base: str, files: int) -> None:
    """Many small files: a run that finds no change against find, and memory that does not grow with the archive."""
    archive, into = os.path.join(base, "small"), os.path.join(base, "small index")
    memory = []
    for start, end in ((0, files // 10), (files // 10, files)):
        for number in range(start, end):
            place = os.path.join(archive, f"{number // 500:05}")
            os.makedirs(place, exist_ok=True)
            path = os.path.join(place, f"{number}.quern.ini")
            with open(path, "w", encoding="utf-8") as file:
                file.write(
                    f"setup.called = n{number}\npace.roam = {100 + number % 977}.{number // 977}\nsize.arcs = yes\n"
                )
            os.utime(path, (1_600_000_000, 1_600_000_000))
        memory.append(index(archive, into, 2).memory)
    rounds = [
        (listing(archive), seconds(lambda: normalise(archive, into)), index(archive, into, 1).own)
        for _ in range(2 * ROUNDS)
    ]
    find_took, inside, outside = map(min, zip(*rounds, strict=True))
    print(f"no change in {files} files: {inside:.2f} s, find -printf {find_took:.2f} s:", end="")
    print(f" {inside / find_took:.1f} times as long")
    print(f"  with the start of the interpreter {outside:.2f} s, {outside / find_took:.1f} times")
    print(f"peak memory of the run: {memory[0]} MB for {files // 10} files, {memory[1]} MB for {files}")


def first_index(base: str, archive: str, files: int, few: int) -> None:
    """One job and two, the other pipeline and the floor, in turn."""
    ones, twos, peers, floors = [], [], [], []
    sample_of = paths(archive)[:few]
    for number in range(ROUNDS):
        ones.append(index(archive, os.path.join(base, f"one{number}"), 1))
        peers.append(peer(sample_of) / few * files)
        twos.append(index(archive, os.path.join(base, f"two{number}"), 2))
        floors.append(seconds(lambda: floor(archive)))
    assert {run.read for run in [*ones, *twos]} == {files}
    one, theirs, hashing = min(run.own for run in ones), min(peers), min(floors)
    print(f"first index of {files} files: {one:.2f} s, {1000 * one / files:.2f} ms a file, {ones[0].memory} MB")
    print(f"  other pipeline {theirs:.1f} s (of {few} files): {theirs / one:.1f} times as long")
    print(f"  read and hash {hashing:.2f} s: the index takes {one / hashing:.1f} times as long")
    clock, clock_of_two = min(run.clock for run in ones), min(run.clock for run in twos)
    print(f"  two jobs {clock_of_two:.2f} s by the clock, one {clock:.2f} s: {clock / clock_of_two:.2f} times as fast")
    two = twos[0]
    print(f"    processor: the run {two.own:.2f} s and {two.memory} MB,", end="")
    print(f" both workers {two.workers:.2f} s and {two.memory_of_worker} MB each")


def main() -> None:
    """Print seconds and ratios."""
    given = [int(word) for word in sys.argv[1:]]
    files, few, small = given + [3000, 30, 30000][len(given) :]
    with tempfile.TemporaryDirectory() as base:
        archive = os.path.join(base, "archive")
        make(archive, files)
        first_index(base, archive, files, few)
        further_runs(base, small)
        with Catalogue(os.path.join(base, "one0")) as catalogue:
            condition = parse("speed.travel >= 18003 mm/min and wall.count >= 2")
            sql = 'SELECT count(*) FROM numbers WHERE "speed.travel" >= 300.05 AND "wall.count" >= 2'
            rounds = [
                (seconds(lambda: catalogue.rows(sql).fetchall()), seconds(lambda: find(catalogue, condition)))
                for _ in range(5)
            ]
            bare, ours = map(min, zip(*rounds, strict=True))
            count = len(find(catalogue, condition))
        print(
            f"find over {files} profiles ({count} hits): {1000 * ours:.1f} ms, bare scan {1000 * bare:.1f} ms:", end=""
        )
        print(f" {ours / bare:.1f} times as long")


if __name__ == "__main__":
    main()

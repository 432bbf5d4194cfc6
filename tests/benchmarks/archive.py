"""Archives: first index, further run, workers, queries and memory, against other ways to do the work, in one run.

    python -m tests.benchmarks.archive [FILES] [PEER_FILES]

The archive has FILES whole setups of 400 keys each (some 200 known ones, the rest unknown), one number different in
each. The peer reads PEER_FILES of them with configparser, makes quantities with pint, checks a document with jsonschema
against the profile's schema, and compares each with the one before by deepdiff; its time is per file.
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
from time import perf_counter

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
    "print(found.read, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024,"
    " resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024)"
)


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
    start = perf_counter()
    work()
    return perf_counter() - start


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
    start = perf_counter()
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
    return perf_counter() - start


def index(archive: str, into: str, jobs: int) -> tuple[float, list[int]]:
    """A run in a process of its own: seconds, files read, megabytes of the run and of its largest worker."""
    command = [sys.executable, "-c", RUN, archive, into, str(jobs)]
    start = perf_counter()
    done = subprocess.run(command, env={**os.environ, "PYTHONPATH": ROOT}, capture_output=True, text=True, check=True)
    return perf_counter() - start, [int(word) for word in done.stdout.split()]


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
        memory.append(index(archive, into, 2)[1][1])
    command = ["find", archive, "-printf", "%p %s %T@\n"]
    listing = min(seconds(lambda: subprocess.run(command, stdout=subprocess.DEVNULL, check=True)) for _ in range(3))
    inside = min(seconds(lambda: normalise(archive, into)) for _ in range(3))
    outside = min(index(archive, into, 1)[0] for _ in range(3))
    print(f"no change in {files} files: {inside:.2f} s, find -printf {listing:.2f} s:", end="")
    print(f" {inside / listing:.1f} times as long")
    print(f"  with the start of the interpreter {outside:.2f} s, {outside / listing:.1f} times")
    print(f"peak memory of the run: {memory[0]} MB for {files // 10} files, {memory[1]} MB for {files}")


def main() -> None:
    """Print seconds and ratios."""
    files = int(sys.argv[1]) if len(sys.argv) > 1 else 3000
    few = int(sys.argv[2]) if len(sys.argv) > 2 else 30
    with tempfile.TemporaryDirectory() as base:
        archive = os.path.join(base, "archive")
        make(archive, files)
        hashing = min(seconds(lambda: floor(archive)) for _ in range(3))
        one, told = index(archive, os.path.join(base, "one"), 1)
        assert told[0] == files
        two, told_two = index(archive, os.path.join(base, "two"), 2)
        theirs = peer(paths(archive)[:few]) / few * files
        print(f"first index of {files} files: {one:.2f} s, {1000 * one / files:.2f} ms a file, {told[1]} MB")
        print(f"  other pipeline {theirs:.1f} s (of {few} files): {theirs / one:.1f} times as long")
        print(f"  read and hash {hashing:.2f} s: the index takes {one / hashing:.1f} times as long")
        print(f"  two jobs {two:.2f} s: {one / two:.2f} times as fast; {told_two[1]} MB, a worker {told_two[2]} MB")
        further_runs(base, files * 10)
        with Catalogue(os.path.join(base, "one")) as catalogue:
            condition = parse("speed.travel >= 18003 mm/min and wall.count >= 2")
            sql = 'SELECT count(*) FROM numbers WHERE "speed.travel" >= 300.05 AND "wall.count" >= 2'
            bare = min(seconds(lambda: catalogue.rows(sql).fetchall()) for _ in range(5))
            ours = min(seconds(lambda: find(catalogue, condition)) for _ in range(5))
            count = len(find(catalogue, condition))
        print(
            f"find over {files} profiles ({count} hits): {1000 * ours:.1f} ms, bare scan {1000 * bare:.1f} ms:", end=""
        )
        print(f" {ours / bare:.1f} times as long")
        print(f"peak memory of this benchmark {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")


if __name__ == "__main__":
    main()

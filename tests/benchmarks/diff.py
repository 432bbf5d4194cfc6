"""Comparing two files of 400 keys, of which about 20 or 200 differ: whole processes, and in process.

    python -m tests.benchmarks.diff [ROUNDS]

Whole processes: `beadwise diff` with everything it says, against a script that reads both files with configparser and
compares the dictionaries with deepdiff, and against a process that only imports click and tabulate. In process: the
same two setups as dictionaries, compared with deepdiff (as flat texts, and as canonical documents with values and
units), against our comparison alone, with its sentences, signs and costs, with the audit of both sides, and with the
attribution. All run in turn and are compared by medians.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from statistics import median
from tempfile import TemporaryDirectory, gettempdir
from time import perf_counter

from deepdiff import DeepDiff

from convert.api import Session
from convert.changes.compare import compare
from convert.changes.difference import difference
from convert.model.codec import profile_to_json
from convert.model.jsontext import dumps
from tests.zoo import ROOT, WORKSHOP

KEYS = 400
NAMES = ("Kestavo C3 - Meadow - Kestavo everyday.quern.ini", "Kestavo C3 - Meadow - Kestavo quick.quern.ini")
OTHERS = ("Kestavo C3 - Meadow - Kestavo everyday.quern.ini", "Pellanor R24 - Harbour remote - Pellanor fine.quern.ini")
"""The same machine and filament with another process; another machine, filament and process."""

SCRIPT = """
import configparser, sys
from deepdiff import DeepDiff
sides = []
for path in sys.argv[1:]:
    parser = configparser.ConfigParser(interpolation=None, delimiters=("=",), strict=False)
    with open(path) as file:
        parser.read_string("[all]\\n" + file.read())
    sides.append({name: dict(parser[name]) for name in parser.sections()})
print(DeepDiff(*sides).pretty())
"""


def sample(name: str) -> bytes:
    """A setup of the workshop, filled up to so many keys with unknown ones."""
    with open(os.path.join(WORKSHOP, "quern", name), "rb") as file:
        data = file.read()
    spare = range(KEYS - len(keys(data)))
    return data + b"".join(b"spare.key%d = %d.5\n" % (number, number) for number in spare)


def keys(data: bytes) -> dict[bytes, bytes]:
    """The keys of a sample and what they say."""
    lines = [line.partition(b"=") for line in data.split(b"\n") if not line.startswith(b"#")]
    return {key: value for key, mark, value in lines if mark}


def timed(work: dict[str, Callable[[], object]], rounds: int) -> dict[str, float]:
    """Median seconds over interleaved rounds; the first warms up."""
    times: dict[str, list[float]] = {name: [] for name in work}
    for number in range(rounds + 1):
        for name, run in work.items():
            start = perf_counter()
            run()
            if number:
                times[name].append(perf_counter() - start)
    return {name: median(found) for name, found in times.items()}


def processes(paths: list[str], rounds: int) -> None:
    environment = {
        **os.environ,
        "PYTHONPATH": ROOT,
        "PYTHONPYCACHEPREFIX": os.path.join(gettempdir(), "beadwise-bytecode"),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)

    def process(*arguments: str) -> Callable[[], object]:
        return lambda: subprocess.run([sys.executable, *arguments], stdout=subprocess.DEVNULL, env=environment)

    found = timed(
        {
            "import click, tabulate": process("-c", "import click, tabulate"),
            "configparser + deepdiff": process("-c", SCRIPT, *paths),
            "beadwise diff": process("-m", "convert", "diff", *paths),
        },
        rounds,
    )
    mine = found["beadwise diff"]
    print("whole processes")
    for name, took in found.items():
        print(f"  {name:26} {took * 1000:8.1f} ms   beadwise diff takes {mine / took:5.2f} times that")


def in_process(paths: list[str], rounds: int) -> None:
    session = Session()
    old, new = (session.read([path]).profiles[0] for path in paths)
    documents = [json.loads(dumps(profile_to_json(side)))["settings"] for side in (old, new)]
    texts = [{name: json.dumps(item) for name, item in side.items()} for side in documents]
    found = timed(
        {
            "deepdiff, documents": lambda: DeepDiff(*documents),
            "deepdiff, flat texts": lambda: DeepDiff(*texts),
            "compare": lambda: compare(old.settings, new.settings),
            "with sentences, signs, costs": lambda: difference([old], [new], rules=(), attributed=False),
            "and with both audits": lambda: difference([old], [new], attributed=False),
            "and with the attribution": lambda: difference([old], [new]),
        },
        rounds,
    )
    documents_took, texts_took = found["deepdiff, documents"], found["deepdiff, flat texts"]
    print(f"in process, {len(old.settings)} settings")
    for name, took in found.items():
        ratios = (
            f"{documents_took / took:6.2f} times as fast as deepdiff on documents, {texts_took / took:5.2f} on texts"
        )
        print(f"  {name:30} {took * 1000:8.2f} ms   {ratios}")


def compared(names: tuple[str, str], rounds: int) -> None:
    """Both comparisons of a pair of setups."""
    with TemporaryDirectory() as folder:
        paths = []
        texts = [sample(name) for name in names]
        for side, text in zip(("old", "new"), texts, strict=True):
            paths.append(os.path.join(folder, f"{side}.quern.ini"))
            with open(paths[-1], "wb") as file:
                file.write(text)
        old, new = map(keys, texts)
        changed = sum(old.get(key) != new.get(key) for key in old | new)
        print(f"{len(old)} and {len(new)} keys, {changed} changed")
        processes(paths, rounds)
        in_process(paths, rounds)


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    compared(NAMES, rounds)
    compared(OTHERS, rounds)


if __name__ == "__main__":
    main()

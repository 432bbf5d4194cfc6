"""What learning a sample of some 140 keys costs, whole process, against one that imports click and tabulate.

    python -m tests.benchmarks.learn [ROUNDS]

The aim is within 15 times, and 150 MB. Samples of plain words and of terse keys, and convert --like between two unknown
dialects. All run in turn, in processes of their own, and are compared by medians; memory is the largest of all rounds.
"""

from __future__ import annotations

import os
import subprocess
import sys
from statistics import median
from tempfile import gettempdir
from time import perf_counter

from tests.inference.measure import home
from tests.zoo import ROOT

WORDY = os.path.join(home("larkmere"), "a", "settings.ini")
TERSE = os.path.join(home("tinnock"), "a", "job.cfg")
BASE = "import click, tabulate"
CALLS = {
    BASE: ["-c", BASE],
    "learn, plain words": ["-m", "convert", "learn", WORDY],
    "learn, terse keys": ["-m", "convert", "learn", TERSE],
    "convert --like, both unknown": ["-m", "convert", "convert", WORDY, "--like", TERSE],
}
PROBE = (
    "import resource, runpy, sys; sys.argv = ['convert', 'learn', {path!r}]\n"
    "try: runpy.run_module('convert', run_name='__main__')\n"
    "except SystemExit: pass\n"
    "print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, file=sys.stderr)"
)
"""Runs the command and says its peak of memory, in KiB (Linux)."""


def main() -> None:
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    environment = {
        **os.environ,
        "PYTHONPATH": ROOT,
        "PYTHONPYCACHEPREFIX": os.path.join(gettempdir(), "beadwise-bytecode"),
    }
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    times: dict[str, list[float]] = {name: [] for name in CALLS}
    for number in range(rounds + 1):
        for name, call in CALLS.items():
            start = perf_counter()
            subprocess.run([sys.executable, *call], capture_output=True, env=environment, check=True)
            if number:
                times[name].append(perf_counter() - start)
    base = median(times[BASE])
    for name, found in times.items():
        print(f"{name:30} {median(found) * 1000:8.0f} ms  {median(found) / base:6.1f} x")
    for path in (WORDY, TERSE):
        done = subprocess.run(
            [sys.executable, "-c", PROBE.format(path=path)], capture_output=True, env=environment, check=True, text=True
        )
        print(f"memory, {os.path.basename(path):22} {int(done.stderr.split()[-1]) / 1024:8.0f} MB")


if __name__ == "__main__":
    main()

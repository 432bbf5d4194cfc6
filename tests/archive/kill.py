"""Kills runs at random instants, and compares what a further run makes of the remains.

python -m tests.archive.kill [TRIALS]
"""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import tempfile
import time
from random import Random

from convert.archive.run import normalise
from tests.archive.content import comparable, snapshot
from tests.archive.generator import make
from tests.zoo import ROOT


def trial(archive: str, catalogue: str, delay: float, jobs: int) -> bool:
    """Start a run, kill it after some seconds from the moment there is a catalogue, run again. True if it was alive."""
    command = [sys.executable, "-m", "convert", "normalise", archive, "--into", catalogue, "--jobs", str(jobs)]
    env = {**os.environ, "PYTHONPATH": ROOT}
    process = subprocess.Popen(command, env=env, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    deadline = time.monotonic() + 30
    while not os.path.exists(os.path.join(catalogue, "catalogue.sqlite")) and time.monotonic() < deadline:
        time.sleep(0.002)
    time.sleep(delay)
    alive = process.poll() is None
    process.send_signal(signal.SIGKILL)
    process.wait()
    normalise(archive, catalogue, tool="0.1.0")
    return alive


def main() -> None:
    """Print how many of the runs were killed alive, and whether all ended alike."""
    trials = int(sys.argv[1]) if len(sys.argv) > 1 else 30
    random = Random(5)
    with tempfile.TemporaryDirectory() as base:
        archive = os.path.join(base, "archive")
        make(archive, 9, families=4, size=30, zips=4)
        before = snapshot(archive)
        start = time.monotonic()
        normalise(archive, os.path.join(base, "calm"), tool="0.1.0")
        whole = time.monotonic() - start
        calm = comparable(os.path.join(base, "calm"))
        alive = 0
        for at in range(trials):
            place = os.path.join(base, f"c{at}")
            alive += trial(archive, place, random.uniform(0, whole), 1 + at % 2)
            assert comparable(place) == calm, f"trial {at} differs"
        assert snapshot(archive) == before
    print(f"{trials} trials, {alive} killed alive; all catalogues alike, the archive untouched")


if __name__ == "__main__":
    main()

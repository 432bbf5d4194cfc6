"""What start-up costs, against bare processes that import no more than the command cannot do without.

    python -m tests.benchmarks.startup [ROUNDS]

    beadwise --version    against a process that imports click
    show of one file      against a process that imports click and tabulate

All run in turn, in processes of their own, and are compared by medians.
"""

from __future__ import annotations

import os
import subprocess
import sys
from statistics import median
from tempfile import gettempdir
from time import perf_counter

from tests.cli.run import DATA, MARL
from tests.zoo import CORPUS, ROOT

MASTER = os.path.join(CORPUS, "workshop", "master", "kestavo-c3.toml")
CALLS = {
    "nothing": ["-c", "pass"],
    "import click": ["-c", "import click"],
    "import click, tabulate": ["-c", "import click, tabulate"],
    "beadwise --version": ["-m", "convert", "--version"],
    "beadwise --help": ["-m", "convert", "--help"],
    "beadwise show, small INI": ["-m", "convert", "show", "--from", "marl", *MARL, os.path.join(DATA, "hank.marl")],
    "beadwise show, TOML": ["-m", "convert", "show", "--from", "master", MASTER],
    "beadwise show, recognised": ["-m", "convert", "show", MASTER],
}
AGAINST = {
    "beadwise --version": "import click",
    "beadwise --help": "import click",
    "beadwise show, small INI": "import click, tabulate",
    "beadwise show, TOML": "import click, tabulate",
    "beadwise show, recognised": "import click, tabulate",
}


def measure(rounds: int) -> dict[str, float]:
    """Median seconds of each call over interleaved rounds; the first round warms up and is left out."""
    # Installed packages have their bytecode; a checkout gets it in the warm-up, also where writing it is switched off.
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
            subprocess.run([sys.executable, *call], stdout=subprocess.DEVNULL, env=environment, check=True)
            if number:
                times[name].append(perf_counter() - start)
    return {name: median(found) for name, found in times.items()}


def main() -> None:
    """Print the medians, and the ratios to the yardstick of each."""
    found = measure(int(sys.argv[1]) if len(sys.argv) > 1 else 15)
    for name, seconds in found.items():
        peer = AGAINST.get(name)
        ratio = f"   {seconds / found[peer]:5.2f} x '{peer}'" if peer else ""
        print(f"{name:28} {seconds * 1000:8.1f} ms{ratio}")


if __name__ == "__main__":
    main()

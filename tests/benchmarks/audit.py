"""Auditing one complete setup in process, against configparser's reading of a 400-key file.

    python -m tests.benchmarks.audit [ROUNDS]

The setup is one of the demo workshop with all of its command code; all rules of the latest version are asked.
"""

from __future__ import annotations

import sys
from statistics import median
from time import perf_counter

from convert.api import Session
from convert.rules.bundle import audit_all, combinations
from tests.benchmarks.convert_one import FILE, sample, theirs


def main() -> None:
    """Print medians and the ratio over interleaved rounds."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    setups = combinations(Session().read([FILE]).profiles)
    text = sample().decode()
    result = audit_all(setups)
    mine: list[float] = []
    peer: list[float] = []
    for _ in range(rounds):
        start = perf_counter()
        audit_all(setups)
        mine.append(perf_counter() - start)
        start = perf_counter()
        theirs(text)
        peer.append(perf_counter() - start)
    took, read = 1000 * median(mine), 1000 * median(peer)
    print(f"{result.checked} questions, {len(setups[0].values)} values")
    print(f"audit {took:.2f} ms   configparser {read:.2f} ms   ratio {took / read:.2f}")


if __name__ == "__main__":
    main()

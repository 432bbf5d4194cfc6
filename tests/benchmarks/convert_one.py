"""Converting one 400-key file in process, against configparser's reading of it.

    python -m tests.benchmarks.convert_one [ROUNDS]

The file is a whole setup of the demo workshop, filled up to 400 keys with keys that no table knows. What is measured is
all of it: parse, read through the name table, say in the other dialect, parse and read back, and the ledger with an
entry for every key.
"""

from __future__ import annotations

import configparser
import os
import sys
from statistics import median
from time import perf_counter

from convert.api import Session
from convert.dialects.conversion import Conversion, convert_readings
from convert.dialects.detect import parse
from convert.dialects.inherit import Family, read_sources
from convert.dialects.reader import read_tree
from convert.text.source import Source
from tests.zoo import WORKSHOP

KEYS = 400
FILE = os.path.join(WORKSHOP, "quern", "Kestavo C3 - Meadow - Kestavo fine.quern.ini")


def sample() -> bytes:
    """The file, with as many unknown keys as it lacks."""
    with open(FILE, "rb") as file:
        data = file.read()
    known = sum(b"=" in line and not line.startswith(b"#") for line in data.split(b"\n"))
    return data + b"".join(b"spare.key%d = %d.5\n" % (number, number) for number in range(KEYS - known))


def ours(session: Session, data: bytes, target: str) -> Conversion:
    """One conversion, from bytes to bytes and ledger."""
    table = session.registry.table("quern")
    file = read_tree(parse(Source.from_bytes(data, "sample.quern.ini"), table), table)
    family = Family()
    readings, _ = read_sources(family, [file])
    return convert_readings(family, readings, session.registry.table(target))


def theirs(text: str) -> configparser.ConfigParser:
    """The standard library's reading of the same text."""
    parser = configparser.ConfigParser(interpolation=None, delimiters=("=",), strict=False)
    parser.read_string("[all]\n" + text)
    return parser


def main() -> None:
    """Print medians and ratios over interleaved rounds."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    session, data = Session(), sample()
    text = data.decode()
    for target in ("trug", "withy", "skep", "hasp", "sedge", "canonical"):
        made = ours(session, data, target)
        assert made.files, made.problems
        assert made.ledger.keys("source") == KEYS
        mine: list[float] = []
        peer: list[float] = []
        for _ in range(rounds):
            start = perf_counter()
            ours(session, data, target)
            mine.append(perf_counter() - start)
            start = perf_counter()
            theirs(text)
            peer.append(perf_counter() - start)
        took, read = 1000 * median(mine), 1000 * median(peer)
        print(f"quern -> {target:<10} {took:6.2f} ms   configparser: {read:5.2f} ms   ratio {took / read:5.2f}")


if __name__ == "__main__":
    main()

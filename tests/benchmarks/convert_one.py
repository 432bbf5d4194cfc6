"""Converting one 400-key setup in process, against configparser's reading of a 400-key file.

    python -m tests.benchmarks.convert_one [ROUNDS]

The setup is one of the demo workshop, filled up to 400 keys with keys that no table knows. It is converted from one
dialect into each other one, then from each other one into that one. What is measured is all of it: parse, read through
the name table, say in the other dialect, parse and read back, and the ledger with an entry for every key; in the
processor's time, for what else the machine does is no part of it.
"""

from __future__ import annotations

import configparser
import os
import sys
from statistics import median
from time import process_time

from convert.api import Session
from convert.dialects.conversion import Conversion, convert_readings
from convert.dialects.detect import parse
from convert.dialects.inherit import Family, read_sources
from convert.dialects.reader import read_tree
from convert.text.source import Source
from convert.text.tree import New
from tests.zoo import WORKSHOP

KEYS = 400
FILE = os.path.join(WORKSHOP, "quern", "Kestavo C3 - Meadow - Kestavo fine.quern.ini")

Files = list[tuple[str, bytes]]


def sample() -> bytes:
    """The setup as one dialect has it, with as many unknown keys as it lacks."""
    with open(FILE, "rb") as file:
        data = file.read()
    known = sum(b"=" in line and not line.startswith(b"#") for line in data.split(b"\n"))
    return data + b"".join(b"spare.key%d = %d.5\n" % (number, number) for number in range(KEYS - known))


def ours(session: Session, files: Files, source: str, target: str) -> Conversion:
    """One conversion, from bytes to bytes and ledger."""
    table = session.registry.table(source)
    read = [read_tree(parse(Source.from_bytes(data, name), table), table) for name, data in files]
    family = Family()
    readings, _ = read_sources(family, read)
    return convert_readings(family, readings, session.registry.table(target))


def said_in(session: Session, files: Files, dialect: str) -> Files:
    """The setup said in another dialect, again with unknown keys up to the number (a canonical document has them)."""
    table = session.registry.table(dialect)
    made = [(file.name, file.data) for file in ours(session, files, "quern", dialect).files]
    if table.codec:
        return made
    trees = [parse(Source.from_bytes(data, name), table) for name, data in made]
    spare = KEYS - sum(len(tree.rows) for tree in trees)
    last = trees[-1]
    path = last.rows[-1][0]
    trees[-1] = last.extend(path, [New(f"spare{number}", f"{number}.5") for number in range(spare)])
    return [(name, tree.source.data) for (name, _), tree in zip(made, trees, strict=True)]


def theirs(text: str) -> configparser.ConfigParser:
    """The standard library's reading of such a file."""
    parser = configparser.ConfigParser(interpolation=None, delimiters=("=",), strict=False)
    parser.read_string("[all]\n" + text)
    return parser


def main() -> None:
    """Print medians and ratios over interleaved rounds."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 40
    session, data = Session(), sample()
    files: Files = [("sample.quern.ini", data)]
    text = data.decode()
    others = [name for name in session.registry.names() if name != "quern"]
    ways = [("quern", name, files) for name in others]
    ways += [(name, "quern" if name != "canonical" else "trug", said_in(session, files, name)) for name in others]
    for source, target, given in ways:
        made = ours(session, given, source, target)
        assert made.files, made.problems
        assert made.ledger.keys("source") >= KEYS
        mine: list[float] = []
        peer: list[float] = []
        for _ in range(rounds):
            start = process_time()
            ours(session, given, source, target)
            mine.append(process_time() - start)
            start = process_time()
            theirs(text)
            peer.append(process_time() - start)
        took, read = 1000 * median(mine), 1000 * median(peer)
        way = f"{source} -> {target}"
        print(f"{way:20} {took:6.2f} ms   configparser: {read:5.2f} ms   ratio {took / read:5.2f}")


if __name__ == "__main__":
    main()

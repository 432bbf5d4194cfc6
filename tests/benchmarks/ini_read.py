"""How fast INI text is read without loss, against configparser and against a bare loop that keeps nothing.

    python -m tests.benchmarks.ini_read [KEYS]

All start from what they need in memory (bytes for ours, text for the others), run in turn, and are compared by medians
of the processor's time.
"""

from __future__ import annotations

import configparser
import random
import sys
from collections.abc import Callable
from statistics import median
from time import process_time

from convert.text.initree import parse
from convert.text.source import Source

WORDS = ("bead", "wall", "roof", "floor", "seam", "fan", "heat", "draw", "feed", "cool", "gap", "rim", "skin", "hop")
VALUES = ("0.2", "45", "true", "waves", "45%", "0.42, 0.6", "205", "two words", "-1", "G28 ; all axes", "3:1")


def flat(keys: int, seed: int = 1) -> str:
    """A flat file of `keys` settings, one a line."""
    chance = random.Random(seed)
    lines = [f"{'_'.join(chance.sample(WORDS, 2))}{at} = {chance.choice(VALUES)}" for at in range(keys)]
    return "\n".join(lines) + "\n"


def bare(text: str, mark: str) -> dict[str, str]:
    """The yardstick."""
    found = {}
    for line in text.split("\n"):
        key, _, value = line.partition(mark)
        found[key.strip()] = value.strip()
    return found


def by_configparser(text: str) -> configparser.ConfigParser:
    """The standard library's reader, with nothing optional switched on."""
    parser = configparser.ConfigParser(interpolation=None)
    parser.read_string("[all]\n" + text)
    return parser


def ours(data: bytes) -> list:
    """The lossless tree, as far as every reader of it needs."""
    return parse(Source.from_bytes(data)).rows


def measure(text: str, mark: str, rounds: int) -> dict[str, float]:
    """Median seconds of each reader over interleaved rounds."""
    data = text.encode()
    work: dict[str, Callable[[], object]] = {
        "beadwise": lambda: ours(data),
        "bare loop": lambda: bare(text, mark),
        "configparser": lambda: by_configparser(text),
    }
    times: dict[str, list[float]] = {name: [] for name in work}
    for _ in range(rounds):
        for name, run in work.items():
            start = process_time()
            run()
            times[name].append(process_time() - start)
    return {name: median(list_) for name, list_ in times.items()}


def main() -> None:
    keys = int(sys.argv[1]) if len(sys.argv) > 1 else 400
    plain = flat(keys)
    cases = {
        "flat": plain,
        "with comments": plain.replace("\nb", "\n# why it is so\nb"),
        "below a head": "# one\n\n[main]\n" + plain,
        "with sections": plain.replace("\nb", "\n\n[beads]\nb", 1).replace("\nc", "\n\n[cooling]\nc", 1),
        "colons": plain.replace(" = ", ": "),
        "CRLF": plain.replace("\n", "\r\n"),
        "capitals": plain.title(),
        "not ASCII": plain.replace("two", "zwölf µ"),
    }
    print(f"{keys} settings; medians of interleaved runs")
    for name, text in cases.items():
        took = measure(text, ":" if name == "colons" else "=", 400)
        mine = took["beadwise"]
        print(
            f"{name:24}{mine * 1e6:8.0f} us, {took['configparser'] / mine:5.1f} times faster than configparser,"
            f" {mine / took['bare loop']:.2f} times a bare loop"
        )


if __name__ == "__main__":
    main()

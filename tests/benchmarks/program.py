"""What interpreting costs beside splitting lines into words: `python -m tests.benchmarks.program`.

Programs of 1 MB are interpreted and, in turn, each of their lines is split at blanks; medians of interleaved rounds, so
that a busy machine slows both. Prints times and their ratio; the aim is below 30 for an ordinary print program.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from statistics import median
from time import perf_counter

from convert.program import interpret, signature

ROUNDS = 7
SIZE = 1_000_000
FACTS = {
    "code.commands": "word-extended", "envelope.x": 250, "envelope.y": 250, "envelope.z": 250,
    "code.relative_feed": True, "heat.nozzle": 215, "heat.bed": 60, "hotend.max_temperature": 300,
}  # fmt: skip
HEAD = "G21\nG90\nM83\nM190 S60\nM109 S215\nG28\nG1 Z0.2 F600\nG1 X5 Y5 E1 F1200\n"


def ordinary(rng: random.Random) -> str:
    """Moves with a remark, a fan or a reset now and then, as a print has them."""
    lines = [HEAD]
    size = len(HEAD)
    layer = 0
    while size < SIZE:
        kind = rng.random()
        if kind < 0.94:
            line = f"G1 X{rng.uniform(5, 245):.3f} Y{rng.uniform(5, 245):.3f} E{rng.uniform(0, 2):.5f}\n"
        elif kind < 0.97:
            line = f"G0 X{rng.uniform(5, 245):.3f} Y{rng.uniform(5, 245):.3f} F9000\n"
        elif kind < 0.98:
            line = f"; kind of path {rng.randrange(9)}\n"
        elif kind < 0.99:
            line = f"M106 S{rng.randrange(256)}\n"
        else:
            layer = (layer + 1) % 1000
            line = f"G1 Z{0.2 + 0.2 * layer:.2f} F600\n"
        lines.append(line)
        size += len(line)
    return "".join(lines)


def awkward(rng: random.Random) -> str:
    """No line takes the short way: lower case, checksums, commands that are not moves, arcs."""
    lines = [HEAD]
    size = len(HEAD)
    while size < SIZE:
        x, y = rng.uniform(50, 200), rng.uniform(50, 200)
        line = rng.choice((
            f"g1 x{x:.2f} y{y:.2f} e0.1\n", f"N{size % 9999} G1 X{x:.2f}\n", f"M106 S{rng.randrange(256)}\n",
            f"M204 P{rng.randrange(500, 900)}\n", f"G3 X{x:.2f} Y{y:.2f} R300\n", f"G1 X{x:.1f} (there)\n",
        ))  # fmt: skip
        lines.append(line)
        size += len(line)
    return "".join(lines)


def bare(text: str) -> int:
    """The yardstick: every line, split at blanks."""
    return sum(len(line.split()) for line in text.split("\n"))


def clock(job: Callable[[], object]) -> float:
    start = perf_counter()
    job()
    return perf_counter() - start


def main() -> None:
    rng = random.Random(7)
    for name, text in (("ordinary", ordinary(rng)), ("awkward", awkward(rng))):
        times: dict[str, list[float]] = {"split": [], "interpret": [], "with signature": []}
        for _ in range(ROUNDS):
            times["split"].append(clock(lambda text=text: bare(text)))  # type: ignore[misc]
            times["interpret"].append(clock(lambda text=text: interpret([("program", text)], FACTS)))  # type: ignore[misc]
            times["with signature"].append(
                clock(lambda text=text: signature(interpret([("program", text)], FACTS)))  # type: ignore[misc]
            )
        base = median(times["split"])
        for job, values in times.items():
            print(f"{name:9} {job:15} {median(values) * 1000:9.1f} ms   {median(values) / base:6.1f} x")


if __name__ == "__main__":
    main()

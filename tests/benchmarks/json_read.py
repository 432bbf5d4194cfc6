"""JSON with spans against `json.loads`, on documents of 400 keys, in one interleaved run.

Prints the median times and their ratio for three shapes: flat numbers, flags and texts; the same with lists and escaped
command code; and groups of ten keys. Run with `python -m tests.benchmarks.json_read`.
"""

from __future__ import annotations

import json
import random
from statistics import median
from time import perf_counter

from convert.text.jsontree import parse
from convert.text.source import Source

ROUNDS = 300
KEYS = 400


def documents() -> dict[str, str]:
    """The text of each shape."""
    pick = random.Random(5)
    plain = [
        lambda: round(pick.uniform(0, 300), 2),
        lambda: pick.randint(0, 100),
        lambda: pick.random() < 0.5,
        lambda: pick.choice(["gyroid", "lines", "none"]),
        lambda: str(round(pick.uniform(0, 300), 2)),
    ]
    mixed = [
        *plain * 3,
        lambda: [round(pick.uniform(0, 2), 2) for _ in range(4)],
        lambda: "G28\nM109 S210\nG1 X0 Y0 F3000 ; to the corner\n",
    ]
    words = ["wall", "roof", "bead", "fan", "travel", "speed", "width", "height", "limit", "time"]
    names = [f"{pick.choice(words)}_{pick.choice(words)}_{number}" for number in range(KEYS)]
    flat = {name: pick.choice(plain)() for name in names}
    full = {name: pick.choice(mixed)() for name in names}
    grouped = {f"part_{start}": dict(list(flat.items())[start : start + 10]) for start in range(0, KEYS, 10)}
    shapes = {"plain": flat, "with lists and code": full, "in groups of ten": grouped}
    return {name: json.dumps(shape, indent=2) for name, shape in shapes.items()}


def main() -> None:
    for name, text in documents().items():
        source = Source.from_bytes(text.encode())
        assert len(parse(source).rows) == KEYS
        times: tuple[list[float], list[float]] = ([], [])
        for _ in range(ROUNDS):
            start = perf_counter()
            json.loads(text)
            middle = perf_counter()
            parse(source)
            times[0].append(middle - start)
            times[1].append(perf_counter() - middle)
        loads, tree = (1e6 * median(taken) for taken in times)
        print(f"{name:20} {len(text)} bytes: json.loads {loads:.0f} us, tree {tree:.0f} us, ratio {tree / loads:.2f}")


if __name__ == "__main__":
    main()

"""How long an estimate of all reference bodies takes, beside the move-by-move simulation: `python -m
tests.physics.benchmark`."""

from __future__ import annotations

from time import perf_counter

from convert.physics.bodies import BODIES
from convert.physics.duration import estimate
from tests.physics.prints import PRINTS
from tests.physics.simulation import simulate


def best(call: object, repeats: int) -> float:
    found = []
    for _ in range(repeats):
        start = perf_counter()
        call()  # type: ignore[operator]
        found.append(perf_counter() - start)
    return min(found)


def main() -> None:
    print(f"{'print':34} {'model us':>9} {'simulation us':>14} {'ratio':>7}")
    for name, print_ in PRINTS.items():
        model = best(lambda p=print_: [estimate(part, p) for part in BODIES], 20)
        truth = best(lambda p=print_: [simulate(part, p) for part in BODIES], 1)
        print(f"{name:34} {model * 1e6:9.0f} {truth * 1e6:14.0f} {truth / model:7.0f}")


if __name__ == "__main__":
    main()

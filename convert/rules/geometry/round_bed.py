"""A round plate described as a square one, or counted from a corner that it has not."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot, sqrt

from convert.rules.finding import Finding, Repair
from convert.rules.geometry._plan import box, outline
from convert.rules.judged import known
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "derived: a circle has one diameter, and zero in its middle (common practice)"


def check(setup: Setup) -> Iterator[Finding]:
    shape, origin = setup.text("envelope.shape"), setup.text("envelope.origin")
    ring = outline(setup)
    x, y = known(setup, "envelope.x") or 0.0, known(setup, "envelope.y") or 0.0
    beyond = x / 2 * (sqrt(2) - 1)
    if shape == "round":
        if x and y and abs(x - y) > setup.limit("envelope.outline.slack"):
            yield _finding(
                "differs",
                ("envelope.y", "envelope.x"),
                f"A round plate has one diameter, not {num(x)} and {num(y)} mm.",
            )
        if origin == "corner":
            says = (
                f"Parts land {num(x / 2)}/{num(y / 2)} mm away from where they are placed, if this machine counts "
                "from the "
                "middle of its round plate as others do; the origin is said to be in a corner."
            )
            yield _finding("spoils", ("envelope.origin",), says, (Repair("envelope.origin", "centre"),))
        reach = _beyond_circle(ring, min(x, y) / 2) if len(ring) > 2 and x and y else 0.0
        if reach > setup.limit("envelope.outline.slack"):
            says = (
                f"Parts may be laid beside the round plate: the corners of the outline lie {num(reach)} mm beyond it."
            )
            yield _finding("fails", ("envelope.outline", "envelope.shape"), says)
    elif shape == "rectangle" and setup.text("machine.kinematics") == "delta" and x > 0 and x == y:
        says = (
            f"Parts may be laid beside the plate, if this machine with three arms has a round one as others do: the "
            f"corners of a square of {num(x)} mm lie {num(beyond)} mm beyond the circle."
        )
        yield _finding("differs", ("envelope.shape",), says, (Repair("envelope.shape", "round"),))


def _beyond_circle(ring: list[tuple[float, float]], radius: float) -> float:
    left, right, front, back = box(ring)
    middle = (left + right) / 2, (front + back) / 2
    return max(hypot(x - middle[0], y - middle[1]) for x, y in ring) - radius


def _finding(severity: str, names: tuple[str, ...], says: str, repair: tuple[Repair, ...] = ()) -> Finding:
    return Finding("round-bed", severity, names, says, source=SOURCE, repair=repair)


RULE = Rule(
    code="round-bed",
    question="Is a round plate described as a round one, counted from its middle?",
    needs=("envelope.shape", "envelope.origin", "envelope.x", "envelope.y", "machine.kinematics"),
    source=SOURCE,
    check=check,
    good={
        "envelope.shape": "round",
        "envelope.origin": "centre",
        "envelope.x": "240 mm",
        "envelope.y": "240 mm",
        "machine.kinematics": "delta",
    },
    bad={"envelope.shape": "round", "envelope.origin": "corner", "envelope.x": "220 mm", "envelope.y": "220 mm"},
    severity="spoils",
)

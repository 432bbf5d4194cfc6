"""Speeds that no line of an ordinary part is long enough for."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding
from convert.rules.judged import below, roots
from convert.rules.laid import distinct, over
from convert.rules.quantities import effective_speed, peak_speed
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import capital, features, num

SOURCE = "derived: from rest to rest a line of length L gives at most sqrt(a L)"
STEPS = ((0.0, "note"),)


def check(setup: Setup) -> Iterator[Finding]:
    length = setup.limit("speed.line.long")

    def share(one: Setup, name: str) -> float:
        return peak_speed(one, name, length) / effective_speed(one, name)

    shares = over(setup, share)
    short = sorted(
        (name for name in distinct(setup, "speed", list(shares)) if shares[name] < 1), key=lambda n: shares[n]
    )
    if not short:
        return
    worst = short[0]
    reached, wanted = peak_speed(setup, worst, length), effective_speed(setup, worst)
    others = features(short[1:])
    says = (
        f"{capital(features([worst]))}: {num(wanted)} mm/s are never reached. Even on a line of {num(length)} mm "
        f"the head gets to {num(reached)} mm/s{f'; alike with {others}' if others else ''}."
    )
    names = roots(setup, f"speed.{worst}", f"acceleration.{worst}")
    yield from below("line-too-short", names, reached, wanted, "mm/s", STEPS, says, SOURCE)


RULE = Rule(
    code="line-too-short",
    question="Is there any line on which the speeds are reached?",
    needs=("speed.*", "acceleration.*", "width.*", "layer.height"),
    source=SOURCE,
    check=check,
    good={"speed.default": "250 mm/s", "acceleration.default": "5000 mm/s2"},
    bad={"speed.default": "250 mm/s", "acceleration.default": "500 mm/s2"},
    severity="note",
    formula="v_peak = sqrt(a L)",
)

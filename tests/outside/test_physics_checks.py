"""Physics against numbers from outside: one row a check, each with its source and how far that source can be trusted.

`check.py` names the kinds, `seen.py` holds what was seen in print or in published data, `unseen.py` all else.
Run `python -m pytest tests/outside/test_physics_checks.py -k table -s` to print them all.
"""

from __future__ import annotations

from collections import Counter

import pytest

from convert.physics.limits import limit, limits
from convert.physics.models import MODELS
from convert.physics.polymers import span, spans
from tests.outside.check import DERIVED, MEMORY, PRACTICE, PUBLISHED, QUOTED, Check, Inputs, found
from tests.outside.seen import SEEN
from tests.outside.unseen import UNSEEN

CHECKS = [*SEEN, *UNSEEN]
LEAST = {
    (PUBLISHED, "model"): 60,
    (PUBLISHED, "unit"): 12,
    (PUBLISHED, "table"): 15,
    (QUOTED, "table"): 12,
    (DERIVED, "model"): 35,
    (PRACTICE, "model"): 6,
    (MEMORY, "model"): 35,
}
"""How many checks of each kind and sort there are, at least."""

OFF = 1.03
"""A result this far out, or an input, must not pass a published check."""


@pytest.mark.parametrize("check", CHECKS, ids=[f"{i}-{check.quantity}" for i, check in enumerate(CHECKS)])
def test_agrees_with_its_source(check: Check) -> None:
    assert found(check) == pytest.approx(check.expected, rel=check.tolerance), check.source


@pytest.mark.parametrize("check", SEEN, ids=[f"{i}-{check.quantity}" for i, check in enumerate(SEEN)])
def test_published_checks_can_fail(check: Check) -> None:
    assert not check.agrees(found(check) * OFF)
    assert not check.agrees(found(check) / OFF)
    if check.sort == "model":
        inputs = check.inputs
        assert isinstance(inputs, dict)
        assert any(not check.agrees(found(check, moved)) for moved in slightly_off(inputs))


def slightly_off(inputs: Inputs) -> list[Inputs]:
    """The inputs with one of them off at a time."""
    return [{**inputs, name: value * OFF} for name, value in inputs.items() if value]


def test_a_table_says_published_only_of_what_was_seen() -> None:
    held = {check.quantity.rpartition(".")[0] for check in SEEN if check.quantity.startswith("polymer:")}
    assert {f"polymer:{row.family}.{row.quantity}" for row in spans().values() if row.status == PUBLISHED} <= held
    assert {f"limit:{row.name}" for row in limits().values() if row.status == PUBLISHED} <= {c.quantity for c in SEEN}
    models = {check.quantity.partition(" ")[0] for check in SEEN if check.sort == "model"}
    assert {row.name for row in MODELS.values() if row.status == PUBLISHED} <= models


@pytest.mark.parametrize("check", UNSEEN, ids=[f"{i}-{check.quantity}" for i, check in enumerate(UNSEEN)])
def test_a_table_claims_no_more_than_its_check(check: Check) -> None:
    sort, _, name = check.quantity.partition(":")
    if sort == "limit":
        assert limit(name).status != PUBLISHED
        assert check.kind not in (QUOTED, MEMORY) or limit(name).status == check.kind
    elif sort == "polymer":
        family, quantity, _ = name.split(".")
        assert span(family, quantity).status != PUBLISHED  # type: ignore[union-attr]


def test_table_of_checks() -> None:
    counts = Counter((check.kind, check.sort) for check in CHECKS)
    for check in CHECKS:
        value = found(check)
        print(f"{check.kind:15} {check.quantity:38} {value:13.6g} {check.expected:13.6g} "
              f"{value / check.expected - 1:+9.1e} of {check.tolerance:7.1e}  {check.source}")  # fmt: skip
    for (kind, sort), count in sorted(counts.items()):
        print(f"{count:4} {kind}, {sort}")
    print(f"{len(CHECKS):4} in all, {len({check.quantity for check in SEEN if check.sort == 'model'})} models seen")
    for key, least in LEAST.items():
        assert counts[key] >= least, key
    assert {check.kind for check in SEEN} == {PUBLISHED}
    assert {check.kind for check in UNSEEN} == {QUOTED, DERIVED, PRACTICE, MEMORY}
    assert len({check.quantity for check in SEEN if check.sort == "model"}) >= 25
    assert all(check.source and check.expected for check in CHECKS)

"""The tables of limits and polymers: complete, well formed, consistent with each other, and overridable."""

from __future__ import annotations

import pytest

from convert.errors import UsageError
from convert.physics import OutOfRange
from convert.physics.limits import Limit, check_overrides, limit, limits
from convert.physics.polymers import GRADES, Span, families, quantities, span, spans
from convert.resources import read_bytes
from convert.units import unit

STATUSES = {"published", "quoted", "derived", "common practice", "judgement", "from memory"}
NOT_IN_UNITS = {"J/g", "J/(g.K)", "W/(m.K)", "um/(m.K)"}


def known_unit(code: str) -> bool:
    return code in NOT_IN_UNITS or unit(code).code == code


def choices() -> set[str]:
    for line in read_bytes("schemas", "settings.tsv").decode().splitlines():
        if line.startswith("feedstock.family\t"):
            return set(line.split("\t")[7].split("|"))
    raise AssertionError("no setting feedstock.family")


@pytest.mark.parametrize("row", limits().values(), ids=limits())
def test_limit_is_well_formed(row: Limit) -> None:
    assert known_unit(row.unit)
    assert row.status in STATUSES
    assert row.meaning
    assert row.source or row.status in {"common practice", "from memory"}


def test_limits_that_belong_together_are_in_order() -> None:
    for names in (
        ("bead.per_bore.thin", "bead.per_bore.low", "bead.per_bore.high", "bead.per_bore.flat"),
        ("layer.per_bore.min", "layer.per_bore.low", "layer.per_bore.high", "layer.per_bore.max"),
        ("liner.ptfe.caution", "liner.ptfe.max", "liner.ptfe.decay", "liner.ptfe.melting", "liner.ptfe.fumes"),
        ("retraction.direct.low", "retraction.direct.high"),
        ("retraction.remote.low", "retraction.remote.high"),
        ("hot.touch.long", "hot.touch.minute", "hot.touch.second"),
        ("acceleration.slip.low", "acceleration.slip.high"),
        ("layer_time.low", "layer_time.high"),
        ("scale.low", "scale.high"),
    ):
        values = [limit(name).value for name in names]
        assert values == sorted(values)


def test_a_policy_may_set_a_limit() -> None:
    row = limit("weld.pause", {"weld.pause": 8})
    assert (row.value, row.unit, row.status) == (8, "s", "policy")
    assert limit("weld.pause", {"shell.min": 8}).value == 5
    with pytest.raises(OutOfRange):
        limit("weld.pause", {"weld.pause": float("nan")})
    with pytest.raises(UsageError, match=r"did you mean weld\.pause"):
        check_overrides({"weld.pase": 3})


@pytest.mark.parametrize("row", spans().values(), ids=lambda row: f"{row.family}.{row.quantity}")
def test_span_is_well_formed(row: Span) -> None:
    assert row.family in choices() | set(GRADES)
    assert known_unit(row.unit)
    assert row.status in STATUSES
    assert row.source or row.status in {"common practice", "from memory"}
    assert row.low is not None or row.high is not None
    if row.low is not None and row.high is not None:
        assert row.low <= row.high
    assert {other.unit for other in spans().values() if other.quantity == row.quantity} == {row.unit}


def test_every_family_of_the_setting_is_covered() -> None:
    assert choices() - set(families()) == {"other"}
    for family in choices() - {"other"}:
        assert {"nozzle", "bed", "fan", "nozzle_ceiling", "moisture", "fumes"} <= set(quantities(family))


@pytest.mark.parametrize("family", families())
def test_windows_make_sense_together(family: str) -> None:
    def ends(quantity: str) -> tuple[float | None, float | None]:
        row = span(family, quantity)
        return (row.low, row.high) if row else (None, None)

    nozzle, bed, melting, glass = ends("nozzle"), ends("bed"), ends("melting"), ends("glass_transition")
    ceiling, decomposition, drying = ends("nozzle_ceiling"), ends("decomposition"), ends("drying_temperature")
    crystalline = ends("crystalline")[0]
    if nozzle[1] is not None and ceiling[1] is not None:
        assert nozzle[1] <= ceiling[1]
    if ceiling[1] is not None and decomposition[0] is not None:
        assert ceiling[1] < decomposition[0] - limit("nozzle.below_decomposition").value
    if nozzle[0] is not None and bed[1] is not None:
        assert bed[1] < nozzle[0]
    if crystalline == 1 and nozzle[0] is not None and melting[0] is not None and family != "PET":
        assert nozzle[0] > melting[0]  # printed PET is amorphous enough to flow below its melting point
    if crystalline == 0 and glass[0] is not None and nozzle[0] is not None and bed[1] is not None:
        assert nozzle[0] >= glass[0] + limit("nozzle.over_glass.min").value
        assert bed[0] is not None
        assert bed[0] <= (glass[1] or glass[0]) + limit("bed.over_glass.max").value
        if drying[0] is not None:
            assert drying[0] <= (glass[1] or glass[0])


def test_grades_fall_back_on_their_family() -> None:
    own, fallen = span("PA66", "melting"), span("PA66", "moisture")
    assert own is not None
    assert fallen is not None
    assert (own.family, fallen.family) == ("PA66", "PA")
    assert span("PTFE", "bed") is None
    assert span("nothing", "bed") is None
    assert span("TPU-85A", "flow_hint").high == 3  # type: ignore[union-attr]
    assert quantities("TPU-85A")["fan"].family == "TPU"


def test_a_policy_may_set_a_span() -> None:
    row = span("PLA", "nozzle", {"PLA.nozzle": (200, None)})
    assert row == Span("PLA", "nozzle", 200, None, "Cel", "policy", "policy")
    assert row.middle == 200
    assert span("BVOH", "melting", {"BVOH.melting": (185, 195)}).unit == "Cel"  # type: ignore[union-attr]
    with pytest.raises(OutOfRange, match=r"PLA\.nozzle is 250; it must be at most its upper end, 200"):
        span("PLA", "nozzle", {"PLA.nozzle": (250, 200)})


def test_the_middle_of_a_span() -> None:
    assert span("PLA", "nozzle").middle == 205  # type: ignore[union-attr]
    assert span("PLA", "chamber").middle == 40  # type: ignore[union-attr]

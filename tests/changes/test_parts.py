"""The steps of a comparison, each by itself."""

from __future__ import annotations

from fractions import Fraction

import pytest

from convert.changes.carried import compare_carried
from convert.changes.compare import Spelled, compare
from convert.changes.difference import difference
from convert.changes.dormant import ROWS, dormant
from convert.changes.equality import TOLERANCES, same_resolved
from convert.changes.figures import View, figures
from convert.changes.groups import KINDS, groups
from convert.changes.pairs import pair_profiles
from convert.changes.signs import MEASURES, row
from convert.changes.symptoms import ABOUT, suspicion
from convert.errors import InputError
from convert.model.profile import Carried, Origin, Profile
from convert.model.setting import SETTINGS
from convert.model.value import Share, State, Value
from convert.physics.effects import effect
from tests.changes.cases import base, setup

F = Fraction


def why(old: dict[str, Value], new: dict[str, Value], name: str) -> str | None:
    return next((one.why for one in compare(old, new).same if one.setting == name), None)


def test_every_setting_has_words_and_signs() -> None:
    labels = {"machine.name", "feedstock.name", "feedstock.maker", "feedstock.colour", "process.name"}
    for name in set(SETTINGS) - labels:
        found = row(name)
        assert found is not None, name
        assert found.up
        assert effect(name) is not None or len(found.signs) == len(MEASURES), name
        assert set(found.signs) == set(MEASURES)


def test_tables_name_settings_that_there_are() -> None:
    for kind, names in KINDS:
        for name in names:
            assert any(one == name or (name[-1] == "." and one.startswith(name)) for one in SETTINGS), (kind, name)
    for one in ROWS:
        assert one.switch in SETTINGS
        for name in one.settings:
            known = name in SETTINGS or (name[-1] in "._" and any(other.startswith(name) for other in SETTINGS))
            head = name.partition(".")[0]  # families do not state every feature
            assert known or head in ("speed", "acceleration", "jump", "width", "flow"), name
    assert all(any(one.startswith(start) for one in SETTINGS) for start in TOLERANCES)


@pytest.mark.parametrize("symptom", ABOUT)
def test_symptoms(symptom: str) -> None:
    if symptom not in ("time", "risk"):
        assert any(suspicion(symptom, name, way) for name in SETTINGS for way in (1, -1))


@pytest.mark.parametrize(
    ("name", "switch", "off", "on"),
    [
        ("support.density", "support.enabled", False, True),
        ("speed.interface", "support.enabled", False, True),
        ("base.skirt_rounds", "base.kind", "brim", "skirt"),
        ("base.raft_gap", "base.kind", "brim", "raft"),
        ("width.outline", "base.kind", "none", "brim"),
        ("finish.smooth_flow", "finish.smooth_top", False, True),
        ("retract.speed", "retract.enabled", False, True),
        ("retract.speed", "retract.length", F(0), F(1)),
        ("layer.min", "layer.adaptive", False, True),
        ("purge.tower_width", "purge.tower", False, True),
        ("purge.volume", "tool.count", F(1), F(2)),
        ("infill.angle", "infill.density", F(0), F(10)),
        ("heat.chamber", "chamber.heated", False, True),
        ("fan.min", "fan.max", State("off"), F(50)),
        ("cover.upper_layers", "order.spiral", True, False),
        ("wall.order", "wall.count", F(1), F(2)),
    ],
)
def test_dormant(name: str, switch: str, off: Value, on: Value) -> None:
    assert dormant(name, {switch: off})
    assert not dormant(name, {switch: on})
    assert not dormant(name, {})
    assert not dormant(switch, {switch: off})
    value: Value = F(3) if SETTINGS[name].is_number else SETTINGS[name].choices[0]
    other: Value = F(4) if SETTINGS[name].is_number else SETTINGS[name].choices[1]
    assert why({switch: off, name: value}, {switch: off, name: other}, name) == "inactive"
    assert compare({switch: off, name: value}, {switch: on, name: other}).of(name) is not None


def test_equality() -> None:
    assert same_resolved("nozzle.diameter", (F(2, 5), F(2, 5)), F(2, 5))
    assert not same_resolved("nozzle.diameter", (F(2, 5), F(3, 5)), F(2, 5))
    assert not same_resolved("nozzle.diameter", (F(2, 5), F(3, 5)), (F(2, 5),) * 3)
    assert not same_resolved("speed.flow_cap", State("unlimited"), F(20))
    assert not same_resolved("support.enabled", True, F(1))
    assert not same_resolved("flow.lead", F("0.035"), F("0.0351"))
    assert not same_resolved("layer.height", F("0.2"), F("0.2001"))


def test_a_relation_that_moves_with_its_base_tells_the_base() -> None:
    old: dict[str, Value] = {
        "speed.default": F(100),
        "speed.outer_wall": Share(F(50), "speed.default"),
        "speed.small": Share(F(50), "speed.outer_wall"),
    }
    found = compare(old, {**old, "speed.default": F(120)})
    assert {fact.setting: fact.derived_from for fact in found.facts} == {
        "speed.default": None,
        "speed.outer_wall": "speed.default",
        "speed.small": "speed.default",
    }
    nearer = compare(old, {**old, "speed.outer_wall": Share(F(60), "speed.default")})
    assert {fact.setting: fact.derived_from for fact in nearer.facts} == {
        "speed.outer_wall": None,
        "speed.small": "speed.outer_wall",
    }


def test_a_lost_link_is_called_that() -> None:
    old: dict[str, Value] = {"speed.default": F(100), "speed.top": Share(F(50), "speed.default")}
    (one,) = compare(old, {**old, "speed.top": F(50)}).same
    assert (one.why, one.says) == ("relative", "link to speed.default lost")
    (back,) = compare({**old, "speed.top": F(50)}, old).same
    assert (back.why, back.says) == ("relative", "now follows speed.default")


def test_a_circle_is_not_compared() -> None:
    circle: dict[str, Value] = {"speed.gap": Share(F(50), "speed.small"), "speed.small": Share(F(50), "speed.gap")}
    found = compare(circle, {"speed.gap": F(50), "speed.small": F(25)})
    assert {one.what for one in found.not_compared} == {"speed.gap", "speed.small"}
    assert found.facts == []
    with pytest.raises(InputError):
        View(circle, circle).old.values["speed.gap"] and _resolve(circle)


def _resolve(values: dict[str, Value]) -> Value | None:
    from convert.model.resolve import resolve

    return resolve(values, "speed.gap")


def test_relations_need_what_is_around_them() -> None:
    old: dict[str, Value] = {"width.infill": Share(F(110), "nozzle.diameter")}
    alone = compare(old, {"width.infill": F("0.44")})
    assert alone.of("width.infill") is not None
    machine: dict[str, Value] = {"nozzle.diameter": F("0.4")}
    around = compare(old, {"width.infill": F("0.44")}, {**machine, **old}, {**machine, "width.infill": F("0.44")})
    assert around.facts == []


def test_defaults_of_a_dialect_are_no_statement() -> None:
    default = {"support.enabled": Spelled("default")}
    found = compare({"layer.height": F(1)}, {"layer.height": F(1), "support.enabled": False}, None, None,
                    lambda name: None, default.get)  # fmt: skip
    assert found.facts == []
    assert [one.what for one in found.not_compared] == ["support.enabled"]


def profile(name: str, *scopes: str, **settings: Value) -> Profile:
    values = {key.replace("__", "."): value for key, value in settings.items()}
    return Profile(name, scopes or ("process",), values, {key: Origin("own", f"{name}.x", 1) for key in values})


def names(old: list[Profile], new: list[Profile]) -> list[tuple[str | None, str | None]]:
    return [
        (pair.old.name if pair.old else None, pair.new.name if pair.new else None) for pair in pair_profiles(old, new)
    ]


def test_pairing() -> None:
    a, b, c = (profile(name) for name in "abc")
    machine = profile("m", "machine")
    assert names([a], [b]) == [("a", "b")]
    assert names([a, b], [b, a]) == [("a", "a"), ("b", "b")]
    assert names([a, b], [b, c]) == [("a", None), ("b", "b"), (None, "c")]
    assert names([a, machine], [b, machine]) == [("a + m", "b + m")]
    assert names([a], [machine]) == []
    assert names([], [a]) == []


def test_a_whole_setup_meets_its_parts() -> None:
    whole = profile("w", "machine", "feedstock", "process", machine__name="m", feedstock__name="f", process__name="p")
    parts = [profile("m", "machine"), profile("f", "feedstock"), profile("p"), profile("other")]
    assert names([whole], parts) == [("w", "m + f + p"), (None, "other")]
    assert names(parts, [whole]) == [("m + f + p", "w"), ("other", None)] or set(names(parts, [whole])) == {
        ("m + f + p", "w"), ("other", None)}  # fmt: skip


def test_a_scope_that_one_side_lacks_is_borrowed() -> None:
    whole = setup(dict(base()), "w")
    process = Profile("p", ("process",), {k: v for k, v in base().items() if SETTINGS[k].scope == "process"})
    changed = Profile("q", ("process",), {**process.settings, "wall.count": F(2)})
    found = difference([whole], [changed])
    assert [fact.setting for change, _ in found.changes for fact in change.group.facts] == ["wall.count"]
    assert found.results[0].totals is not None
    assert {one.what for one in found.not_compared} == {"machine", "feedstock"}


def test_tools_are_looked_at_one_by_one() -> None:
    old: dict[str, Value] = {**base(), "retract.length": (F("0.6"), F("0.8")), "tool.count": F(2)}
    view = View(old, {**old, "retract.length": (F("0.6"), F(1))}, 1)
    assert {(one.quantity, one.tool) for one in figures(view)} >= {("retraction_time", 2)}
    (change, _), *rest = difference([setup(old)], [setup({**old, "retract.length": (F("0.6"), F(1))})]).changes
    assert rest == []
    assert change.effects["retract.length"]["strength"] == 0
    assert change.says.startswith("Tool 2: pulls 1 mm of filament back instead of 0.8")


def test_what_acts_together_is_told_together() -> None:
    old = dict(base())
    new = {**old, "layer.height": F("0.24"), "speed.infill": F(150), "heat.bed": F(58), "wall.count": F(4)}
    made = groups(compare(old, new).facts, old, new)
    assert [group.settings for group in made] == [("layer.height", "speed.infill"), ("wall.count",), ("heat.bed",)] or {
        frozenset(group.settings) for group in made
    } == {frozenset(("layer.height", "speed.infill")), frozenset(("wall.count",)), frozenset(("heat.bed",))}


def test_carried_keys() -> None:
    def keys(**texts: str) -> dict[str, tuple[Carried, ...]]:
        return {"x": tuple(Carried(("group",), key, text) for key, text in texts.items())}

    assert compare_carried(keys(a="1"), keys(a="1")) == []
    found = compare_carried(keys(a="1", b="2", c='{"k": [1, 2]}'), keys(a="1", b="3", d="4", c='{"k": [1, 3]}'))
    assert [(one.key, one.before, one.after) for one in found] == [
        ("b", "2", "3"),
        ("c", '{"k": [1, 2]}', '{"k": [1, 3]}'),
        ("d", None, "4"),
    ]
    assert found[1].inside == 'root["k"][1]'
    assert compare_carried({}, keys(a="1"))[0].before is None
    assert compare_carried(keys(a="{" * 5000), keys(a="[" * 5000))[0].inside == ""


def test_deepdiff_is_not_loaded_without_need() -> None:
    import subprocess
    import sys

    from tests.zoo import ROOT

    code = (
        "import sys; from tests.changes.cases import base, setup; from convert.changes.difference import difference\n"
        "from fractions import Fraction\n"
        "difference([setup(base())], [setup({**base(), 'wall.count': Fraction(2)})])\n"
        "print('deepdiff' in sys.modules, 'convert.program' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["False", "False"]

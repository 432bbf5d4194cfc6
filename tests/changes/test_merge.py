"""Three-way merge: laws on canonical values, and whole files in the shape of OURS, across dialects."""

from __future__ import annotations

import os
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from convert.changes.merge import apply, effects, interactions, merge_settings, merge_texts
from convert.model.profile import Profile, equal_values
from convert.model.value import Share, State, Value
from tests.cli.run import run
from tests.cli.test_json import judge
from tests.zoo import WORKSHOP

QUERN = os.path.join(WORKSHOP, "quern", "Kestavo C3 - Meadow - Kestavo fine.quern.ini")
SEVERAL = {
    dialect: os.path.join(WORKSHOP, dialect, f"Kestavo C3{end}")
    for dialect, end in (("trug", ".trug"), ("hasp", ".hasp.xml"), ("skep", ".skep.csv"))
}

# ---- laws

numbers = st.fractions(min_value=0, max_value=500, max_denominator=100)
VALUES: dict[str, Any] = {
    "layer.height": numbers,
    "speed.default": numbers | st.just(State("unlimited")),
    "speed.infill": numbers | st.builds(Share, numbers, st.just("speed.default")),
    "infill.pattern": st.sampled_from(["gyroid", "concentric"]),
    "wall.slit_fill": st.booleans(),
    "nozzle.diameter": st.tuples(numbers, numbers),
    "code.start": st.sampled_from(["G28", "G28\nG1 Z5"]),
    "wall.count": st.integers(0, 9).map(Fraction),
}
profiles = st.fixed_dictionaries({}, optional=VALUES)


def same(one: dict[str, Value], two: dict[str, Value]) -> bool:
    return one.keys() == two.keys() and all(equal_values(value, two[name]) for name, value in one.items())


def merged(base: dict[str, Value], ours: dict[str, Value], theirs: dict[str, Value]) -> dict[str, Value]:
    return apply(ours, merge_settings(base, ours, theirs))


@given(profiles, profiles)
def test_an_unchanged_side_gives_the_other(base: dict[str, Value], side: dict[str, Value]) -> None:
    assert same(merged(base, base, side), side)
    assert same(merged(base, side, base), side)
    assert not [one for one in merge_settings(base, base, side) if one.take != "theirs"]


@given(profiles, profiles)
def test_the_same_edit_on_both_sides(base: dict[str, Value], side: dict[str, Value]) -> None:
    assert same(merged(base, side, side), side)
    assert {one.take for one in merge_settings(base, side, side)} <= {"both"}


@given(profiles, profiles, profiles, st.sets(st.sampled_from(sorted(VALUES))))
def test_disjoint_edits_commute(
    base: dict[str, Value], one: dict[str, Value], two: dict[str, Value], mine: set[str]
) -> None:
    ours = {name: (one if name in mine else base)[name] for name in VALUES if name in (one if name in mine else base)}
    theirs = {name: (base if name in mine else two)[name] for name in VALUES if name in (base if name in mine else two)}
    assert same(merged(base, ours, theirs), merged(base, theirs, ours))
    assert not [found for found in merge_settings(base, ours, theirs) if found.take in ("conflict", "both")]


@given(profiles, profiles, profiles)
def test_every_change_is_accounted_for(
    base: dict[str, Value], ours: dict[str, Value], theirs: dict[str, Value]
) -> None:
    """Sides are swapped by the swap of names; conflicts keep OURS, and nothing else differs from both sides."""
    there = {one.setting: one.take for one in merge_settings(base, ours, theirs)}
    back = {one.setting: one.take for one in merge_settings(base, theirs, ours)}
    turned = {"ours": "theirs", "theirs": "ours", "both": "both", "conflict": "conflict"}
    assert back == {name: turned[take] for name, take in there.items()}
    result = merged(base, ours, theirs)
    for name in VALUES:
        if there.get(name) == "conflict":
            assert equal_values(result.get(name), ours.get(name))
        if name not in there:
            assert equal_values(result.get(name), base.get(name))


texts = st.dictionaries(st.sampled_from("abcd"), st.sampled_from("xyz"))


@given(texts, texts)
def test_texts_of_an_unchanged_side(base: dict[str, str], side: dict[str, str]) -> None:
    taken = {one.key: one.theirs for one in merge_texts(base, base, side)}
    assert {one.take for one in merge_texts(base, base, side)} <= {"theirs"}
    result = {**base, **{key: text for key, text in taken.items() if text is not None}}
    assert {key: text for key, text in result.items() if taken.get(key, "") is not None} == side


def test_across_dialects_what_theirs_cannot_say_is_nobodys_change() -> None:
    base: dict[str, Value] = {"layer.height": Fraction(1, 5), "speed.infill": Share(Fraction(50), "speed.default")}
    said: dict[str, Value] = {"speed.infill": Fraction(60)}  # no key for the height, no relations
    assert merge_settings(base, base, said, said) == []
    [one] = merge_settings(base, base, {"speed.infill": Fraction(80)}, said)
    assert (one.setting, one.take, one.value) == ("speed.infill", "theirs", Fraction(80))


def test_effects_of_an_edit_are_those_of_the_wall_model() -> None:
    around: dict[str, Value] = {
        "layer.height": Fraction(1, 5),
        "width.default": Fraction(45, 100),
        "wall.count": Fraction(3),
    }
    [stack] = [one for one in effects(around, "wall.count", Fraction(2)) if one.quantity == "wall_stack"]
    # Two beads with round sides: w + (w - h (1 - pi/4)), elementary geometry, worked by hand.
    assert stack.after == pytest.approx(0.45 + 0.45 - 0.2 * (1 - 3.141592653589793 / 4))
    assert effects({}, "wall.count", Fraction(2)) == []


# ---- edits that do not go together


def interaction_setup() -> tuple[dict[str, Value], dict[str, Value], dict[str, Value]]:
    """The hot end melts 12 mm3/s. Twice the height or twice the speed is within it, both together are not."""
    base: dict[str, Value] = {
        "layer.height": Fraction("0.15"),
        "width.default": Fraction("0.45"),
        "speed.default": Fraction(80),
        "hotend.melt_rate": Fraction(12),
        "nozzle.diameter": Fraction("0.4"),
        "feedstock.diameter": Fraction("1.75"),
    }
    return base, {**base, "layer.height": Fraction("0.28")}, {**base, "speed.default": Fraction(160)}


def as_profile(values: dict[str, Value]) -> list[Profile]:
    return [Profile("x", ("machine", "feedstock", "process"), values)]


def test_two_sound_edits_beyond_a_limit_together() -> None:
    base, ours, theirs = interaction_setup()
    decisions = merge_settings(base, ours, theirs)
    found = interactions(
        as_profile(ours), as_profile(theirs), as_profile(apply(ours, decisions)), decisions, least="differs"
    )
    about = [one for one in found if one.finding.unit == "mm3/s"]
    # 0.28 mm x 0.45 mm less the round sides, times 160 mm/s, is about 17.5 mm3/s: more than 12.
    assert about
    assert any("layer.height" in one.ours or "speed.default" in one.theirs for one in about)


def test_what_one_side_has_already_is_no_interaction() -> None:
    base, ours, theirs = interaction_setup()
    bad = {**ours, "speed.default": Fraction(160)}
    decisions = merge_settings(base, bad, theirs)
    assert interactions(as_profile(bad), as_profile(theirs), as_profile(bad), decisions, least="differs") == []


# ---- whole files


@pytest.fixture
def three(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def version(path: Path, source: str, *assignments: str) -> str:
    """A copy of a file with some settings changed."""
    path.write_bytes(Path(source).read_bytes())
    if assignments:
        result = run("set", *assignments, str(path), "--quiet")
        assert (result.status, result.err) == (0, "")
    return str(path)


def says(path: str) -> dict[str, Any]:
    document = run("show", path, "--format", "json").document
    return {
        f"{profile['name']} {name}": {key: item[key] for key in item if key not in ("origin", "resolved")}
        for profile in document["profiles"]
        for name, item in profile["settings"].items()
    }


OURS = ("layer.height=0.16mm", "speed.outer_wall=70mm/s")
THEIRS = ("infill.density=30%", "fan.bridge=80%")


def test_the_shape_of_ours_stays(three: Path) -> None:
    base = version(three / "b.ini", QUERN)
    ours, theirs = version(three / "o.ini", QUERN, *OURS), version(three / "t.ini", QUERN, *THEIRS)
    with open(ours, "a", encoding="utf-8") as file:
        file.write("# a word of ours\nown.key = 1\n")
    wanted = version(three / "w.ini", ours, *THEIRS)
    result = run("merge", base, ours, theirs)
    assert result.status == 0, result.err
    assert result.data == Path(wanted).read_bytes()
    assert "merged: 2 taken from THEIRS, 3 kept from OURS" in result.err


def test_one_setting_changed_twice_is_a_conflict_with_both_values(three: Path) -> None:
    base = version(three / "b.ini", QUERN)
    ours = version(three / "o.ini", QUERN, "layer.height=0.16mm", "speed.infill=150mm/s")
    theirs = version(three / "t.ini", QUERN, "layer.height=0.2mm", "infill.density=30%")
    result = run("merge", base, ours, theirs, "--out", "m.ini")
    assert result.status == 1
    assert "conflict  layer.height" in result.out
    told = " ".join(result.out.split())
    assert told.count("layer.height 0.12 -> 0.16 mm.") == told.count("layer.height 0.12 -> 0.2 mm.") == 1
    assert 'beadwise set "layer.height=0.2 mm" "m.ini"' in result.out
    after = says("m.ini")
    assert [value["value"] for key, value in after.items() if key.endswith(" layer.height")] == [0.16]
    assert [value["value"] for key, value in after.items() if key.endswith(" infill.density")] == [30]
    document = run("merge", base, ours, theirs, "--format", "json", "--dry-run").document
    judge(document)
    [conflict] = document["conflicts"]
    assert (conflict["ours"]["value"], conflict["theirs"]["value"]) == (0.16, 0.2)
    for side in ("ours", "theirs"):
        [time] = [one for one in conflict[f"effects_{side}"] if one["quantity"] == "time_block"]
        assert time["after"] < time["before"]  # fewer layers
        assert conflict[f"meaning_{side}"].endswith(f"layer.height 0.12 -> {conflict[side]['value']} mm.")
    assert document["clean"] is False


@pytest.mark.parametrize("dialect", ["trug", "hasp", "skep", "canonical", "withy", "sedge", "master"])
def test_theirs_in_another_dialect(three: Path, dialect: str) -> None:
    """THEIRS comes back from a colleague's program: whatever its dialect rounds or cannot say is not their change."""
    base, ours = version(three / "b.ini", QUERN), version(three / "o.ini", QUERN, *OURS)
    converted = run("convert", base, "--to", dialect, "--out", f"{three}/theirs/", "--quiet")
    assert converted.status == 0, converted.err
    paths = [str(path) for path in sorted((three / "theirs").iterdir())]
    assert run("set", *THEIRS, *paths, "--quiet").status == 0
    result = run("merge", base, ours, str(three / "theirs"))
    assert result.status == 0, result.err
    wanted = version(three / "w.ini", ours, *THEIRS)
    assert result.data == Path(wanted).read_bytes()


@pytest.mark.parametrize("dialect", ["trug", "hasp", "skep", "sedge"])
def test_ours_in_another_dialect(three: Path, dialect: str) -> None:
    base, theirs = version(three / "b.ini", QUERN), version(three / "t.ini", QUERN, *THEIRS)
    run("convert", base, "--to", dialect, "--out", f"{three}/ours/", "--quiet")
    paths = [str(path) for path in sorted((three / "ours").iterdir())]
    before = {path: Path(path).read_bytes() for path in paths}
    assert run("set", *THEIRS, *paths, "--quiet", "--out", f"{three}/wanted/").status in (0, 3)
    (three / "wanted").mkdir(exist_ok=True)
    result = run("merge", base, str(three / "ours"), theirs, "--out", f"{three}/out/")
    assert result.status == 0, result.out + result.err
    for path in paths:
        name = os.path.basename(path)
        wanted = three / "wanted" / name
        made = (three / "out" / name).read_bytes()
        assert made == (wanted.read_bytes() if wanted.exists() else before[path])


@pytest.mark.parametrize("dialect", sorted(SEVERAL))
def test_files_of_several_profiles(three: Path, dialect: str) -> None:
    """Each profile gets its own; what is inherited is not said twice."""
    source = SEVERAL[dialect]
    base = version(three / "b", source)
    ours, theirs = version(three / "o", source), version(three / "t", source)
    assert run("set", "layer.height=0.16mm", "--profile", "Kestavo fine", ours).status == 0
    assert run("set", "infill.density=30%", "--profile", "Kestavo fine", theirs).status == 0
    assert run("set", "speed.infill=111mm/s", "--profile", "Kestavo base", theirs).status == 0
    result = run("merge", base, ours, theirs)
    assert result.status == 0, result.err
    wanted = version(three / "w", ours)
    run("set", "infill.density=30%", "--profile", "Kestavo fine", wanted)
    run("set", "speed.infill=111mm/s", "--profile", "Kestavo base", wanted)
    assert result.data == Path(wanted).read_bytes()


@pytest.mark.parametrize("dialect", sorted(SEVERAL))
def test_one_setup_of_many_comes_back_in_another_dialect(three: Path, dialect: str) -> None:
    """OURS holds all profiles of a machine; THEIRS is one setup of them. The others stay as they are."""
    source = SEVERAL[dialect]
    base, ours = version(three / "b", source), version(three / "o", source)
    assert run("set", "speed.top=33mm/s", "--profile", "Kestavo fine", ours).status == 0
    run("convert", base, "--to", "quern", "--out", f"{three}/all/", "--quiet")
    theirs = version(three / "t.ini", str(three / "all" / os.path.basename(QUERN)))
    assert run("set", "infill.density=30%", "heat.nozzle=207Cel", theirs).status == 0
    result = run("merge", base, ours, theirs)
    assert result.status == 0, result.err
    wanted = version(three / "w", ours)
    run("set", "infill.density=30%", "--profile", "Kestavo fine", wanted)
    run("set", "heat.nozzle=207Cel", "--profile", "Meadow", wanted)
    assert result.data == Path(wanted).read_bytes()


def test_profiles_that_only_one_side_has(three: Path) -> None:
    base, ours = version(three / "b", SEVERAL["hasp"]), version(three / "o", SEVERAL["hasp"])
    text = Path(base).read_text(encoding="utf-8")
    start = text.index("<card", text.index("Kestavo strong") - 200)
    end = text.index("</card>", start) + len("</card>")
    assert "Kestavo strong" in text[start:end]
    Path("t").write_text(text[:start] + text[end:], encoding="utf-8")
    assert run("set", "speed.top=33mm/s", "--profile", "Kestavo fine", ours).status == 0
    result = run("merge", base, ours, "t")
    assert result.status == 1
    assert "THEIRS no longer has the profile 'Kestavo strong'" in " ".join(result.err.split())
    assert result.data == Path(ours).read_bytes()
    # The other way round: what THEIRS added comes along, with all its keys.
    result = run("merge", "t", "t", base)
    assert (result.status, result.data) == (0, Path(base).read_bytes())
    shorter = version(three / "s", "t")
    assert run("set", "speed.top=33mm/s", "--profile", "Kestavo fine", shorter).status == 0
    result = run("merge", "t", shorter, base, "--out", "m")
    assert result.status == 0, result.out
    assert says("m") == {**says(base), **says(shorter)}


def test_nothing_that_belongs_together(three: Path) -> None:
    base = version(three / "b", os.path.join(WORKSHOP, "canonical", "Flint.feedstock.json"))
    machine = version(three / "m", os.path.join(WORKSHOP, "canonical", "Kestavo C3.machine.json"))
    assert run("merge", base, base, machine).status == 4


ONE = {
    "canonical": "Kestavo base.process.json",
    "master": "kestavo-base.toml",
    "sedge": "Kestavo base.method.json",
    "withy": "Kestavo C3 - Meadow - Kestavo fine.withy.gcode",
}


@pytest.mark.parametrize("dialect", sorted(ONE))
def test_unchanged_sides_in_the_other_dialects(three: Path, dialect: str) -> None:
    source = os.path.join(WORKSHOP, dialect, ONE[dialect])
    name = ONE[dialect]
    (three / "side").mkdir()
    base, side = version(three / name, source), version(three / "side" / name, source)
    assert run("set", "layer.height=0.16mm", "speed.gap=", side).status == 0
    for ours, theirs in ((base, side), (side, base), (side, side)):
        result = run("merge", base, ours, theirs)
        assert (result.status, result.data) == (0, Path(side).read_bytes()), result.err


@pytest.mark.parametrize("path", [QUERN, *SEVERAL.values()], ids=os.path.basename)
def test_unchanged_sides_of_files(three: Path, path: str) -> None:
    base = version(three / "b", path)
    side = version(three / "s", path)
    assert run("set", "layer.height=0.16mm", "heat.nozzle=207Cel", "travel.hop=", side).status == 0
    same_bytes = Path(side).read_bytes()
    for ours, theirs in ((base, side), (side, base), (side, side)):
        result = run("merge", base, ours, theirs)
        assert (result.status, result.data) == (0, same_bytes), result.err


edits = st.dictionaries(
    st.sampled_from(["layer.height", "infill.density", "speed.default", "speed.infill", "fan.max"]),
    st.integers(1, 9),
    max_size=4,
)
UNITS = {"layer.height": "00 um", "infill.density": "0 %", "speed.default": "0 mm/s",
         "speed.infill": "0 % of speed.default",
         "fan.max": "0 %"}  # fmt: skip


@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(edits, edits, st.sampled_from(["quern", "trug", "hasp", "skep"]))
def test_merged_files_say_what_merged_values_are(
    tmp_path: Path, mine: dict[str, int], yours: dict[str, int], dialect: str
) -> None:
    """Disjoint edits on two copies and the same edits one after the other give one file."""
    source = SEVERAL.get(dialect, QUERN)
    yours = {name: value for name, value in yours.items() if name not in mine}
    first, second = ([f"{name}={value}{UNITS[name]}" for name, value in part.items()] for part in (mine, yours))
    base = version(tmp_path / "b", source)
    paths = [tmp_path / name for name in ("o", "t", "w")]
    for path, assignments in zip(paths, (first, second, [*first, *second]), strict=True):
        version(path, source)
        if assignments:
            assert run("set", *assignments, "--profile", "Kestavo*", str(path)).status in (0, 3)
    result = run("merge", base, str(paths[0]), str(paths[1]), "--out", str(tmp_path / "m"), "--replace")
    assert result.status in (0, 1)
    assert "conflict" not in result.out or "NOT CLEAN" in result.out
    assert says(str(tmp_path / "m")) == says(str(paths[2]))


def test_keys_that_no_table_names(three: Path) -> None:
    base = three / "b.ini"
    base.write_text(
        Path(QUERN).read_text(encoding="utf-8") + "odd.one = 1\nodd.two = 2\nodd.six = 6\n", encoding="utf-8"
    )
    text = base.read_text(encoding="utf-8")
    (three / "o.ini").write_text(text.replace("odd.one = 1", "odd.one = 11").replace("odd.six = 6", "odd.six = 66"))
    (three / "t.ini").write_text(text.replace("odd.two = 2", "odd.two = 22") + "odd.three = 3\n")
    result = run("merge", "b.ini", "o.ini", "t.ini")
    assert result.status == 0, result.err
    merged_text = result.data.decode()
    for line in ("odd.one = 11", "odd.two = 22", "odd.three = 3", "odd.six = 66"):
        assert f"\n{line}\n" in merged_text
    (three / "t.ini").write_text(text.replace("odd.one = 1", "odd.one = 12"))
    result = run("merge", "b.ini", "o.ini", "t.ini")
    assert result.status == 1
    assert "conflict  odd.one" in result.err
    assert "\nodd.one = 11\n" in result.data.decode()


def test_a_derived_count_is_no_effect_of_a_thickness(three: Path) -> None:
    """The dialect states thicknesses and counts layers from them: the base's count does not speak against an edit."""
    text = Path(SEVERAL["trug"]).read_text(encoding="utf-8")
    assert text.count("Roof thick: 900\n") == 1
    for name, value in (("b", 900), ("o", 1200), ("t", 1500)):
        (three / name).write_text(text.replace("Roof thick: 900\n", f"Roof thick: {value}\n"), encoding="utf-8")
    base, ours, theirs = "b", "o", "t"
    result = run("merge", base, ours, theirs)
    told = " ".join(result.err.split())
    assert result.status == 1
    assert "that are asked for" not in told
    assert 'beadwise set "cover.upper_thickness=1.5 mm" --profile "Kestavo base" "o"' in told


def test_a_change_that_ours_cannot_say_is_not_lost_silently(three: Path) -> None:
    marl = ("--table", os.path.join(os.path.dirname(__file__), "..", "cli", "data", "marl.toml"))
    (three / "b.marl").write_text("concerns = manner\ndubbed = Fine\nrise = 120\nhaste = 2400\n")
    assert run("convert", *marl, "b.marl", "--to", "canonical", "--out", "t.json").status == 0
    assert run("set", "speed.gap=20mm/s", "layer.height=0.2mm", "t.json").status == 0
    (three / "o.marl").write_text("concerns = manner\ndubbed = Fine\nrise = 120\nhaste = 3000\n")
    result = run("merge", *marl, "b.marl", "o.marl", "t.json")
    assert result.status == 1
    assert "conflict  speed.gap" in result.err
    assert "marl has no key for it" in result.err
    assert result.data == b"concerns = manner\ndubbed = Fine\nrise = 200\nhaste = 3000\n"


def test_relations_that_theirs_cannot_say_are_told(three: Path) -> None:
    """THEIRS' dialect has no relation there: its number stays while the base of OURS' relation moves."""
    marl = ("--table", os.path.join(os.path.dirname(__file__), "..", "cli", "data", "marl.toml"))
    loess = ("--table", os.path.join(os.path.dirname(__file__), "..", "cli", "data", "loess.toml"))
    (three / "b.marl").write_text("concerns = manner\ndubbed = Fine\nrise = 120\nhaste = 2400\nrim haste = 50%\n")
    made = run("convert", *marl, *loess, "b.marl", "--to", "loess", "--out", f"{three}/t/", "--quiet")
    assert made.status == 0, made.err
    [theirs] = (three / "t").iterdir()
    assert run("set", *loess, "speed.default=60mm/s", str(theirs)).status == 0
    result = run("merge", *marl, *loess, "b.marl", "b.marl", str(theirs))
    assert result.status == 0, result.err
    assert b"haste = 3600\nrim haste = 50%\n" in result.data
    assert "stays 50 % of speed.default, which is 30 mm/s now; THEIRS has 20 mm/s" in " ".join(result.err.split())


def test_interaction_of_files_is_told_and_fails(three: Path) -> None:
    """OURS heats the bed close to its limit, THEIRS lowers the limit: each fine alone."""
    base = version(three / "b.ini", QUERN)
    ours = version(three / "o.ini", QUERN, "heat.bed=105Cel")
    theirs = version(three / "t.ini", QUERN, "bed.max_temperature=80Cel")
    result = run("merge", base, ours, theirs, "--format", "json", "--dry-run")
    document = result.document
    judge(document)
    assert result.status == 1
    assert document["conflicts"] == []
    assert any("heat.bed" in one["ours"] and "bed.max_temperature" in one["theirs"] for one in document["interactions"])
    text = run("merge", base, ours, theirs)
    assert "in neither side, only in both together" in text.err


@pytest.mark.parametrize(
    ("calls", "status"),
    [
        (("b.ini", "o.ini", "missing.ini"), 4),
        (("b.ini", "o.ini", "odd.ini"), 4),
        (("b.ini", "o.ini", "b.ini", "--format", "json"), 2),
        (("b.ini", "o.ini", "b.ini", "p.ini", "--out", "x"), 2),
        (("b.ini", "o.ini"), 2),
    ],
)
def test_calls_that_cannot_be_merged(three: Path, calls: tuple[str, ...], status: int) -> None:
    version(three / "b.ini", QUERN)
    version(three / "o.ini", QUERN, *OURS)
    (three / "odd.ini").write_text("a = 1\nb = 2\n")
    result = run("merge", *calls)
    assert (result.status, result.data) == (status, b"")
    assert result.err.startswith("beadwise: ")


def test_folders_with_parents_and_a_file_that_theirs_added(three: Path) -> None:
    names = ("Kestavo C3.bench.json", "Kestavo base.method.json", "Kestavo fine.method.json")
    for side in ("b", "o", "t"):
        (three / side).mkdir()
        for name in names:
            version(three / side / name, os.path.join(WORKSHOP, "sedge", name))
    version(three / "t" / "Flint.thread.json", os.path.join(WORKSHOP, "sedge", "House filament.thread.json"))
    fine, parent = names[2], names[1]
    assert run("set", "speed.top=33mm/s", "--profile", "Kestavo fine", "o", "--quiet").status == 0
    assert run("set", "infill.density=31%", "--profile", "Kestavo base", "t", "--quiet").status == 0
    result = run("merge", "b", "o", "t", "--out", "m/")
    assert result.status == 0, result.out + result.err
    assert sorted(os.listdir("m")) == sorted([*names, "Flint.thread.json"])
    assert (three / "m" / fine).read_bytes() == (three / "o" / fine).read_bytes()
    assert (three / "m" / parent).read_bytes() == (three / "t" / parent).read_bytes()
    judge(run("merge", "b", "o", "t", "--format", "json", "--dry-run").document)

"""Learning dialects that nobody wrote a table for: laws, languages, refusals, and the figures on the tune half."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest
from jsonschema import Draft202012Validator

from convert.dialects.checking import check
from convert.dialects.reader import read_tree
from convert.errors import InputError, UsageError
from convert.inference.learn import learn
from convert.inference.lesson import study
from convert.model.value import Value
from convert.resources import read_bytes
from convert.text.registry import load
from convert.text.source import Source
from tests.inference.measure import Score, judge, profile, run, sources, split, thinned
from tests.inference.practice import PRACTICE, run_practice
from tests.inference.samples import COMPOUND, GERMAN, SPANISH, TEN_LINES, accepted, lesson, named

TUNE = split("unknown")["tune"]


def text(dialect: str, sample: str = "a") -> str:
    return sources(dialect, sample)[0].text


def relearn(changed: str, dialect: str) -> dict[str, tuple[str, str | None]]:
    name = sources(dialect)[0].path
    return accepted(study([Source.from_bytes(changed.encode(), name)], dialect))


# --- small samples


def test_ten_lines_are_enough_for_plain_words() -> None:
    found = accepted(lesson(TEN_LINES, "ten.ini"))
    assert found == {
        "layer_height": ("layer.height", "mm"),
        "height_of_layer_one": ("layer.first", "mm"),
        "wall_count": ("wall.count", None),
        "nozzle_diameter": ("nozzle.diameter", "mm"),
        "nozzle_temperature": ("heat.nozzle", "Cel"),
        "bed_temperature": ("heat.bed", "Cel"),
        "infill_density": ("infill.density", "%"),
        "travel_speed": ("speed.travel", "mm/s"),
        "retraction_length": ("retract.length", "mm"),
        "support_enabled": ("support.enabled", None),
    }


def test_german_with_decimal_commas() -> None:
    made = lesson(GERMAN, "hobel.ini")
    found = named(made)
    assert made.learned.structure.decimal == ","
    assert found["Schichthöhe"] == "layer.height"
    assert found["Höhe der ersten Schicht"] == "layer.first"
    assert found["Linienbreite Außenwand"] == "width.outer_wall"
    assert found["Geschwindigkeit Innenwand"] == "speed.inner_wall"
    assert found["Fülldichte"] == "infill.density"
    assert found["Düsentemperatur erste Schicht"] == "heat.nozzle_first"
    assert found["Rückzugsgeschwindigkeit"] == "retract.speed"
    assert len(accepted(made)) >= 13
    file = read_tree(
        load("ini").parse(Source.from_bytes(GERMAN.encode(), "hobel.ini"), made.draft.table.text), made.draft.table
    )
    assert file.readings[0].own["layer.height"] == Fraction(1, 5)
    assert file.readings[0].own["support.enabled"] is False


def test_spanish() -> None:
    found = named(lesson(SPANISH, "ajustes.json"))
    assert found["altura_primera_capa"] == "layer.first"
    assert found["velocidad_pared_exterior"] == "speed.outer_wall"
    assert found["densidad_de_relleno"] == "infill.density"
    assert found["longitud_retraccion"] == "retract.length"


def test_keys_of_several_values() -> None:
    made = lesson(COMPOUND, "parts.ini")
    parts = {
        (record.key, record.relation["part"]): record.setting
        for record in made.learned.records
        if record.decision == "accepted" and record.relation and "part" in record.relation
    }
    assert parts == {
        ("build width x depth x height", 1): "envelope.x",
        ("build width x depth x height", 2): "envelope.y",
        ("build width x depth x height", 3): "envelope.z",
        ("nozzle temperature first/rest", 1): "heat.nozzle_first",
        ("nozzle temperature first/rest", 2): "heat.nozzle",
        ("retraction length@speed", 1): "retract.length",
        ("retraction length@speed", 2): "retract.speed",
        ("layer height min..max", 1): "layer.min",
        ("layer height min..max", 2): "layer.max",
        ("top/bottom layers", 1): "cover.upper_layers",
        ("top/bottom layers", 2): "cover.lower_layers",
        ("skirt loops x distance", 1): "base.skirt_rounds",
        ("skirt loops x distance", 2): "base.skirt_offset",
        ("fan min-max", 1): "fan.min",
        ("fan min-max", 2): "fan.max",
        ("outer/inner wall speed", 1): "speed.outer_wall",
        ("outer/inner wall speed", 2): "speed.inner_wall",
    }
    assert '"top/bottom layers" = {to = ["cover.upper_layers", "cover.lower_layers"], split = "/"}' in made.table


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty"),
        (b" \n\n", "is empty"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0", "binary"),
        (b"It was a dark and stormy night, and nothing was set.\n", "no settings"),
    ],
)
def test_what_is_no_sample_is_refused(data: bytes, says: str) -> None:
    with pytest.raises(InputError, match=says):
        study([Source.from_bytes(data, "odd.bin")], "odd")


# --- units: the worst mistake is a wrong one


def test_two_plausible_units_are_offered() -> None:
    """120 may be mm/s; 1200 as the only speed is 1200 mm/s or 20 mm/s: nothing tells."""
    found = accepted(lesson("print_speed = 600\nlayer_height = 0.2\nwall_count = 3\nbed_temperature = 60\n", "a.ini"))
    assert "print_speed" not in found
    assert "layer_height" in found


def test_a_head_that_names_the_unit_settles_it() -> None:
    plain = "speed_outer_walls = 1800\ninfill_speed = 3600\nlayer_height = 0.2\nwall_count = 3\n"
    found = accepted(lesson("# speeds in mm/min\n" + plain, "a.ini"))
    assert found["speed_outer_walls"] == ("speed.outer_wall", "mm/min")


def test_a_zero_says_nothing_about_its_unit() -> None:
    found = lesson("fan_min = 0\nlayer_height = 0.2\nwall_count = 3\nbed_temperature = 60\n", "a.ini")
    assert "fan_min" not in accepted(found)
    assert named(found)["fan_min"] == "fan.min"


def test_min_is_the_least_and_not_minutes() -> None:
    found = named(lesson("fan_min = 30\nfan_max = 100\nlayer_height_min = 0.08\nlayer_height = 0.2\n", "a.ini"))
    assert found["fan_min"] == "fan.min"
    assert found["layer_height_min"] == "layer.min"


# --- order and company do not matter


@pytest.mark.parametrize("dialect", ["larkmere", "tinnock"])
@pytest.mark.parametrize("seed", [1, 2])
def test_shuffling_keys_and_comments_changes_nothing(dialect: str, seed: int) -> None:
    """All lines below the head of the file change places, comments and blank lines too."""
    lines = text(dialect).splitlines()
    head = next(at for at, line in enumerate(lines) if line[:1].isalpha())
    rest = lines[head:]
    before = relearn(text(dialect), dialect)
    random.Random(seed).shuffle(rest)
    assert relearn("\n".join([*lines[:head], *rest]) + "\n", dialect) == before


def test_shuffling_sections_changes_nothing() -> None:
    head, *sections = GERMAN.split("[")
    before = accepted(lesson(GERMAN, "hobel.ini"))
    random.Random(3).shuffle(sections)
    after = accepted(lesson("[".join([head, *(part.rstrip("\n") + "\n" for part in sections)]), "hobel.ini"))
    assert after == before


def test_members_of_an_object_may_stand_in_any_order() -> None:
    import json

    members = list(json.loads(SPANISH).items())
    before = accepted(lesson(SPANISH, "ajustes.json"))
    random.Random(4).shuffle(members)
    after = accepted(lesson(json.dumps(dict(members)), "ajustes.json"))
    assert after == before


def test_a_hundred_distractors_change_no_accepted_row() -> None:
    """Keys of a program's own books, behind a heading of their own: no row that was accepted becomes another one."""
    dialect = "larkmere"
    before = relearn(text(dialect), dialect)
    rng = random.Random(7)
    nouns = ("window", "panel", "history", "preview", "theme", "shortcut", "toolbar", "backup", "licence", "export")
    words = ("zoom", "folder", "stamp", "revision", "icon", "locale", "cursor", "author", "digest", "tab")
    lines = [f"{noun}_{word} = {rng.randrange(1, 9999)}" for noun in nouns for word in words]
    after = relearn(text(dialect) + "\n# the program's own\n" + "\n".join(lines) + "\n", dialect)
    assert {key: after.get(key) for key in before} == before
    assert set(after) == set(before)


# --- known profiles, changes, answers


def test_a_known_profile_settles_more() -> None:
    plain, known = run("tinnock"), run("tinnock", same_as=True)
    assert known.recall > plain.recall + 0.1
    assert known.precision >= 0.98


def test_one_change_between_two_exports_is_the_setting() -> None:
    before = "QZ1 = 40\nQZ2 = 0.2\nQZ3 = 3600\nQZ4 = 55\n"
    after = before.replace("3600", "4500")
    first, second = (Source.from_bytes(one.encode(), name) for one, name in ((before, "a.ini"), (after, "b.ini")))
    made = study([first, second], "quiz", changed="speed.travel=75 mm/s")
    assert accepted(made)["QZ3"] == ("speed.travel", "mm/min")
    both = Source.from_bytes(after.replace("QZ1 = 40", "QZ1 = 41").encode(), "c.ini")
    with pytest.raises(UsageError, match="2 keys moved"):
        study([first, both], "quiz", changed="infill.angle=7 deg")
    same = Source.from_bytes(before.encode(), "c.ini")
    with pytest.raises(InputError, match="no key differs"):
        study([first, same], "quiz", changed="speed.travel=75 mm/s")


def test_an_answer_is_taken_and_the_rest_is_solved_again() -> None:
    made = study(sources("larkmere"), "larkmere")
    question = made.questions()[0]
    again = study(sources("larkmere"), "larkmere", answers={question.label: ""})
    assert all(one.label != question.label for one in again.questions())
    assert named(again).get(question.record.key) is None


# --- tables and records


@pytest.mark.parametrize("dialect", TUNE)
def test_the_draft_is_a_table_that_reads_its_samples(dialect: str) -> None:
    made = study(sources(dialect), dialect)
    checked = check(made.table.encode(), f"{dialect}.toml")
    assert checked.mistakes == []
    for source in sources(dialect):
        table = made.draft.table
        tree = load(table.syntax).parse(source, table.text)
        readings = read_tree(tree, table).readings
        assert [record for reading in readings for record in reading.records if record.role == "invalid"] == []


@pytest.mark.parametrize("dialect", TUNE)
def test_records_keep_to_the_schema_and_cover_every_key(dialect: str) -> None:
    import json

    made = study(sources(dialect), dialect)
    document = json.loads(json.dumps(made.document()))
    schema = json.loads(read_bytes("schemas", "learn.schema.json"))
    assert [error.message for error in Draft202012Validator(schema).iter_errors(document)] == []
    keys = {(tree.source.path, row[0], row[1]) for tree in made.learned.structure.trees for row in tree.rows}
    assert {(key["file"], tuple(key["path"]), key["key"]) for key in document["keys"]} == keys


# --- the figures


@pytest.fixture(scope="module")
def scores() -> dict[str, Score]:
    return {dialect: run(dialect) for dialect in TUNE}


def test_calibration_on_the_tune_half(scores: dict[str, Score]) -> None:
    """When it says nine in ten, it is right nine times in ten. The table is printed with `pytest -s`."""
    from tests.inference.fit import reliability

    pairs = [
        (one.record.pair.confidence, one.record.pair.setting == one.row["setting"])
        for score in scores.values()
        for one in score.judged
        if one.record is not None and one.record.pair is not None
    ]
    print("\n" + "\n".join(f"{dialect:10} {score.line()}" for dialect, score in scores.items()))
    print(reliability(pairs))
    sure = [right for chance, right in pairs if chance >= 0.9]
    assert sum(sure) / len(sure) >= 0.97
    middle = [right for chance, right in pairs if 0.5 <= chance < 0.9]
    assert 0.5 <= sum(middle) / len(middle) <= 0.97


def test_precision_and_recall_on_the_tune_half(scores: dict[str, Score]) -> None:
    whole = Score([one for score in scores.values() for one in score.judged])
    assert whole.precision >= 0.98
    assert whole.recall >= 0.8
    assert min(score.recall for score in scores.values()) >= 0.65  # terse keys
    assert whole.top(5) >= 0.95
    assert whole.wrong_units == []


@pytest.mark.parametrize("dialect", PRACTICE)
def test_practice_dialects_are_learned_without_wrong_units(dialect: str) -> None:
    score = run_practice(dialect)
    assert score.precision >= 0.97
    assert score.recall >= 0.75
    assert score.wrong_units == []


def test_with_half_of_the_words_gone_precision_holds_and_recall_falls(scores: dict[str, Score]) -> None:
    whole, poor = Score(), Score()
    with thinned(0.5, seed=11):
        for dialect in ("larkmere", "selvedge"):
            poor.judged += run(dialect).judged
            whole.judged += scores[dialect].judged
    assert poor.recall < whole.recall - 0.1
    assert poor.precision >= 0.92
    assert poor.wrong_units == []


def test_two_samples_and_their_profile_leave_little_open() -> None:
    found: list[Value] = []
    for dialect in TUNE:
        score = judge(dialect, learn(sources(dialect), [profile(dialect)]))
        assert score.wrong_units == []
        found.append(Fraction(score.precision).limit_denominator(1000))
    assert min(found) >= Fraction(97, 100)  # type: ignore[type-var]

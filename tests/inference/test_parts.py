"""Parts of learning by themselves: opposite flags, counts from zero, ratios, percents, mixed separators, terse keys."""

from __future__ import annotations

from fractions import Fraction

import pytest

from convert.dialects.reader import read_tree
from convert.inference.choices import several
from convert.inference.codes import purpose
from convert.inference.decide import first_number
from convert.inference.flags import choices, opposite
from convert.inference.habits import habits
from convert.inference.items import Item
from convert.inference.learn import learn
from convert.inference.naming import joined, key_units, words_of
from convert.inference.orders import best_order
from convert.inference.ratios import RATIOS, suits
from convert.inference.samples import Key, Number
from convert.inference.terse import pieces_of, spelled
from convert.model.setting import SETTINGS
from convert.model.value import Share, Value
from convert.text.registry import load
from convert.text.source import Source
from tests.inference.samples import accepted, lesson, named

AROUND = "layer_height = 0.2\nwall_count = 3\nbed_temperature = 60\nnozzle_temperature = 210\nnozzle_diameter = 0.4\n"


def worded(key: str) -> Item:
    """An item of a key alone."""
    found = Key("", (), key)
    return Item(found, words_of(found, {}, frozenset())[0])


def read_back(text: str, name: str = "sample.ini") -> dict[str, Value]:
    """What the table that a text teaches reads from the text."""
    made = lesson(text, name)
    table = made.draft.table
    assert table is not None
    tree = load(table.syntax).parse(Source.from_bytes(text.encode(), name), table.text)
    found: dict[str, Value] = {}
    for reading in read_tree(tree, table).readings:
        assert [record for record in reading.records if record.role == "invalid"] == []
        found |= reading.own
    return found


# --- flags


@pytest.mark.parametrize("key", ["no_support", "without_support", "support_disabled", "ohne_stuetzen"])
def test_a_key_that_asks_the_opposite_is_read_so(key: str) -> None:
    text = AROUND + f"{key} = yes\nbrim_width = 4\nsupport_density = 15\nsupport_gap_z = 0.2\n"
    made = lesson(text, "a.ini")
    record = next(one for one in made.learned.records if one.key == key)
    assert (record.setting, record.relation) == ("support.enabled", {"inverted": True})
    if record.decision == "accepted":
        assert read_back(text)["support.enabled"] is False


def test_opposite_flags_of_json_read_back() -> None:
    text = '{"noHeatedBed": false, "layerHeight": 0.2, "wallCount": 3, "bedTemperature": 60, "nozzleDiameter": 0.4}'
    assert accepted(lesson(text, "a.json"))["noHeatedBed"] == ("bed.heated", None)
    assert read_back(text, "a.json")["bed.heated"] is True


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("support_only_from_bed", "yes", "bed"),
        ("support_only_from_bed", "no", "bed-and-part"),
        ("support_stands_everywhere", "yes", "bed-and-part"),
    ],
)
def test_yes_stands_for_the_choice_that_the_key_names(key: str, value: str, says: str) -> None:
    text = AROUND + f"{key} = {value}\nsupport_enabled = yes\nsupport_density = 15\n"
    assert accepted(lesson(text, "a.ini"))[key] == ("support.stands_on", None)
    assert read_back(text)["support.stands_on"] == says


def test_infill_before_walls_is_the_opposite_of_walls_before_infill() -> None:
    for key, turned in (("walls_before_infill", None), ("infill_before_walls", {"inverted": True})):
        record = next(one for one in lesson(AROUND + f"{key} = yes\n", "a.ini").learned.records if one.key == key)
        assert (record.setting, record.relation) == ("order.walls_lead", turned)


def test_a_faint_negation_is_asked() -> None:
    made = lesson(AROUND + "leave_slits_open = yes\nwall_slit_fill_speed = 40\n", "a.ini")
    assert "leave_slits_open" not in accepted(made)


# --- counts from zero


def number_item(*values: float) -> Item:
    return Item(Key("", (), "tool"), numbers=[Number(value, "", f"{value:g}") for value in values])


@pytest.mark.parametrize(
    ("values", "tools", "first"),
    [((2,), 2, 1), ((0, 1), 2, 0), ((0,), 2, None), ((1,), 2, None), ((1,), 0, None), ((0,), 1, None)],
)
def test_what_the_first_tool_is_called(values: tuple[float, ...], tools: int, first: int | None) -> None:
    assert first_number(number_item(*values), tools) == first


def test_a_tool_number_that_may_count_from_zero_is_asked() -> None:
    text = AROUND.replace("= 210", "= 210, 205").replace("= 0.4", "= 0.4, 0.4") + "number_of_tools = 2\n"
    made = lesson(text + "support_tool = 1\nsupport_enabled = yes\nretraction_length = 0.8, 0.9\n", "a.ini")
    record = next(one for one in made.learned.records if one.key == "support_tool")
    assert (record.setting, record.decision) == ("support.tool", "offered")
    assert record.why.startswith("count open")


# --- ratios


def test_ratios_are_between_numbers_of_one_kind_and_below_each_other() -> None:
    for one, other, low, high in RATIOS:
        assert SETTINGS[one].is_number
        assert SETTINGS[one].kind == SETTINGS[other].kind, (one, other)
        assert 0 <= low < high


def test_a_ratio_settles_what_words_do_not() -> None:
    """Two speeds with words of the file's own: the slower one of a pair is the outer wall's."""
    others = {"speed.default": (9, 100.0, 1.0), "speed.inner_wall": (8, 90.0, 1.0)}
    assert suits("speed.outer_wall", 50.0, others, 0) > 0 > suits("speed.outer_wall", 300.0, others, 0)
    assert suits("speed.outer_wall", 50.0, {}, 0) == 0.0
    assert suits("speed.inner_wall", 90.0, others, 8) == 1.0  # never against itself


def test_first_layer_and_rest_of_one_key_are_told_by_their_values() -> None:
    text = AROUND.replace("nozzle_temperature = 210\nnozzle", "nozzle").replace("bed_temperature = 60\n", "")
    made = lesson(text + "temperature of nozzle and bed = 210,215;60,65\ntravel_speed = 150\n", "a.ini")
    found = [one.setting for one in made.learned.records if one.key.startswith("temperature of")]
    assert found == ["heat.nozzle", "heat.nozzle_first", "heat.bed", "heat.bed_first"]


# --- keys of several values


def test_mixed_separators_become_a_row_that_reads_its_sample() -> None:
    text = AROUND + "retract length@speed/return = 0.8@35/25\nretract enabled = yes\n"
    made = lesson(text, "a.ini")
    assert 'split = ["@", "/"]' in made.table
    found = read_back(text)
    assert found["retract.length"] == Fraction(4, 5)
    assert (found["retract.speed"], found["retract.return_speed"]) == (35, 25)


def test_an_order_must_suit_all_parts() -> None:
    rows = [{"fan.min": 1.0, "heat.nozzle": 2.0}, {"fan.max": 1.0, "fan.min": 3.0}]
    assert best_order(rows) == ("fan.min", "fan.max")
    assert best_order([{"fan.min": 1.0}, {"fan.min": 1.0}]) == ()


def test_a_number_with_a_word_is_no_choice() -> None:
    assert "infill" not in accepted(lesson(AROUND + "infill = 18% gyroid\ninfill_angle = 45\n", "a.ini"))


# --- percents


def test_percents_of_the_only_base_are_accepted_and_others_asked() -> None:
    text = AROUND + "print_speed = 100\ninner_wall_speed = 80%\nouter_wall_speed = 50%\ntravel_speed = 200\n"
    found = accepted(lesson(text, "a.ini"))
    assert found["inner_wall_speed"] == ("speed.inner_wall", "%")
    assert "outer_wall_speed" not in found  # of the inner wall, or of the default
    text = AROUND + "line_width = 0.44\ninfill_line_width = 110%\nouter_wall_line_width = 95%\n"
    assert "infill_line_width" not in accepted(lesson(text, "a.ini"))  # of the nozzle, or of the line width


def test_widths_that_are_percents_throughout_are_of_the_nozzle() -> None:
    text = AROUND + "line_width = 110%\ninfill_line_width = 120%\nouter_wall_line_width = 105%\n"
    made = lesson(text, "a.ini")
    for key in ("infill_line_width", "outer_wall_line_width"):
        record = next(one for one in made.learned.records if one.key == key)
        assert record.decision == "accepted"
        assert record.relation == {"percent_of": "nozzle.diameter"}
    assert str(read_back(text)["width.infill"]) == str(Share(Fraction(120), "nozzle.diameter"))


def test_a_family_of_shares_has_one_base() -> None:
    text = AROUND + "print_speed = 100\ninner_wall_speed = 80%\ninfill_speed = 120%\nsolid_infill_speed = 90%\n"
    found = accepted(lesson(text + "outer_wall_speed = 50%\ntravel_speed = 200\n", "a.ini"))
    assert found["outer_wall_speed"] == ("speed.outer_wall", "%")
    assert found["solid_infill_speed"] == ("speed.solid", "%")


def test_a_known_profile_says_what_a_share_is_of() -> None:
    text = AROUND + "line_width = 95%\nouter_wall_speed = 55%\nspeed = 80\ntravel_speed = 190\n"
    known = {name: Fraction(value) for name, value in (("nozzle.diameter", "0.4"), ("speed.default", 80))}
    known |= {"width.default": Fraction("0.38"), "speed.outer_wall": Fraction(44), "speed.travel": Fraction(190)}
    records = {one.key: one for one in learn([Source.from_bytes(text.encode(), "a.ini")], [known]).records}
    for key, setting, base in (
        ("line_width", "width.default", "nozzle.diameter"),
        ("outer_wall_speed", "speed.outer_wall", "speed.default"),
    ):
        assert (records[key].setting, records[key].decision) == (setting, "accepted")
        assert records[key].relation == {"percent_of": base}


# --- units in keys


@pytest.mark.parametrize(
    ("key", "codes"),
    [
        ("x_limit_mps2", ["m/s2"]),
        ("z_limit_mmpmin", ["mm/min"]),
        ("melt_cap_mm3ps", ["mm3/s"]),
        ("melt_cap_mm3_per_second", ["mm3/s"]),
        ("strand_density_gpcm3", ["g/cm3"]),
        ("Tempo mm je Sekunde", ["mm/s"]),
        ("outer_wall_mmps", ["mm/s"]),
        ("steps", []),
        ("time_per_layer", []),
    ],
)
def test_units_are_composed_in_keys(key: str, codes: list[str]) -> None:
    assert key_units(key)[0] == codes


def test_limits_of_axes_may_have_another_unit_than_speeds() -> None:
    speeds = "".join(
        f"{name} speed = {value}\n" for name, value in (("outer wall", 60), ("infill", 120), ("travel", 200))
    )
    limits = "x max speed = 18000\ny max speed = 16500\nz max speed = 900\n"
    jerks = "x max jerk = 8\ny max jerk = 7\nz max jerk = 0.4\n"
    found = accepted(lesson(AROUND + speeds + limits + jerks, "a.ini"))
    assert found["x max speed"] == ("axis.x.max_speed", "mm/min")
    assert found["x max jerk"] == ("axis.x.max_jump", "mm/s")


# --- what must not be accepted


def test_a_word_that_is_not_understood_may_name_a_feature() -> None:
    text = AROUND + "speed = 100\nouter wall speed = 50\nqworb speed = 90\n"
    assert "qworb speed" not in accepted(lesson(text, "a.ini"))
    assert accepted(lesson(AROUND + "speed = 100\nouter wall speed = 50\n", "a.ini"))["speed"][0] == "speed.default"


def test_a_wall_without_a_side_may_be_any() -> None:
    bare = accepted(lesson(AROUND + "print speed = 100\nwall speed = 50\ntravel speed = 200\n", "a.ini"))
    assert "wall speed" not in bare


def test_two_choices_in_one_value_are_two_settings() -> None:
    choices = SETTINGS["cover.upper_pattern"].choices
    assert several("rings/zigzag", choices)
    assert not several("zigzag", choices)
    assert "top pattern" not in accepted(lesson(AROUND + "top pattern = concentric/zigzag\n", "a.ini"))


def test_letters_that_say_next_to_nothing_are_all_offered() -> None:
    names = ["zqv", "zqw", "xkj", "xkq", "vjw", "vjq", "wqz", "wqj", "kzx", "kzq", "qjv", "qjw"]
    text = "".join(f"{name} = {value}\n" for name, value in zip(names, range(20, 140, 10), strict=True))
    assert accepted(lesson(text, "a.ini")) == {}


# --- what yes means


@pytest.mark.parametrize(
    ("key", "setting", "yes"),
    [
        ("walls before infill", "order.walls_lead", False),
        ("infill before walls", "order.walls_lead", True),
        ("before infill", "order.walls_lead", False),
        ("avoid crossing outlines", "travel.stay_inside", False),
        ("never cross outlines", "travel.stay_inside", False),
        ("cross open air", "travel.stay_inside", None),
    ],
)
def test_what_yes_turns(key: str, setting: str, yes: bool | None) -> None:
    assert opposite(worded(key), setting) is yes


def test_last_turns_the_order_of_walls() -> None:
    assert choices(worded("outermost first"), "wall.order") == ("outer-then-inner", "inner-then-outer")
    assert choices(worded("exterior last"), "wall.order") == ("inner-then-outer", "outer-then-inner")


# --- one value a tool


def test_lists_of_tools_need_not_be_alike_where_all_others_are() -> None:
    lists = "nozzle size = 0.4|0.4\nmax nozzle temperature = 290|280\nretract length = 0.9|1.1\nflow = 97|99\n"
    text = AROUND.replace("nozzle_diameter = 0.4\n", "") + lists + "tool offset x = 0|24.8\n"
    made = lesson(text, "a.ini")
    record = next(one for one in made.learned.records if one.key == "tool offset x")
    assert (record.setting, record.relation) == ("tool.offset_x", {"list": "|"})


# --- words, letters, commands


def test_words_written_as_two_are_joined() -> None:
    assert joined(["pull", "back", "speed"]) == ["pullback", "speed"]
    assert joined(["layer", "height"]) == ["layer", "height"]
    assert named(lesson(AROUND + "pull back distance = 0.8\n", "a.ini"))["pull back distance"] == "retract.length"


def test_capital_umlauts_are_letters_like_others() -> None:
    text = "Überhang Lüfter = 80 %\nLüfter maximal = 100 %\nSchichthöhe = 0,2\nWandlinien = 3\n"
    found = named(lesson(text, "a.ini"))
    assert found["Überhang Lüfter"] == "fan.overhang"


def test_few_long_pieces_spell_better_than_many_short_ones() -> None:
    speed, seam = habits()["limit.slowest.travel"], habits()["wall.seam"]
    pieces = pieces_of("seam")
    assert spelled(pieces, seam)[0] > spelled(pieces, speed)[0]


def test_a_learned_piece_says_all_that_it_stands_for() -> None:
    outer = habits()["width.outer_wall"]
    plain = spelled(pieces_of("wqz"), outer)[0]
    taught = spelled(pieces_of("wqz", {"qz": {"outer": 0.9, "wall": 0.9}}), outer)[0]
    assert taught > plain + 1


@pytest.mark.parametrize(
    ("code", "says"),
    [
        ("G21\nG28\nM190 S60\nM109 S210", "start"),
        ("M104 S0\\nM140 S0\\nM84", "end"),
        ("G91\nG1 Z5\nG90", ""),
        ("M104 S210\nG28", "start"),
        ("PREHEAT_ALL\nCLEAN_TIP", ""),
    ],
)
def test_commands_tell_what_code_is_for(code: str, says: str) -> None:
    assert purpose(code) == says


def test_start_and_end_are_told_by_their_commands() -> None:
    text = AROUND + "script_1 = G28\\nM109 S210\nscript_2 = M104 S0\\nM84\n"
    found = named(lesson(text, "a.ini"))
    assert (found["script_1"], found["script_2"]) == ("code.start", "code.end")

"""How plausible the values of an item are for a setting, in each unit that they may be in.

Hard limits of the schema forbid, usual ranges weigh. A unit that stands with the value or in the key is taken; else
each usual unit of the kind is a candidate.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import log2

from convert.inference.choices import choice_of
from convert.inference.codes import fits
from convert.inference.flags import PAIRS, opposite
from convert.inference.habits import Habit
from convert.inference.items import Item
from convert.inference.samples import find_unit
from convert.units import unit as unit_of

# Kind -> (unit, how likely it is before anything is known, as a logarithm). Common practice.
USUAL = {
    "speed": (("mm/s", 0.0), ("mm/min", -0.9), ("m/min", -2.6), ("cm/s", -3.0), ("m/s", -3.2)),
    "acceleration": (("mm/s2", 0.0), ("m/s2", -1.0)),
    "length": (("mm", 0.0), ("um", -1.2), ("cm", -2.4), ("[in_i]", -2.8)),
    "temperature": (("Cel", 0.0), ("[degF]", -2.2), ("K", -2.8)),
    "angle": (("deg", 0.0), ("rad", -1.6)),
    "percent": (("%", 0.0), ("1", -0.5), ("255", -1.2)),
    "time": (("s", 0.0), ("ms", -1.2), ("min", -1.4), ("h", -1.6)),
    "flow": (("mm3/s", 0.0), ("cm3/h", -3.2), ("cm3/min", -2.4), ("mm3/min", -2.4)),
    "density": (("g/cm3", 0.0), ("kg/m3", -0.8)),
    "mass": (("g", 0.0), ("kg", -0.8)),
    "price": (("1/kg", 0.0), ("1/g", -3.0)),
    "area": (("mm2", 0.0), ("cm2", -2.4)),
    "volume": (("mm3", 0.0), ("cm3", -1.5)),
    "per_length": (("1/mm", 0.0), ("1/m", -2.5)),
    "power": (("W", 0.0), ("kW", -3.0)),
    "frequency": (("Hz", 0.0), ("1/min", -3.0)),
    "count": (("1", 0.0),),
}
USUAL_SCORE, ODD_SLOPE, WORST = 0.7, 0.85, -3.0
FORBIDDEN = -99.0
TOO_ODD = -1.0
"""How odd a value must be in every unit to rule a setting out for a terse key, whose letters say too little."""
PRIOR = 0.45
"""How much it counts how likely a unit is before anything is known."""
TINY = 0.03
ODDLY_ROUND = 0.4
"""What it costs to read round numbers as parts of 255."""
YES_OR_NO = 0.5
"""What it costs to take a 0 or 1 for a number in a file that writes yes and no so."""
NAMED = 1.6
"""What it is worth that the head of the file names a unit."""
SETTLED = 0.7
"""What it costs to read a fraction of another setting where the like keys are known to have a unit that suits too."""
SHARE = 0.3
"""How plausible a percent is in the place of a value."""
SHARE_KINDS = frozenset(("speed", "acceleration", "length", "count", "temperature"))
NUMERIC = frozenset(USUAL)


@dataclass(frozen=True, slots=True)
class Reading:
    """One way to read the values: the unit's code, where it is from, and how plausible that is.

    source: "value", "beside", "key", "remark", "head", "range" or "" (kinds without a unit). `relation` as in learn/1.
    """

    score: float
    unit: str = ""
    source: str = ""
    relation: tuple[tuple[str, object], ...] = ()


def readings(
    item: Item, habit: Habit, head: dict[str, str], habits_of_kind: dict[tuple[str, str], float]
) -> list[Reading]:
    """All ways to read the item as the setting, the best first; [] if there is none."""
    setting = habit.setting
    kind = setting.kind
    shape = item.shape
    if setting.per_tool is False and item.separator and not item.part and shape == "number":
        return []
    if shape == "empty":
        return [Reading(-0.3)] if kind in ("text", "code") else []
    if kind == "outline":
        return [Reading(0.8, "mm", "range")] if shape == "outline" else []
    if shape == "outline":
        return []
    if kind == "code":
        return [Reading(0.6 + fits(setting.id, item.texts))] if shape == "code" else []
    if shape == "code":
        return []
    if kind == "flag":
        return _flag(item, setting.id)
    if kind == "choice":
        return _choice(item, setting.id, setting.choices)
    if kind == "text":
        return _text(item, setting.id)
    if shape != "number":
        return []
    return _numbers(item, habit, head, habits_of_kind)


def readable(
    item: Item,
    habit: Habit,
    head: dict[str, str],
    habits_of_kind: dict[tuple[str, str], float],
    least: float = FORBIDDEN,
) -> bool:
    """Whether there is any reading; the usual case is told without making them all.

    least: how odd the values may be in their best unit, where none is spelled.
    """
    kind = habit.setting.kind
    spelled = item.percents or item.explicit or item.hints or item.remark_hints or item.told
    if item.shape == "number" and kind in USUAL and not spelled:
        if habit.setting.per_tool is False and item.separator and not item.part:
            return False
        if any(_plausible(item, habit, code) + PRIOR * prior > least for code, prior in USUAL[kind]):
            return True
        if least > FORBIDDEN:
            return False
    return bool(readings(item, habit, head, habits_of_kind))


def _flag(item: Item, name: str) -> list[Reading]:
    relation = (("inverted", True),) if opposite(item, name) else ()
    if item.shape == "flag":
        return [Reading(0.4, relation=relation)]
    if (
        item.shape == "number"
        and not item.part
        and all(one.value in (0, 1) and not one.unit and "." not in one.text for one in item.numbers)
    ):
        return [Reading(0.75 if item.yes_or_no else 0.15, relation=relation)]
    return []


def _choice(item: Item, name: str, choices: tuple[str, ...]) -> list[Reading]:
    if item.shape in ("word", "text", "flag"):
        texts = list(dict.fromkeys(item.texts))[:12]
        if not texts:
            return []
        sure = sum(choice_of(text, choices)[1] for text in texts) / len(texts)
        if item.shape == "flag":
            return [Reading(0.1)] if name in PAIRS else [Reading(-0.5)] if name == "base.kind" and sure else []
        return [Reading(1.1 * sure - 0.25)]
    if (
        item.shape == "number"
        and not item.part
        and all(one.value == int(one.value) and 0 <= one.value < 20 and not one.unit for one in item.numbers)
    ):
        return [Reading(-0.5)]
    return []


def _text(item: Item, name: str) -> list[Reading]:
    colour = name == "feedstock.colour"
    if item.shape == "colour":
        return [Reading(0.8 if colour else -2.0)]
    if item.shape in ("word", "text"):
        return [Reading(0.1 if colour else 0.25)]
    return [Reading(-0.6)] if item.shape == "mark" and not colour else []


# ---- numbers


def _numbers(item: Item, habit: Habit, head: dict[str, str], learned: dict[tuple[str, str], float]) -> list[Reading]:
    setting = habit.setting
    kind = setting.kind
    spelled = item.explicit
    if item.percents and kind != "percent":
        if item.percents * 2 < len(item.numbers) or kind not in SHARE_KINDS or kind == "count":
            return []
        low, high = (80, 200) if setting.id.startswith("width.") else (1, 400)
        good = all(low <= one.value <= high for one in item.numbers if one.unit == "%")
        return [Reading(SHARE if good else -1.0, "%", "value", (("percent_of", base_of(setting.id)),))]
    if spelled:
        code = find_unit(spelled, kind) if kind != "count" else ""
        if kind == "count" or not code:
            return []
        source = "value" if any(one.unit for one in item.numbers) else "beside"
        worth = _plausible(item, habit, code)
        return [Reading(worth + 0.3, spelled, source, (("unit_from", "value"),))] if worth > FORBIDDEN else []
    for hints, source, worth in (
        ((item.hints, "key", 0.35), (item.remark_hints, "remark", 0.25)) if item.hints or item.remark_hints else ()
    ):
        codes = [code for code in hints if find_unit(code, kind) == code]
        if codes and not item.told and kind != "count":
            made = [
                Reading(score + worth, code, source)
                for code in codes
                if (score := _plausible(item, habit, code)) > FORBIDDEN
            ]
            if made:
                if source == "remark" and "deg" in codes and kind == "angle":
                    return made
                return sorted(made, key=lambda one: -one.score)
    if kind == "count" and any(code not in ("1", "%") for code in item.hints if len(code) > 1):
        return []
    made = []
    group = setting.id.partition(".")[0]
    named = head.get(f"{group}:{kind}", head.get(kind))
    usual = USUAL.get(kind, ())
    worth_of, best, habitual = _worths(kind, family(setting.id), named, learned)
    habitual = habitual or ((kind, "known") in learned and any(one.value for one in item.numbers))
    for code, _ in usual:
        score = _plausible(item, habit, code)
        if score == FORBIDDEN or (item.told and code != item.told):
            continue
        source = (
            "told"
            if item.told
            else ""
            if kind == "count"
            else "head"
            if named == code
            else "habit"
            if habitual
            else "range"
        )
        relation: tuple[tuple[str, object], ...] = ()
        if kind == "percent" and code != "%":
            relation = (("scale", "0..255"),) if code == "255" else (("fraction", True),)
        made.append(Reading(score + worth_of[code] - best, "1" if code == "255" else code, source, relation))
    if kind in ("speed", "acceleration") and base_of(setting.id) and not item.hints:
        values = [one.value for one in item.numbers]
        if all(0 < value <= 2 for value in values) and any(value != int(value) for value in values):
            share = (("percent_of", base_of(setting.id)), ("fraction", True))
            made.append(Reading(-SETTLED if habitual and made else 0.0, "1", "range", share))
    if item.hints and kind != "count" and not any(find_unit(code, kind) for code in item.hints):
        worse = 1.2 if any(len(code) > 1 or code == "%" for code in item.hints) else 0.9
        made = [Reading(one.score - worse, one.unit, one.source, one.relation) for one in made]
    if item.yes_or_no:
        made = [Reading(one.score - YES_OR_NO, one.unit, one.source, one.relation) for one in made]
    made.sort(key=lambda one: -one.score)
    return made


Worths = tuple[dict[str, float], float, bool]


def _worths(kind: str, group: str, named: str | None, learned: dict) -> Worths:
    """What is known of each unit of a kind, the best of that, and whether the group has a habit; kept in `learned`.

    Units are judged against each other: what is known of them must not make the kind itself likelier.
    """
    memo: Worths | None = learned.get(("\0", group, kind))
    if memo is None:
        near = f"{group}:{kind}"
        worth_of = {
            code: PRIOR * prior
            + learned.get((kind, code), 0.0)
            + learned.get((near, code), 0.0)
            + (NAMED if named == code else 0.0)
            for code, prior in USUAL.get(kind, ())
        }
        memo = learned["\0", group, kind] = worth_of, max(worth_of.values(), default=0.0), (near, "known") in learned
    return memo


def _plausible(item: Item, habit: Habit, code: str) -> float:
    """How plausible the values are in a unit; remembered, for it stays the same in all rounds."""
    memo = item.plausible.get((habit.setting.id, code))
    if memo is None:
        memo = item.plausible[habit.setting.id, code] = _judge(item, habit, code)
    return memo


def _judge(item: Item, habit: Habit, code: str) -> float:
    """The median plausibility of the values in a unit; FORBIDDEN where the schema has no place for them."""
    setting = habit.setting
    factor, offset = _scale(code, setting.kind, setting.unit)
    low, high = habit.least, habit.most
    usual_low, usual_high = habit.low, habit.high
    scores = []
    seen: set[float] = set()
    whole = setting.kind == "count"
    beyond = 0
    for one in item.numbers:
        if one.value in seen:
            continue
        seen.add(one.value)
        value = one.value * factor + offset
        if whole and value != int(value):
            return FORBIDDEN
        if not low <= value <= high * (1 + 1e-9):
            if one.value in (0, -1):
                scores.append(-0.5)
                continue
            beyond += 1
            scores.append(WORST)
            continue
        scores.append(_usual(value, usual_low, usual_high, one.value))
        if len(seen) >= 12:
            break
    if beyond and beyond * 2 >= len(scores):
        return FORBIDDEN
    if code in ("1", "255") and setting.kind == "percent":
        biggest = max((abs(one.value) for one in item.numbers), default=0)
        if code == "1" and biggest > 3:
            return FORBIDDEN
        if code == "255" and (not setting.id.startswith("fan.") or biggest <= 1):
            return FORBIDDEN
        if code == "255" and all(one.value % 5 == 0 for one in item.numbers) and biggest != 255:
            scores = [one - ODDLY_ROUND for one in scores]
    scores.sort()
    return scores[len(scores) // 2] if scores else FORBIDDEN


def _usual(value: float, low: float | None, high: float | None, raw: float) -> float:
    if low is None or high is None:
        return 0.0
    if low == 0 and 0 < value < high * TINY and value != int(value):
        return -0.4  # a fraction of a degree or of a percent looks like another unit
    if low <= value <= high:
        return USUAL_SCORE
    if raw == 0:
        return 0.15 if low > 0 else 0.4
    if value > high:
        far = log2(value / high) if high > 0 else log2(1 + (value - high) / max(high - low, 1e-9))
    elif value > 0 and low > 0:
        far = log2(low / value)
    else:
        far = log2(1 + (low - value) / max(high - low, 1e-9)) + 0.5
    return max(WORST, USUAL_SCORE - ODD_SLOPE * far - 0.15)


@lru_cache(maxsize=512)
def _scale(code: str, kind: str, target: str) -> tuple[float, float]:
    """Factor and offset from a unit to the schema's."""
    if kind == "percent":
        return {"%": (1.0, 0.0), "1": (100.0, 0.0), "255": (100 / 255, 0.0)}.get(code, (1.0, 0.0))
    if kind == "count":
        return 1.0, 0.0
    source, wanted = unit_of(code, kind), unit_of(target, kind)
    return float(source.factor / wanted.factor), float((source.offset - wanted.offset) / wanted.factor)


def size(item: Item, habit: Habit, reading: Reading) -> float:
    """The first value of an item in the schema's unit; 0 where it is none, or a percent of another setting."""
    if not item.numbers or not habit.setting.is_number or "percent_of" in dict(reading.relation):
        return 0.0
    code = "255" if "scale" in dict(reading.relation) else find_unit(reading.unit, habit.setting.kind) or reading.unit
    if not code:
        return item.numbers[0].value
    factor, offset = _scale(code, habit.setting.kind, habit.setting.unit)
    return item.numbers[0].value * factor + offset


def family(name: str) -> str:
    """The settings that customarily have one unit: of a group, and of the axes those of one sort.

    >>> family("speed.travel"), family("axis.x.max_jump")
    ('speed', 'axis.max_jump')
    """
    parts = name.split(".")
    return parts[0] if len(parts) == 2 else f"{parts[0]}.{parts[-1]}"


def base_of(name: str) -> str:
    """What a percent in the place of a value is usually of: the default of the family, else what it varies."""
    family = name.partition(".")[0]
    special = {
        "layer.first": "layer.height", "layer.min": "layer.height", "layer.max": "layer.height",
        "speed.small": "speed.outer_wall", "speed.interface": "speed.support", "retract.return_speed": "retract.speed",
        "speed.first_layer_area": "speed.first_layer", "speed.first_layer_travel": "speed.travel",
        "width.default": "nozzle.diameter", "support.gap_xy": "width.outer_wall",
    }  # fmt: skip
    if name in special:
        return special[name]
    if family == "width":
        return "nozzle.diameter"
    return f"{family}.default" if family in ("speed", "acceleration", "jump") else ""

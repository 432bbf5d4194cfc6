"""What is accepted, what is offered, what is left alone; and the evidence for it in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from math import exp
from typing import TYPE_CHECKING, Any

from convert.inference import bases, flags
from convert.inference.choices import choice_of, several
from convert.inference.habits import habits
from convert.inference.items import Item
from convert.inference.match import Matched, Pair
from convert.inference.words import strays
from convert.model.setting import SETTINGS

if TYPE_CHECKING:
    from convert.inference.learn import Learned

OTHERS = 5
UNIT_SURE = 0.95
"""Chance of the best unit from which a unit that is nowhere spelled is accepted."""
WORD_SURE = 0.6
"""How sure a choice word must be to go into a table."""
SPELLED = frozenset(("value", "beside", "key", "told"))
ZERO_SURE = 2.5
"""How far a unit must be before the next one where the values are all 0."""
COUNTED = frozenset(("support.tool",))
"""Settings that are a number of something, which some count from 0."""
REFERENCES = frozenset(("support.steepness", "overhang.steepness"))
TWINS = (
    frozenset(("axis.e.max_speed", "feed.max_speed")),
    frozenset(("axis.e.max_acceleration", "feed.max_acceleration", "limit.acceleration.pullback")),
    frozenset(("hotend.melt_rate", "feedstock.melt_rate", "speed.flow_cap")),
    frozenset(("limit.slowest.print", "cooling.slowest")),
    frozenset(("hotend.max_temperature", "feedstock.max_nozzle")),
)
"""Settings that mean nearly the same, for the machine or for the filament: a name seldom tells which."""
TWIN_MARGIN = 0.8
CLEAR_COMPANY = 0.4
"""Share of the company that must speak for the one and not for its twin."""
FLUENT = 0.4
"""Share of the terse keys that must be clear for any of them to be accepted: where few are, it may be chance."""
SAID = 0.5
"""How surely a word must say "inner" to tell one wall from the others."""
OVERRULED = 0.5
"""How much better another setting may suit a key alone, which the others leave no room for."""
CLOSE_CALL = 0.15
"""What the whole must lose without a pair, whatever its confidence: small samples have few keys to contradict it."""


@dataclass(slots=True)
class Record:
    """What was found out about one key, or one part of it (learn/1)."""

    file: str
    path: tuple[str, ...]
    key: str
    setting: str | None
    unit: str | None
    relation: dict[str, Any] | None
    confidence: float
    decision: str
    evidence: list[str]
    others: list[dict[str, Any]]
    item: Item = field(repr=False)
    pair: Pair | None = field(default=None, repr=False)
    why: str = ""

    def document(self) -> dict[str, Any]:
        return {
            "file": self.file,
            "path": list(self.path),
            "key": self.key,
            "setting": self.setting,
            "unit": self.unit,
            "relation": self.relation,
            "confidence": round(self.confidence, 3),
            "decision": self.decision,
            "evidence": self.evidence,
            "others": self.others,
        }


@dataclass(frozen=True, slots=True)
class Taken:
    """What is clear by itself: the pair of each setting, the number of tools (0: unknown), whether terse keys are."""

    pairs: Mapping[str, Pair]
    tools: int
    fluent: bool


def decide(made: Learned, answers: Mapping[str, str]) -> list[Record]:
    """A record for each item in each file that has it, in the order of the files."""
    found: list[tuple[int, int, Record]] = []
    taken = _taken(made)
    books = [_book(made, key) for key in made.structure.keys if key.kind.startswith("\0")]
    for one in made.matched:
        record = _record(made, one, answers, taken)
        files: set[int] = set()
        for file, entry in one.item.key.entries:
            if file in files:
                continue
            files.add(file)
            tree = made.structure.trees[file]
            copy = Record(
                tree.source.path, tree.rows[entry][0], record.key, record.setting, record.unit, record.relation,
                record.confidence, record.decision, record.evidence, record.others, record.item,
                record.pair, record.why,
            )  # fmt: skip
            found.append((file, entry, copy))
    found += [one for listed in books for one in listed]
    found.sort(key=lambda one: one[:2])
    return [record for _, _, record in found]


def _book(made: Learned, key: Any) -> list[tuple[int, int, Record]]:
    what = key.kind[1:]
    why = f"says the {what} of the profile" if what else "lies outside the profiles"
    listed, files = [], set()
    for file, entry in key.entries:
        if file not in files:
            files.add(file)
            tree = made.structure.trees[file]
            item = Item(key)
            record = Record(
                tree.source.path,
                tree.rows[entry][0],
                key.name,
                None,
                None,
                None,
                1.0,
                "ignored",
                [why],
                [],
                item,
                None,
                why,
            )
            listed.append((file, entry, record))
    return listed


def _record(made: Learned, one: Matched, answers: Mapping[str, str], taken: Taken) -> Record:
    item, pair = one.item, one.pair
    others = [_other(other, one) for other in one.others[:OTHERS]]
    if pair is None:
        why = _why_none(item, one)
        decision = (
            "offered" if others and one.others[0].total > one.none - 0.6 and not why.startswith("book") else "ignored"
        )
        sure = 1 / (1 + exp(min(30.0, 3 * ((one.others[0].total if one.others else -2) - one.none))))
        return Record("", (), item.key.name, None, None, None, sure, decision, [why], others, item, None, why)
    unit, relation = written(made, item, pair)
    if pair.setting in COUNTED and first_number(item, taken.tools) == 0:
        relation = {**(relation or {}), "from": 0}
    doubt = _doubt(item, pair, one.others, taken)
    chance = unit_chance(pair)
    accepted = pair.confidence >= made.accept and not doubt
    if item.key.label in answers and not item.parts:
        accepted = answers[item.key.label] == pair.setting and not (doubt and doubt.startswith("unit"))
    evidence = _evidence(item, pair)
    if doubt:
        evidence.append(doubt)
    confidence = min(pair.confidence, chance) if doubt.startswith("unit") else pair.confidence
    weak = pair.confidence < 0.06
    decision = "accepted" if accepted else "ignored" if weak else "offered"
    return Record(
        "", (), item.key.name, None if decision == "ignored" else pair.setting, None if decision == "ignored" else unit,
        None if decision == "ignored" else relation, confidence, decision, evidence, others, item, pair, doubt,
    )  # fmt: skip


def _other(other: Pair, one: Matched) -> dict[str, Any]:
    best = other.readings[0]
    return {"setting": other.setting, "unit": best.unit or None, "score": round(other.total, 2)}


def unit_chance(pair: Pair) -> float:
    """The chance of the best unit among all that are plausible."""
    best = pair.readings[0]
    if best.source in SPELLED or not best.unit:
        return 1.0
    total = sum(
        exp(2.2 * (one.score - best.score))
        for one in pair.readings
        if (one.unit, one.relation) != (best.unit, best.relation)
    )
    return 1 / (1 + total)


def _doubt(item: Item, pair: Pair, others: Sequence[Pair], taken: Taken) -> str:
    """Why a pair is not accepted although it may be likely; "" if there is no such reason."""
    setting = SETTINGS[pair.setting]
    best = pair.readings[0]
    relation = dict(best.relation)
    if "percent_of" in relation:
        if pair.known >= 1 or bases.settled(pair.setting, str(relation["percent_of"]), taken.pairs):
            return ""
        return f"base not told: a percent of {relation['percent_of']}, as is usual"
    zero = item.numbers and not any(one.value for one in item.numbers) and pair.known < 1
    if (
        zero
        and len(pair.readings) > 1
        and best.unit
        and best.source in ("range", "habit")
        and (best.source == "range" or pair.unit_margin < ZERO_SURE)
    ):
        return f"unit open: 0 says nothing, {_spell(best)} or {_spell(pair.readings[1])}"
    if unit_chance(pair) < UNIT_SURE:
        next_best = next(one for one in pair.readings[1:] if (one.unit, one.relation) != (best.unit, best.relation))
        return f"unit open: {_spell(best)} or {_spell(next_best)}"
    if pair.setting in REFERENCES and pair.known < 1:
        said = " ".join(word.text for word in item.words)
        if not any(word in said for word in ("vertical", "upright", "vertikal", "senkrecht", "steil")):
            return "reference open: from the vertical, or from the plate"
    twins = next((group for group in TWINS if pair.setting in group), frozenset())
    near = [one.setting for one in others if one.setting in twins and pair.total - one.total < _margin(pair, one)]
    better = [one.setting for one in others if one.setting in twins and one.total > pair.total]
    rival = next((name for name in near if name in better or name not in taken.pairs), "")
    if rival and pair.known < 1:
        return f"may be {rival} as well"
    if pair.setting in COUNTED and pair.known < 1 and first_number(item, taken.tools) is None:
        return "count open: the first tool may be 0 or 1"
    if pair.loss < CLOSE_CALL and others and pair.known < 1:
        return f"a close call: {others[0].setting} fits nearly as well"
    guess = _guessed(item, pair, taken)
    if guess and pair.known < 1:
        return guess
    if others and others[0].total > pair.total + OVERRULED and not item.part and pair.known < 1:
        return f"by itself it would rather be {others[0].setting}"
    if setting.kind == "flag" and flags.opposite(item, pair.setting) is None:
        return "may ask the opposite"
    if setting.kind == "choice":
        if item.shape == "flag" and flags.choices(item, pair.setting) is not None:
            return ""
        texts = item.texts or [one.text for one in item.numbers]
        if any(several(text, setting.choices) for text in texts):
            return "several words in one value"
        if not any(choice_of(text, setting.choices)[1] >= WORD_SURE for text in texts):
            return "words not understood: " + ", ".join(dict.fromkeys(texts))[:80]
    return ""


def _guessed(item: Item, pair: Pair, taken: Taken) -> str:
    """What a name leaves open; "" for nothing. A terse key leaves out too much to tell what it need not say."""
    if item.pieces is not None:
        return "" if taken.fluent else "too few of the terse keys are understood: this may be chance"
    habit = habits()[pair.setting]
    if "general" in habit.allows and strays(item, habit):
        return "a word not understood may say what of"
    family, _, feature = pair.setting.partition(".")
    said = max((strength for strength, _ in item.covers.get("inner", ())), default=0.0) >= SAID
    if feature == "inner_wall" and not said and f"{family}.outer_wall" not in taken.pairs:
        return "may be of all walls, or of the outer one"
    return ""


def _margin(pair: Pair, rival: Pair) -> float:
    """How far a pair must be before its twin: less where the company is clear, such as that of the other axes."""
    return TWIN_MARGIN if pair.context - rival.context < CLEAR_COMPANY else TWIN_MARGIN / 3


def _taken(made: Learned) -> Taken:
    clear = [one for one in made.matched if one.pair is not None and one.pair.confidence >= made.accept]
    pairs = {one.pair.setting: one.pair for one in clear if one.pair is not None}
    said = [
        int(number.value)
        for one in clear
        if one.pair is not None and one.pair.setting == "tool.count"
        for number in one.item.numbers
    ]
    listed = [
        len(value) if isinstance(value, tuple) else value.count(one.item.separator) + 1
        for one in clear
        if one.item.shape == "number" and one.item.separator and not one.item.part
        for value in one.item.key.values
    ]
    lettered = [one for one in made.matched if one.item.letters]
    read = sum(one.pair is not None and one.pair.confidence >= made.accept for one in lettered)
    return Taken(pairs, max(said or listed, default=0), read >= FLUENT * len(lettered))


def first_number(item: Item, tools: int) -> int | None:
    """What the file calls the first of so many tools: 1 where a number is that of the last, 0 where all below it occur.

    None where that is open, or where nobody says how many tools there are (0).
    """
    said = {int(one.value) for one in item.numbers}
    if not tools or not said:
        return None
    if max(said) == tools and min(said) >= 1:
        return 1
    return 0 if tools > 1 and said == set(range(tools)) else None


def _spell(reading: Any) -> str:
    relation = dict(reading.relation)
    return "0..255" if "scale" in relation else "0..1" if "fraction" in relation else reading.unit


def written(made: Learned, item: Item, pair: Pair) -> tuple[str | None, dict[str, Any] | None]:
    """The unit as written in the file and the relation, as learn/1 has them."""
    setting = SETTINGS[pair.setting]
    best = pair.readings[0]
    relation: dict[str, Any] = dict(best.relation)
    if item.separator and not item.part:
        relation["list"] = "," if item.separator == "array" else item.separator
    if item.part:
        relation.update(compound=item.template, part=item.part)
    if setting.kind == "code":
        relation.pop("list", None)
        if made.placeholder[0]:
            relation["placeholder"] = " ".join(made.placeholder)
    unit = best.unit if setting.is_number and setting.kind != "count" else None
    return unit or None, relation or None


def _why_none(item: Item, one: Matched) -> str:
    if any(word.meaning.get("bookkeeping", 0) >= 0.5 for word in item.words):
        return "bookkeeping of the program, by its words"
    if item.shape == "mark":
        return "a date, a version or a file name"
    return "no setting fits its words and values" if not one.others else "no setting fits well enough"


def _evidence(item: Item, pair: Pair) -> list[str]:
    """In words."""
    habit = habits()[pair.setting]
    concepts = {concept for needs, _ in habit.says for concept in needs}
    words = []
    for word in item.words:
        best = max(word.meaning, key=lambda concept: word.meaning[concept] if concept in concepts else 0.0, default="")
        if best in concepts and word.meaning[best] >= 0.3 and not word.unit:
            words.append(word.text if best == word.text else f"{word.text} ({best.replace('_', ' ')})")
    found = []
    if words:
        found.append("words: " + ", ".join(dict.fromkeys(words)))
    reading = pair.readings[0]
    if reading.unit and habit.setting.is_number:
        where = {
            "value": "stands with the value", "beside": "stands beside the value", "key": "stands in the key",
            "remark": "stands in a remark", "told": "was told", "head": "is named at the head of the file",
            "habit": "fits these and the like values", "range": "fits the values best",
        }.get(reading.source, "")  # fmt: skip
        if where:
            found.append(f"unit: {_spell(reading)} {where}")
    if habit.setting.is_number and pair.value >= 0.6:
        found.append("values: in the usual range")
    elif habit.setting.is_number and pair.value < -0.3:
        found.append("values: unusual")
    if pair.known > 0.3:
        found.append("profile: the values agree")
    elif pair.known < -0.3:
        found.append("profile: the values differ")
    if pair.context >= 0.4:
        found.append(f"neighbours: {pair.setting.partition('.')[0]}")
    return found

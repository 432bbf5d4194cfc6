"""What to ask the person, the most informative first; and which one setting to change and export again."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from convert.inference.decide import Record
from convert.inference.learn import Learned
from convert.inference.vocabulary import vocabulary

CHOICES = 5


@dataclass(frozen=True, slots=True)
class Question:
    """A doubtful key: its label, its values, and the settings to choose from, the likeliest first."""

    label: str
    values: tuple[str, ...]
    choices: tuple[str, ...]
    record: Record
    worth: float


def questions(made: Learned, answers: Mapping[str, str] = {}) -> list[Question]:
    """The keys that are offered, those whose answer tells most about others first."""
    known = vocabulary()
    shared: Counter[str] = Counter()
    for one in made.matched:
        for word in {word.text for word in one.item.words if word.own}:
            shared[word] += not known.knows(word)
    rivals: Counter[str] = Counter()
    for record in made.records:
        if record.decision == "offered" and record.setting:
            rivals[record.setting] += 1
            for other in record.others[:2]:
                rivals[str(other["setting"])] += 1
    found: dict[str, Question] = {}
    for record in made.records:
        item = record.item
        label = item.key.label
        if record.decision != "offered" or label in answers or label in found or item.parts:
            continue
        choices = ([record.setting] if record.setting else []) + [str(other["setting"]) for other in record.others]
        if not choices:
            continue
        worth = 1 - abs(record.confidence - 0.5)
        worth += 0.5 * max((shared[word.text] for word in item.words if word.own), default=0)
        worth += 0.2 * max((rivals[name] for name in choices[:2]), default=0)
        values = tuple(dict.fromkeys(str(value)[:40] for value in item.key.values[:6]))[:3]
        found[label] = Question(label, values, tuple(choices[:CHOICES]), record, worth)
    return sorted(found.values(), key=lambda question: (-question.worth, question.label))

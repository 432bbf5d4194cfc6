"""Learning a dialect from samples: structure, meaning, decisions, and the draft of its name table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.errors import InputError, Location
from convert.inference.decide import Record, decide
from convert.inference.habits import habits
from convert.inference.heads import letters_of_head, units_of_head
from convert.inference.items import Item, items_of
from convert.inference.known import Known
from convert.inference.match import Matched, Matcher
from convert.inference.naming import GROUP, Word
from convert.inference.samples import flag_words
from convert.inference.structure import SCOPE_CONCEPTS, Structure, infer
from convert.model.value import Value
from convert.text.source import Source

MOST_KEYS = 3000
"""Programs have some hundreds of settings; more keys than this are another kind of file."""
ACCEPT = 0.9
"""Confidence from which a key is accepted without a question."""
LEAST_VOTES = 1.5


@dataclass(slots=True)
class Learned:
    """What samples taught: the structure, a record for each item, and what was matched."""

    structure: Structure
    records: list[Record]
    matched: list[Matched]
    accept: float = ACCEPT
    flags: dict[str, bool] = field(default_factory=dict)
    placeholder: tuple[str, str] = ("", "")

    def counts(self) -> Counter[str]:
        """How many records were decided how."""
        return Counter(record.decision for record in self.records)


def learn(
    sources: Sequence[Source],
    known: Sequence[Mapping[str, Value]] = (),
    accept: float = ACCEPT,
    answers: Mapping[str, str] = {},
    units: Mapping[str, str] = {},
) -> Learned:
    """Learn the dialect that the samples are written in.

    known: profiles whose values the samples should say. accept: confidence (0 to 1) from which a key is accepted.
    answers: label of a key -> setting, "" for none, as a person said. Raises InputError for samples that are empty,
    binary or of no known syntax. units: label of a key -> code of its unit, where that is known.
    """
    structure = infer(sources)
    if len(structure.keys) > MOST_KEYS:
        says = f"{len(structure.keys)} different keys are more than the {MOST_KEYS} that are learned at once"
        raise InputError(says, Location(sources[0].path), "give one export of one setup")
    items = items_of(structure.keys, structure.decimal)
    flags = _flags(items)
    if structure.syntax not in ("json", "toml"):
        _flags_of_digits(items, flags)
    _scope(items, structure)
    for item in items:
        item.told = units.get(item.key.label, "")
    letters = letters_of_head(structure.head)
    for item in items:
        for word in item.words:
            if word.text in letters and word.own:
                word.meaning = {**word.meaning, **letters[word.text]}
    head = units_of_head(structure.head)
    profile = Known(known) if known else None
    matched = Matcher(items, head, profile, answers).run()
    if _vote_scopes(structure, matched):
        _scope(items, structure)
        matched = Matcher(items, head, profile, answers).run()
    opened = placeholders(items)
    made = Learned(structure, [], matched, accept, flags, opened)
    made.records = decide(made, answers)
    return made


def _scope(items: Sequence[Item], structure: Structure) -> None:
    """A profile of one scope says so for all its keys."""
    for item in items:
        scope = structure.scopes.get(item.key.kind, "")
        if scope and not item.scope:
            concept = next(concept for concept, known in SCOPE_CONCEPTS.items() if known == scope)
            item.words.append(Word(f"({scope})", {concept: 1.0}, GROUP, False))
        item.scope = scope


def _flags(items: Sequence[Item]) -> dict[str, bool]:
    return flag_words([text for item in items if item.shape == "flag" for text in item.texts])


def _flags_of_digits(items: Sequence[Item], flags: dict[str, bool]) -> None:
    """Without flag words in the file, 0 and 1 are the flags."""
    if not flags:
        flags.update({"1": True, "0": False})


def _vote_scopes(structure: Structure, matched: Sequence[Matched]) -> bool:
    """Give kinds of profiles whose word says nothing the scope that most of their keys belong to."""
    open_kinds = [kind for kind, scope in structure.scopes.items() if not scope]
    if not open_kinds:
        return False
    votes: dict[str, dict[str, float]] = {kind: {} for kind in open_kinds}
    for one in matched:
        if one.pair is not None and one.item.key.kind in votes:
            scope = habits()[one.pair.setting].setting.scope
            mine = votes[one.item.key.kind]
            mine[scope] = mine.get(scope, 0.0) + one.pair.confidence
    taken = {scope for scope in structure.scopes.values() if scope}
    for kind in sorted(open_kinds, key=lambda kind: -max(votes[kind].values(), default=0)):
        for scope, weight in sorted(votes[kind].items(), key=lambda vote: -vote[1]):
            if scope not in taken and weight >= LEAST_VOTES:
                structure.scopes[kind] = scope
                taken.add(scope)
                break
    return True


def placeholders(items: Sequence[Item]) -> tuple[str, str]:
    """The marks around keys of the file inside its command code; ("", "") if there are none."""
    import re

    names = {item.key.name for item in items} | {".".join((*item.key.path, item.key.name)) for item in items}
    marks: Counter[tuple[str, str]] = Counter()
    for item in items:
        if item.shape != "code":
            continue
        for text in item.texts:
            for found in re.finditer(r"([^\w\s;.\-\\]{1,3})([A-Za-z_][\w .\-/]*?)([^\w\s;.\-/\\]{1,3})", text):
                if found.group(2) in names:
                    marks[found.group(1), found.group(3)] += 1
    return marks.most_common(1)[0][0] if marks else ("", "")


def document(made: Learned, table: str) -> dict[str, Any]:
    """The learn/1 result."""
    return {
        "beadwise": "learn/1",
        "keys": [record.document() for record in made.records],
        "structure": structure_document(made),
        "table": table,
    }


def structure_document(made: Learned) -> dict[str, Any]:
    """What was found out about the structure."""
    structure = made.structure
    layout = structure.layout
    return {
        "syntax": structure.syntax,
        "options": structure.text,
        "files": [tree.source.path for tree in structure.trees],
        "profile": layout.get("profile", "file"),
        "group": layout.get("group") or None,
        "scopes": {scope: word for word, scope in structure.scopes.items() if scope},
        "parent": layout.get("parent") or None,
        "decimal": structure.decimal,
        "flags": made.flags,
        "placeholder": list(made.placeholder) if made.placeholder[0] else None,
        "profiles": structure.profiles,
    }

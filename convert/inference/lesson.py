"""A whole lesson: samples in, table and records out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from convert.errors import UsageError
from convert.inference.changed import moved
from convert.inference.draft import Draft, draft
from convert.inference.learn import Learned, document, learn
from convert.inference.questions import Question, questions
from convert.model.phrase import parse_phrase
from convert.model.setting import setting as find_setting
from convert.model.value import Value
from convert.text.source import Source


@dataclass(slots=True)
class Lesson:
    """What was learned, and its table. `table` is the text; `draft.table` the table itself, None if it has no row."""

    learned: Learned
    draft: Draft
    answers: dict[str, str]

    @property
    def table(self) -> str:
        """The text of the name table."""
        return self.draft.text

    def document(self) -> dict[str, Any]:
        """The learn/1 result."""
        return document(self.learned, self.table)

    def questions(self) -> list[Question]:
        """What to ask, the most informative first."""
        return questions(self.learned, self.answers)

    def advice(self) -> str:
        """Which one setting to change and export again to learn most."""
        asked = self.questions()
        if not asked:
            return "nothing is open"
        one = asked[0]
        return (
            f"{len(asked)} keys are open; to learn most, change {one.choices[0]} in your program, export again and "
            f"give both files with --changed {one.choices[0]}=VALUE, or answer with --ask"
        )


def study(
    sources: Sequence[Source],
    name: str,
    known: Sequence[Mapping[str, Value]] = (),
    changed: str | None = None,
    accept: float = 0.9,
    answers: Mapping[str, str] = {},
) -> Lesson:
    """Learn from sources and draft the table called `name`."""
    told = {label: said.partition(" ")[0] for label, said in answers.items()}
    units = {label: said.partition(" ")[2] for label, said in answers.items() if " " in said}
    if changed is not None:
        left, sign, right = changed.partition("=")
        if not sign or len(sources) != 2:
            raise UsageError(
                f"{changed!r} is no change", hint="write SETTING=VALUE, with two samples: before and after"
            )
        setting = find_setting(left.strip())
        label, unit = moved(sources[0], sources[1], setting.id, parse_phrase(right.strip(), setting))
        told[label] = setting.id
        if unit:
            units[label] = unit
    made = learn(sources, known, accept, told, units)
    return Lesson(made, draft(made, name), told)

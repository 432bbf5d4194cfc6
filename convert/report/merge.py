"""What a three-way merge did: the settings and keys that somebody changed, where the changes clash; and merge/1."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from convert.changes.compare import TWINS
from convert.changes.figures import Figure
from convert.changes.merge import Decision, Interaction, effects, meaning
from convert.changes.words import from_to, span
from convert.model.codec import value_to_json
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.report.grid import WIDTH, Paint, count, grid, paragraph, plain
from convert.report.values import spoken
from convert.report.visible import shorten, visible
from convert.rules.derived import QUANTITIES

SHOWN = 30
"""Clean edits that the table lists of each side; JSON has all."""


@dataclass(frozen=True, slots=True)
class KeyMerge:
    """A key that no table names, in one file: its texts, None where it is not there."""

    path: tuple[str, ...]
    key: str
    take: str
    base: str | None
    ours: str | None
    theirs: str | None


@dataclass(slots=True)
class ProfileMerge:
    """One profile of OURS: what was decided, and what its dialect cannot say (setting -> why). `around` is all that is
    known about the base, for the effects of edits; `derived` are counts in it that nobody stated.
    """

    name: str
    scopes: tuple[str, ...]
    decisions: list[Decision] = field(default_factory=list)
    refused: dict[str, str] = field(default_factory=dict)
    around: Mapping[str, Value] = field(default_factory=dict)
    derived: frozenset[str] = frozenset()

    def around_of(self, setting: str) -> Mapping[str, Value]:
        """What is known around an edit of a setting; a count that follows from it is not."""
        twin = TWINS.get(setting)
        return {k: v for k, v in self.around.items() if k != twin} if twin in self.derived else self.around

    def clashes(self) -> list[Decision]:
        """Conflicts, and changes of THEIRS that could not be taken over."""
        return [one for one in self.decisions if one.take == "conflict" or one.setting in self.refused]


@dataclass(slots=True)
class Merge:
    """The whole result. `lost` are sentences about profiles that could not be merged."""

    profiles: list[ProfileMerge] = field(default_factory=list)
    keys: list[KeyMerge] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    interactions: list[Interaction] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    written: list[str] = field(default_factory=list)

    @property
    def clean(self) -> bool:
        """Whether nobody needs to look at it."""
        return not (self.lost or self.interactions or self._clashes())

    def _clashes(self) -> int:
        keys = sum(one.take == "conflict" for one in self.keys)
        return keys + sum(len(one.clashes()) for one in self.profiles)

    def takes(self, take: str) -> int:
        """How many settings and keys were decided so."""
        settings = sum(d.take == take and d.setting not in p.refused for p in self.profiles for d in p.decisions)
        return settings + sum(one.take == take for one in self.keys)

    def verdict(self) -> str:
        """One line."""
        parts = [
            f"{self.takes('theirs')} taken from THEIRS",
            f"{self.takes('ours')} kept from OURS",
            f"{self.takes('both')} changed alike",
        ]
        clashes = self._clashes() + len(self.lost)
        if clashes:
            parts.append(count(clashes, "conflict"))
        if self.interactions:
            parts.append(f"{count(len(self.interactions), 'limit')} broken by both together")
        return f"{'merged' if self.clean else 'NOT CLEAN'}: {', '.join(parts)}"


# ---- for people


def table(merge: Merge, path: str, *, width: int = WIDTH, paint: Paint = plain, brief: bool = False) -> str:
    """The result, conflicts last, where they are seen. `brief` leaves clean edits out. `path` is the merged file."""
    blocks: list[str] = []
    several = len(merge.profiles) > 1
    if not brief:
        for take, head in (("theirs", "taken from THEIRS"), ("ours", "kept from OURS"), ("both", "changed alike")):
            rows = list(_rows(merge, take, several))
            if rows:
                more = [f"  ... and {len(rows) - SHOWN} more"] if len(rows) > SHOWN else []
                blocks.append("\n".join([paint(head, "head"), grid(rows[:SHOWN], width=width, indent=2), *more]))
    for profile in merge.profiles:
        blocks += [_clash(one, profile, path, several, width, paint) for one in profile.clashes()]
    for key in merge.keys:
        if key.take == "conflict":
            rows = [["base", _text(key.base)], ["OURS, kept", _text(key.ours)], ["THEIRS", _text(key.theirs)]]
            name = visible("/".join((*key.path, key.key)))
            blocks.append(f"{paint('conflict', 'bad')}  {name}\n{grid(rows, width=width, indent=2, whole=[0])}")
    for says in merge.lost:
        blocks.append(paragraph(f"conflict  {visible(says)}", width=width, hang=2))
    blocks += [_interaction(one, width, paint) for one in merge.interactions]
    blocks += [paragraph(f"note: {visible(note)}", width=width, hang=2) for note in merge.notes]
    return "\n".join([*blocks, paint(merge.verdict(), "good" if merge.clean else "bad")])


def _rows(merge: Merge, take: str, several: bool) -> Iterator[list[str]]:
    for profile in merge.profiles:
        for one in profile.decisions:
            if one.take == take and one.setting not in profile.refused:
                after = one.theirs if take == "theirs" else one.ours
                name = [visible(profile.name)] if several else []
                yield [*name, one.setting, said(one.base, one.setting), "->", said(after, one.setting)]
    for key in merge.keys:
        if key.take == take:
            name = [""] if several else []
            after_text = key.theirs if take == "theirs" else key.ours
            yield [*name, visible("/".join((*key.path, key.key))), _text(key.base), "->", _text(after_text)]


def said(value: Value | None, name: str) -> str:
    """A value in words, in one line."""
    return "not stated" if value is None else shorten(spoken(value, name))


def _text(text: str | None) -> str:
    return "not there" if text is None else shorten(text)


def _clash(one: Decision, profile: ProfileMerge, path: str, several: bool, width: int, paint: Paint) -> str:
    where = f"  [{visible(profile.name)}]" if several else ""
    lines = [f"{paint('conflict', 'bad')}  {one.setting}{where}"]
    rows = [
        ["base", said(one.base, one.setting), ""],
        ["OURS, kept", said(one.ours, one.setting), _effects(one, one.ours, profile)],
        ["THEIRS", said(one.theirs, one.setting), _effects(one, one.theirs, profile)],
    ]
    lines.append(grid(rows, width=width, indent=2, whole=[0]))
    if one.setting in profile.refused:
        lines.append(paragraph(visible(profile.refused[one.setting]), width=width, indent=2))
    elif SETTINGS[one.setting].kind != "code":
        from convert.model.phrase import spell_phrase

        phrase = "" if one.theirs is None else spell_phrase(one.theirs, SETTINGS[one.setting])
        only = f" --profile {_quoted(profile.name)}" if several else ""
        command = f'beadwise set "{one.setting}={phrase}"{only} {_quoted(path)}'
        lines.append(f"  to take THEIRS: {visible(command)}")
    return "\n".join(lines)


def _quoted(text: str) -> str:
    """A word as a shell takes it."""
    if any(char in text for char in '"\\$`'):
        from shlex import quote

        return quote(text)
    return f'"{text}"'


def _effects(one: Decision, value: Value | None, profile: ProfileMerge) -> str:
    around = profile.around_of(one.setting)
    says = visible(meaning(around, one.setting, value))
    return says or "; ".join(figure(found) for found in effects(around, one.setting, value))


def figure(one: Figure) -> str:
    """A figure before and after, in words.

    >>> figure(Figure("wall_stack", None, 1.264, 0.857, "mm"))
    'thickness of the walls 1.26 -> 0.86 mm'
    """
    about = QUANTITIES[one.quantity].meaning
    feature = f" ({one.feature})" if one.feature else ""
    if one.before is None or one.after is None:
        return f"{about}{feature}"
    step = span(one.before, one.after) if one.unit == "s" else from_to(one.before, one.after, one.unit)
    return f"{about}{feature} {step}"


def _interaction(one: Interaction, width: int, paint: Paint) -> str:
    finding = one.finding
    head = f"{finding.signal}: {finding.severity}" if finding.signal else finding.severity
    lines = [f"{paint(head, 'bad')}  {finding.rule}  (in neither side, only in both together)"]
    lines.append(paragraph(visible(finding.says), width=width, indent=2))
    if finding.signal:
        from convert.rules.finding import DEFERENCE

        lines.append(paragraph(visible(f"{finding.precaution} {DEFERENCE}"), width=width, indent=2))
    for side, edits in (("OURS", one.ours), ("THEIRS", one.theirs)):
        if edits:
            lines.append(paragraph(f"{side} changed {', '.join(edits)}", width=width, indent=2))
    return "\n".join(lines)


# ---- merge/1


def document(merge: Merge, files: Mapping[str, Sequence[str]]) -> dict[str, Any]:
    """The merge/1 result. `files` are the paths of base, ours and theirs."""
    return {
        "beadwise": "merge/1",
        "files": {side: list(paths) for side, paths in files.items()},
        "clean": merge.clean,
        "merged": [
            {"profile": profile.name, **_values(one), "take": one.take}
            for profile in merge.profiles
            for one in profile.decisions
            if one not in profile.clashes()
        ],
        "conflicts": [_conflict(one, profile) for profile in merge.profiles for one in profile.clashes()],
        "keys": [
            {
                "path": list(one.path),
                "key": one.key,
                "take": one.take,
                "base": one.base,
                "ours": one.ours,
                "theirs": one.theirs,
            }
            for one in merge.keys
        ],
        "lost": list(merge.lost),
        "interactions": [
            {
                "rule": one.finding.rule,
                "severity": one.finding.severity,
                "signal": one.finding.signal,
                "settings": list(one.finding.settings),
                "says": one.finding.says,
                "value": one.finding.value,
                "limit": one.finding.limit,
                "unit": one.finding.unit,
                "ours": list(one.ours),
                "theirs": list(one.theirs),
            }
            for one in merge.interactions
        ],
        "notes": list(merge.notes),
        "written": list(merge.written),
        "verdict": merge.verdict(),
    }


def _values(one: Decision) -> dict[str, Any]:
    def json(value: Value | None) -> dict[str, Any] | None:
        return None if value is None else value_to_json(value, SETTINGS[one.setting])

    return {"setting": one.setting, "base": json(one.base), "ours": json(one.ours), "theirs": json(one.theirs)}


def _conflict(one: Decision, profile: ProfileMerge) -> dict[str, Any]:
    around = profile.around_of(one.setting)

    def moved(value: Value | None) -> list[dict[str, Any]]:
        return [
            {"quantity": f.quantity, "feature": f.feature, "before": f.before, "after": f.after, "unit": f.unit}
            for f in effects(around, one.setting, value)
        ]

    return {
        "profile": profile.name,
        **_values(one),
        "effects_ours": moved(one.ours),
        "effects_theirs": moved(one.theirs),
        "meaning_ours": meaning(around, one.setting, one.ours),
        "meaning_theirs": meaning(around, one.setting, one.theirs),
        "says": profile.refused.get(one.setting, "both sides changed it, differently"),
    }

"""Sentences on command code: what it no longer does, what it does now, and what state it leaves the machine in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from difflib import SequenceMatcher

from convert.changes.figures import View
from convert.changes.groups import Group
from convert.changes.says import Said
from convert.model.setting import SETTINGS
from convert.model.value import Value
from convert.program import Run, Step, final_state
from convert.rules.observed import SECTIONS, run_of
from convert.rules.setup import Setup, once
from convert.rules.words import num

NAMES = {
    "code.start": "start code",
    "code.end": "end code",
    "code.layer_opening": "code at the begin of a layer",
    "code.layer_closing": "code at the end of a layer",
    "code.tool_change": "code at a tool change",
    "code.pause": "code at a pause",
    "code.next_part": "code before the next part",
    "code.path_kind": "code between kinds of path",
    "code.feedstock_start": "start code of the filament",
    "code.feedstock_end": "end code of the filament",
}
SHOWN = 3
"""Steps that a sentence lists."""
MOST_STEPS = 2000
"""Longer code is compared by what stands before and after the first and last difference."""


def code(view: View, group: Group) -> Said | None:
    """One piece of code, run on both sides with the new side's values."""
    name = group.own[0].setting
    old, new = _runs(view.new, view.old)
    if old is None or new is None:
        return Said((f"The {NAMES[name]} is {'gone' if new is None else 'new'}",))
    clauses = _states(old, new)
    gone, come = _difference(_steps(old, name), _steps(new, name))
    lone = group.own[0].kind
    if lone != "changed" and (steps := come if lone == "added" else gone):
        what = f"the {NAMES[name]} is new: it" if lone == "added" else f"the {NAMES[name]} is gone: it no longer"
        gone, come = [], []
        clauses.append(f"{what} {_listed(steps)}")
    if gone:
        clauses.append(f"the {NAMES[name]} no longer {_listed(gone)}")
    if come:
        clauses.append(f"{'it' if gone else f'the {NAMES[name]}'} now {_listed(come)}")
    if not clauses:
        return None
    return Said((clauses[0][:1].upper() + clauses[0][1:], *clauses[1:]))


@once
def _runs(new: Setup, old: Setup) -> tuple[Run | None, Run | None]:
    """The code of both sides, run with the values of the new one."""
    rest = {key: value for key, value in new.values.items() if key not in SECTIONS}
    before, after = (run_of(Setup({**rest, **_code(side.values)})) for side in (old, new))
    return before, after


def _code(values: Mapping[str, Value]) -> dict[str, Value]:
    return {name: text for name in SECTIONS if isinstance(text := values.get(name), str)}


def _steps(found: Run, name: str) -> list[Step]:
    return [step for step in found.steps if step.section == name and step.effect]


def _difference(old: Sequence[Step], new: Sequence[Step]) -> tuple[list[str], list[str]]:
    """What is done no longer, and what is done now."""
    first = [step.effect for step in old]
    second = [step.effect for step in new]
    start = 0
    while start < min(len(first), len(second)) and first[start] == second[start]:
        start += 1
    end = 0
    while end < min(len(first), len(second)) - start and first[-1 - end] == second[-1 - end]:
        end += 1
    ones, twos = old[start : len(old) - end], new[start : len(new) - end]
    if max(len(ones), len(twos)) > MOST_STEPS:
        return [step.says for step in ones], [step.says for step in twos]
    gone: list[str] = []
    come: list[str] = []
    matcher = SequenceMatcher(None, [step.effect for step in ones], [step.effect for step in twos], autojunk=False)
    for tag, one, two, three, four in matcher.get_opcodes():
        if tag != "equal":
            gone += [_placed(step) for step in ones[one:two]]
            come += [_placed(step) for step in twos[three:four]]
    return gone, come


def _placed(step: Step) -> str:
    """What a step does, its literal or placeholder told where the words alone would be the same."""
    words = step.effect[0] if step.effect else ()
    text = step.says.replace(" Cel", " °C")
    if "{" in str(words):
        from convert.program import placeholders

        ids = [ident for _, ident in placeholders(step.text, SETTINGS.rows())]
        if ids:
            return f"{text} (from {ids[0]})"
    elif text.startswith(("heats", "sets the")) and any(char.isdigit() for char in text):
        return f"{text} (a number in line {step.line})"
    return text


def _listed(steps: Sequence[str]) -> str:
    """Steps as a clause, quoted verbs first."""
    shown = [_verb(step) for step in steps[:SHOWN]]
    more = f" and {len(steps) - SHOWN} steps more" if len(steps) > SHOWN else ""
    return ", ".join(shown) + more


def _verb(step: str) -> str:
    return f"sets {step}" if step.partition(":")[0] in ("units", "distance", "extrusion", "plane") else step


def _states(old: Run, new: Run) -> list[str]:
    """What state the machine is left in, where that differs."""
    before, after = final_state(old), final_state(new)
    clauses: list[str] = []
    for name in {**after, **before}:
        one, two = before.get(name, "unset"), after.get(name, "unset")
        if one == two or name in ("x", "y", "z", "e", "feed", "motion") or name.startswith(("shift.", "homed.")):
            continue
        head, _, tail = name.partition(".")
        if tail == "target":
            heater = "nozzle heater" if head.startswith("nozzle") else f"{head} heater"
            tool = head.removeprefix("nozzle") if head.startswith("nozzle") else ""
            if _above(two) and not _above(one):
                clauses.insert(0, f"the {heater}{tool} stays on at {num(float(two))} °C")  # type: ignore[arg-type]
            elif _above(one) and not _above(two):
                clauses.append(f"the {heater}{tool} is switched off at the end")
        elif name in ("distance", "extrusion", "units"):
            what = {"distance": "positions", "extrusion": "filament positions", "units": "units"}[name]
            clauses.append(f"{what} are left {two}, were {one}")
        elif head == "limit":
            clauses.append(f"the limit {tail.replace('.', ' ')} is left at {two}, was {one}")
        elif tail == "reached":
            continue
        elif two != "unknown" and one != "unknown":
            clauses.append(f"{name} is left {two}, was {one}")
    return clauses[:SHOWN]


def _above(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool) and value > 0

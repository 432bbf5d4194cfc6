"""Sentences on where things are: the height of the first layer, the build area and its origin."""

from __future__ import annotations

from convert.changes.figures import View
from convert.changes.groups import Group
from convert.changes.says import Said
from convert.changes.words import more
from convert.rules.words import num

FAR = 0.25
"""Share of the first layer's height by which it may be moved and still stick (common practice)."""


def trim(view: View, group: Group) -> Said | None:
    """The height that is added to the whole print."""
    pair = view.numbers("offset.z")
    if pair is None:
        return None
    moved = pair[1] - pair[0]
    first = view.new.get("layer.first") or view.new.get("layer.height")
    where = "farther from the bed" if moved > 0 else "nearer to the bed"
    clauses = [f"The first layer is printed {num(abs(moved))} mm {where}"]
    if first:
        clauses[0] += f", {num(100 * abs(moved) / first)} % of its {num(first)} mm"
    clauses.append("it sticks less, or not at all" if moved > 0 else "it is squeezed, and the nozzle may scrape")
    far = bool(first) and abs(moved) > FAR * (first or 0)
    return Said(tuple(clauses), severity="spoils" if far else "differs")


BASES = {
    "none": ("nothing", "the nozzle starts on the part itself"),
    "skirt": ("a skirt", "it fills the nozzle and holds nothing"),
    "brim": ("a brim", "it holds corners down and must be trimmed"),
    "raft": ("a raft", "it evens the bed and roughens the underside"),
}


def base(view: View, group: Group) -> Said | None:
    """What is laid around or under the part first."""
    fact = group.fact("base.kind")
    if fact is None or not isinstance(fact.before_resolved, str) or not isinstance(fact.after_resolved, str):
        return None
    before, after = BASES[fact.before_resolved], BASES[fact.after_resolved]
    first = f"{after[0][:1].upper()}{after[0][1:]} is laid first in place of {before[0]}"
    return Said((first, after[1]))


def envelope(view: View, group: Group) -> Said | None:
    """Size and origin of the build area."""
    name = group.own[0].setting
    if name == "envelope.origin":
        x, y = view.new.get("envelope.x"), view.new.get("envelope.y")
        if x is None or y is None:
            return Said(("Everything is shifted by half the build area",))
        return Said((f"Everything is shifted by half the build area, {num(x / 2)} / {num(y / 2)} mm",))
    pair = view.numbers(name)
    if pair is None or not pair[0]:
        return None
    axis = name[-1].upper()
    return Said((f"The build volume is {num(pair[1])} mm in {axis} instead of {num(pair[0])} ({more(*pair)})",))

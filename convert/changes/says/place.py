"""Sentences on where things are: the height of the first layer, the build area and its origin."""

from __future__ import annotations

from convert.changes.figures import View
from convert.changes.groups import Group
from convert.changes.says import Said
from convert.changes.words import more
from convert.rules.words import num


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
    return Said(tuple(clauses))


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

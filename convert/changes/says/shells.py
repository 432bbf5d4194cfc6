"""Sentences on walls, roof, floor, infill and sizes."""

from __future__ import annotations

from convert.changes.figures import View, same
from convert.changes.groups import Group
from convert.changes.says import Said
from convert.changes.words import from_to, share
from convert.rules.quantities import line_families
from convert.rules.words import num


def walls(view: View, group: Group) -> Said | None:
    """The number of walls."""
    stack = view.both("wall_stack")
    if stack is None or same(*stack):
        return None
    before, after = stack
    thinner = after < before
    clauses = [f"Walls become {after:.3f} mm thick instead of {before:.3f} ({share(before, after)})"]
    clauses.append("side strength and tightness " + ("drop: check parts with screws or water" if thinner else "rise"))
    return Said(tuple(clauses))


def cover_clause(word: str, layers: int, pair: tuple[float, float]) -> str:
    """A roof or floor of so many layers that gets another thickness."""
    verb = "grows" if pair[1] > pair[0] else "shrinks"
    return f"the {word} of {layers} layer{'' if layers == 1 else 's'} {verb} from {pair[0]:.2f} to {pair[1]:.2f} mm"


def _cover(view: View, word: str, quantity: str, side: str) -> Said | None:
    pair = view.both(quantity)
    if pair is None:
        return None
    least = view.numbers(f"cover.{side}_thickness")
    if same(*pair):
        kept = least is not None and all(same(*one) for one in zip(least, pair, strict=True))
        what = f"The least thickness keeps the {word}" if kept else f"The {word} is"
        return Said((f"{what} {pair[1]:.2f} mm thick{'' if kept else ' as before'}",), True)
    clause = f"The {word} is {pair[1]:.2f} mm thick instead of {pair[0]:.2f} ({share(*pair)})"
    if word == "roof" and pair[1] < pair[0] and pair[1] < view.new.limit("shell.good"):
        return Said((clause, "the infill may show through"))
    return Said((clause,))


def roof(view: View, group: Group) -> Said | None:
    """Solid layers at the top."""
    return _cover(view, "roof", "roof_thickness", "upper")


def floor(view: View, group: Group) -> Said | None:
    """Solid layers at the bottom."""
    return _cover(view, "floor", "floor_thickness", "lower")


def infill(view: View, group: Group) -> Said | None:
    """How much of the inside is filled, and how."""
    shares = view.numbers("infill.density")
    if shares is None:
        return None
    if not shares[1]:
        return Said(("The inside stays hollow",))
    if not shares[0]:
        return Said((f"The inside is filled to {num(shares[1])} %",))
    spacing = view.both("infill_spacing")
    clauses = []
    if spacing is not None and not same(*spacing):
        clauses.append(f"Infill lines lie {num(spacing[1])} mm apart instead of {num(spacing[0])}")
    if group.fact("infill.pattern"):
        families = line_families(view.old), line_families(view.new)
        text = f"{families[1]} line direction{'s' if families[1] > 1 else ''} a layer instead of {families[0]}"
        if families[0] != families[1]:
            clauses.append(text)
        elif not clauses:
            clauses.append("The infill lies in another pattern, with lines as far apart as before")
    if not clauses:
        return None
    if shares[0] != shares[1]:
        rises = shares[1] > shares[0]
        clauses.append(f"the inside {'bears more' if rises else 'bears less'} pressure")
    return Said(tuple(clauses))


_SIZES = {
    "size.outline": ("Outer sizes", 2.0),
    "size.hole": ("Holes", 2.0),
    "size.first_layer": ("First-layer outlines", 2.0),
}


def size(view: View, group: Group) -> Said | None:
    """Offsets of outlines and allowances for shrinkage."""
    name = group.own[0].setting
    pair = view.numbers(name)
    if pair is None:
        return None
    before, after = pair
    if name in _SIZES:
        what, sides = _SIZES[name]
        return Said((f"{what} come out {sides * (after - before):+.3g} mm, {after - before:+.3g} mm per side",))
    scales = [1 / (1 - value / 100) for value in pair]
    grown = 100 * (scales[1] - scales[0])
    where = "in plan" if name.endswith("plan") else "in height"
    return Said((f"100 mm {where} are printed {grown:+.3g} mm before they shrink ({from_to(*pair, '%')} allowed for)",))

"""Which profile of one side is compared with which of the other.

A side that forms one setup (no scope twice) is compared with another such side as a whole, whatever the names and
however many files it is made of. Otherwise profiles pair by scope and name; the only one of its scopes on both sides
pairs whatever its name; the rest is added or removed.

>>> from convert.model.profile import Profile
>>> [fine, quick] = [Profile(name, ("process",), {}) for name in ("fine", "quick")]
>>> [(pair.old.name, pair.new.name) for pair in pair_profiles([fine], [quick])]
[('fine', 'quick')]
>>> [(pair.old and pair.old.name, pair.new and pair.new.name) for pair in pair_profiles([fine], [fine, quick])]
[('fine', 'fine'), (None, 'quick')]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from convert.model.profile import Origin, Profile
from convert.model.setting import SCOPES, SETTINGS
from convert.model.value import Value


class Side(NamedTuple):
    """One side of a pair: a profile, or several that form one setup together.

    `settings` are its own; `around` is all that is known: its own, and of each scope it lacks the only profile at hand.
    """

    name: str
    scopes: tuple[str, ...]
    profiles: tuple[Profile, ...]
    settings: Mapping[str, Value]
    around: Mapping[str, Value]
    names: Mapping[str, str]
    """Scope -> name of the profile that gives it, the borrowed ones included."""

    def origin(self, setting: str) -> Origin | None:
        """Where a value comes from."""
        profile = self.profile_of(setting)
        return profile.origins.get(setting) if profile is not None else None

    def profile_of(self, setting: str) -> Profile | None:
        """The profile that a value comes from."""
        return next((profile for profile in self.profiles if setting in profile.settings), None)


class Pair(NamedTuple):
    """Two sides that are compared over `scopes`; one of them is None where a profile was added or removed.

    `borrowed` are the scopes that only one side has: its values count for both.
    """

    scopes: tuple[str, ...]
    old: Side | None
    new: Side | None
    borrowed: tuple[str, ...] = ()

    @property
    def name(self) -> str:
        """How a report calls it: one name, or old -> new."""
        names = list(dict.fromkeys(side.name for side in (self.old, self.new) if side is not None))
        return " -> ".join(names)


def pair_profiles(
    old: Sequence[Profile],
    new: Sequence[Profile],
    beside: Sequence[Profile] = (),
    old_parents: Sequence[Profile] = (),
    new_parents: Sequence[Profile] = (),
) -> list[Pair]:
    """The pairs, in the order of the old side, added ones last.

    `beside` are profiles that both sides use; parents, from which others of their side inherit, pair only by name.
    """
    if not old or not new:
        return []
    if _one_setup(old) and _one_setup(new):
        return _as_setups(old, new, beside)
    before = [(profile.scopes, profile) for profile in (*old, *old_parents)]
    after = [(profile.scopes, profile) for profile in (*new, *new_parents)]
    pairs: list[Pair] = []
    used: set[int] = set()
    for scopes, profile in before:
        others = [one for of, one in after if of == scopes and id(one) not in used]
        found = next((one for one in others if one.name == profile.name), None)
        if found is None and _count(before, scopes) == 1 and _count(after, scopes) == 1:
            found = others[0] if others else None
        if found is not None:
            used.add(id(found))
        pairs.append(
            Pair(scopes, _side([profile], old, beside), None if found is None else _side([found], new, beside))
        )
    pairs += [Pair(of, None, _side([one], new, beside)) for of, one in after if id(one) not in used]
    return _assembled(pairs, old, new, beside)


def _assembled(
    pairs: list[Pair], old: Sequence[Profile], new: Sequence[Profile], beside: Sequence[Profile]
) -> list[Pair]:
    """Whole setups without a partner, set against the profiles of the other side that have the names of their parts."""
    used: set[int] = set()
    made: list[Pair] = []
    for pair in pairs:
        side, others = (pair.old, new) if pair.new is None else (pair.new, old)
        if side is None or (pair.old is not None and pair.new is not None) or len(side.scopes) < 2:
            made.append(pair)
            continue
        parts: list[Profile] = []
        for scope in side.scopes:
            candidates = [profile for profile in others if profile.scopes == (scope,)]
            part = next((profile for profile in candidates if profile.name == side.names.get(scope)), None)
            if part is None and len(candidates) == 1:
                part = candidates[0]
            parts += [part] if part is not None else []
        if not parts:
            made.append(pair)
            continue
        used.update(map(id, parts))
        scopes = tuple(scope for scope in SCOPES if any(scope in part.scopes for part in parts))
        own = _side(side.profiles, side.profiles, beside, scopes)
        other = _side(parts, [*parts, *side.profiles], beside, scopes)
        made.append(Pair(scopes, own, other) if pair.new is None else Pair(scopes, other, own))
    return [pair for pair in made if not _is_used(pair, used)]


def _is_used(pair: Pair, used: set[int]) -> bool:
    """Whether a lone profile has become a part of a setup."""
    if pair.old is not None and pair.new is not None:
        return False
    side = pair.old or pair.new
    return side is not None and all(id(profile) in used for profile in side.profiles)


def _count(profiles: Sequence[tuple[tuple[str, ...], Profile]], scopes: tuple[str, ...]) -> int:
    return sum(1 for of, _ in profiles if of == scopes)


def _one_setup(profiles: Sequence[Profile]) -> bool:
    named = [scope for profile in profiles for scope in profile.scopes]
    return len(named) == len(set(named))


def _as_setups(old: Sequence[Profile], new: Sequence[Profile], beside: Sequence[Profile]) -> list[Pair]:
    """Both sides as one setup each; a scope that only one of them has is borrowed."""
    held = [{scope for profile in side for scope in profile.scopes} for side in (old, new)]
    scopes = tuple(scope for scope in SCOPES if scope in held[0] and scope in held[1])
    if not scopes:
        return []
    given = {scope for profile in beside for scope in profile.scopes}
    lent = tuple(scope for scope in SCOPES if (scope in held[0]) != (scope in held[1]) and scope not in given)
    lenders = [*old, *new]
    return [
        Pair(
            scopes,
            _side([p for p in old if _has(p, scopes)], lenders, beside, scopes),
            _side([p for p in new if _has(p, scopes)], lenders, beside, scopes),
            lent,
        )
    ]


def _has(profile: Profile, scopes: tuple[str, ...]) -> bool:
    return any(scope in scopes for scope in profile.scopes) or not profile.scopes


def _side(
    chosen: Sequence[Profile], side: Sequence[Profile], beside: Sequence[Profile], scopes: tuple[str, ...] = ()
) -> Side:
    """A side of the chosen profiles, cut to the scopes, with what is known around them."""
    scopes = scopes or chosen[0].scopes
    if len(chosen) == 1 and chosen[0].scopes == scopes:
        settings: Mapping[str, Value] = chosen[0].settings
    else:
        rows = SETTINGS.rows()
        settings = {
            name: value
            for profile in reversed(chosen)
            for name, value in profile.settings.items()
            if rows[name].scope in scopes
        }
    around: dict[str, Value] = {}
    names: dict[str, str] = {}
    for scope in SCOPES:
        own = next((profile for profile in chosen if scope in profile.scopes), None)
        if scope in scopes and own is not None:
            names[scope] = _name(own, scope)
            continue
        lender = _only(scope, [*chosen, *side]) or _only(scope, beside)
        if lender is not None:
            names[scope] = _name(lender, scope)
            around.update((k, v) for k, v in lender.settings.items() if SETTINGS[k].scope == scope)
    return Side(
        " + ".join(dict.fromkeys(profile.name for profile in chosen if profile.name)),
        scopes,
        tuple(chosen),
        settings,
        {**around, **settings} if around else settings,
        names,
    )


def _only(scope: str, profiles: Sequence[Profile]) -> Profile | None:
    """The only profile that has a scope."""
    found = list({id(profile): profile for profile in profiles if scope in profile.scopes}.values())
    return found[0] if len(found) == 1 else None


def _name(profile: Profile, scope: str) -> str:
    said = profile.settings.get(f"{scope}.name")
    return said if isinstance(said, str) and said and len(profile.scopes) > 1 else profile.name

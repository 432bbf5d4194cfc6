"""The policy of a workshop: limits of its own, cards for its filaments, and suppressions with their reasons.

    beadwise = "policy/1"
    rules = 1                                     # version of the rule set

    [limits]                                      # in the unit of schemas/limits.tsv
    "bead.per_bore.thin" = 0.8

    [filament."House PETG"]                       # by feedstock.name; the quantities of schemas/polymers.tsv
    nozzle = [228, 246]

    [[suppress]]
    rule = "flow-beyond-melt"
    setting = "speed.infill"                      # optional: only findings about this setting
    setup = "Fast machine*"                       # optional: only setups with a name like this
    value = 31.2                                  # the finding's value when this was granted; when it moves, it reopens
    reason = "weighed up to 33 mm3/s in May"

A suppression without a reason, or without the value of a finding that has one, is a mistake; one that nothing needs is
reported.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import Any

from convert.errors import Location, UsageError
from convert.physics.limits import check_overrides
from convert.rules.finding import Finding

CLOSE = 1e-6
"""Relative difference within which a recorded value still is the value."""


@dataclass(frozen=True, slots=True)
class Suppression:
    """One granted exception."""

    rule: str
    reason: str
    setting: str = ""
    setup: str = "*"
    value: float | None = None

    def covers(self, finding: Finding, names: Mapping[str, str]) -> bool:
        """Whether it is about this finding, whatever its value."""
        return (
            self.rule == finding.rule
            and (not self.setting or self.setting in finding.settings)
            and (self.setup == "*" or any(fnmatchcase(name, self.setup) for name in names.values()))
        )

    def still_holds(self, finding: Finding) -> bool:
        """Whether the value is the one it was granted for."""
        if finding.value is None:
            return True
        return self.value is not None and abs(finding.value - self.value) <= CLOSE * max(abs(self.value), 1e-9)

    def label(self) -> str:
        about = f" about {self.setting}" if self.setting else ""
        return f"{self.rule}{about}" + (f" in {self.setup}" if self.setup != "*" else "")


@dataclass(slots=True)
class Policy:
    """What a policy file says."""

    path: str = ""
    rules: int = 1
    limits: dict[str, float] = field(default_factory=dict)
    filaments: dict[str, dict[str, tuple[float | None, float | None]]] = field(default_factory=dict)
    suppressions: list[Suppression] = field(default_factory=list)

    def polymers(self, feedstock: str, family: str) -> dict[str, tuple[float | None, float | None]]:
        """The card of a filament, as overrides of its family's rows."""
        return {f"{family}.{name}": ends for name, ends in self.filaments.get(feedstock, {}).items()}


def load(data: bytes, path: str) -> Policy:
    """The policy in a TOML file. UsageError, with its place, for anything that is not as described above."""
    import tomllib

    where = Location(path)
    try:
        document = tomllib.loads(data.decode("utf-8-sig"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise UsageError(f"no valid TOML: {error}", where) from None
    if document.get("beadwise") != "policy/1":
        raise UsageError("no policy", where, 'the first line should say beadwise = "policy/1"')
    unknown = set(document) - {"beadwise", "rules", "limits", "filament", "suppress"}
    if unknown:
        raise UsageError(f"unknown word {sorted(unknown)[0]!r}", where, "it has rules, limits, filament and suppress")
    policy = Policy(path=path, rules=_number(document.get("rules", 1), "rules", where, int))
    policy.limits = {
        name: _number(value, f"limits.{name}", where, float)
        for name, value in _table(document, "limits", where).items()
    }
    try:
        check_overrides(policy.limits)
    except UsageError as error:
        raise UsageError(error.says, where, error.hint) from None
    for name, card in _table(document, "filament", where).items():
        if not isinstance(card, dict):
            raise UsageError(f"filament.{name} is no table", where, f'write [filament."{name}"]')
        for key in card:
            _known_quantity(key, f"filament.{name}", where)
        policy.filaments[name] = {key: _span(value, f"filament.{name}.{key}", where) for key, value in card.items()}
    suppressions = document.get("suppress", [])
    if not isinstance(suppressions, list):
        raise UsageError("suppress is no list", where, "write [[suppress]] before each")
    policy.suppressions = [_suppression(one, number, where) for number, one in enumerate(suppressions, 1)]
    return policy


def _table(document: Mapping[str, Any], name: str, where: Location) -> Mapping[str, Any]:
    found = document.get(name, {})
    if not isinstance(found, dict):
        raise UsageError(f"{name} is no table", where, f"write [{name}]")
    return found


def _known_quantity(key: str, card: str, where: Location) -> None:
    from difflib import get_close_matches

    from convert.physics.polymers import spans

    known = sorted({quantity for _, quantity in spans()})
    if key not in known:
        close = get_close_matches(key, known, 3)
        hint = f"did you mean {' or '.join(close)}?" if close else f"a card knows {', '.join(known)}"
        raise UsageError(f"{card} has no quantity {key!r}", where, hint)


def _number(value: object, name: str, where: Location, kind: type) -> Any:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise UsageError(f"{name} is {value!r}, no number", where)
    return kind(value)


def _span(value: object, name: str, where: Location) -> tuple[float | None, float | None]:
    ends = value if isinstance(value, list) else [value, value]
    if len(ends) != 2:
        raise UsageError(f"{name} has {len(ends)} numbers", where, "write one number, or [low, high]")
    return _number(ends[0], name, where, float), _number(ends[1], name, where, float)


def _suppression(one: object, number: int, where: Location) -> Suppression:
    from convert.rules.rulesets import rule

    if not isinstance(one, dict):
        raise UsageError(f"suppress {number} is no table", where, "write [[suppress]] before each")
    unknown = set(one) - {"rule", "reason", "setting", "setup", "value"}
    if unknown:
        raise UsageError(f"suppress {number}: unknown word {sorted(unknown)[0]!r}", where)
    if not isinstance(one.get("rule"), str):
        raise UsageError(f"suppress {number} names no rule", where)
    try:
        rule(one["rule"])
    except UsageError as error:
        raise UsageError(f"suppress {number}: {error.says}", where, error.hint) from None
    if not str(one.get("reason", "")).strip():
        raise UsageError(
            f"suppress {number} ({one['rule']}) has no reason", where, "say why, for whoever reads it next year"
        )
    value = one.get("value")
    return Suppression(
        rule=one["rule"],
        reason=str(one["reason"]),
        setting=str(one.get("setting", "")),
        setup=str(one.get("setup", "*")),
        value=None if value is None else _number(value, f"suppress {number}: value", where, float),
    )

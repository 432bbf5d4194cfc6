"""What each change does: one sentence, effect first, with its figures; signs; severity.

The severity of a change is that of the gravest finding it brings. Without one it is `differs`, or `note` where nothing
that prints changes: a limit cancels it, or the setting only informs.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from convert.changes.compare import Fact
from convert.changes.figures import View, same
from convert.changes.groups import Group
from convert.changes.says import said
from convert.changes.signs import MEASURES, phrase, signs
from convert.changes.words import more, span, step, time, unit
from convert.model.setting import SETTINGS
from convert.model.value import State
from convert.rules.finding import DEFERENCE, RANK, Finding
from convert.rules.words import num

SHOWN = 4
"""Settings that a cause lists."""

NEUTRAL = frozenset((
    "limit.slowest.print", "limit.slowest.travel", "cooling.wait_aside", "cooling.min_layer_time", "finish.smooth_top",
    "finish.grain", "order.spiral", "order.part_by_part", "layer.adaptive", "support.enabled", "purge.tower",
    "retract.overfeed", "retract.between_layers", "retract.wipe", "travel.hop", "offset.z", "size.outline", "size.hole",
    "size.first_layer", "overhang.eased", "speed.ramp_layers", "fan.second", "fan.extraction", "flow.lead",
    "feedstock.abrasive", "feedstock.soluble", "feedstock.shrinkage_plan", "feedstock.shrinkage_height",
    "infill.solid_interval", "tool.offset_x", "tool.offset_y", "base.kind", "chamber.heated", "wall.narrow_features",
))  # fmt: skip
"""Settings that a program without the feature leaves out: to say "off" or 0 where nothing was said adds nothing."""

WEIGHTS = {
    "feedstock.family": 100, "filament": 100, "order.spiral": 100, "nozzle.diameter": 50, "feed.drive": 50, "trim": 20,
    "envelope": 20, "code": 15, "nozzle": 12, "bed": 10, "heat.chamber": 10, "support": 10, "order.part_by_part": 10,
    "wall.order": 6, "fan": 8, "retraction": 6, "base": 6, "lead": 4, "beads": 4, "motion": 4, "walls": 4, "roof": 4,
    "floor": 3, "infill": 3, "layer_time": 3, "size": 3,
}  # fmt: skip
"""Kind of group, or setting -> what a change weighs beside its cost, in percent of time and plastic; all others 1."""

Cost = tuple[float, float, float]
"""Seconds, grams and mm3/s that a change adds."""


@dataclass(slots=True)
class Change:
    """One group of settings told together, and what it does.

    `cost` is what it adds on the reference body (None where it cannot be told), `before` what that came to.
    """

    group: Group
    clauses: tuple[str, ...]
    cause: str
    severity: str = "differs"
    cost: Cost | None = None
    idle: bool = False
    come: list[Finding] = field(default_factory=list)
    gone: list[Finding] = field(default_factory=list)
    fact_cost: Callable[[Fact], Cost | None] = field(default=lambda fact: None)
    before: Cost | None = None
    harms_either_way: bool = False
    _effects: dict[str, dict[str, int | None]] = field(default_factory=dict)

    @property
    def effects(self) -> dict[str, dict[str, int | None]]:
        """The signs of each setting; computed when somebody asks, for each one's share of the cost takes its time."""
        if not self._effects:
            self._effects = {fact.setting: self._signs(fact, self.fact_cost(fact)) for fact in self.group.facts}
        return self._effects

    @property
    def ways(self) -> dict[str, int | None]:
        """The signs of the whole group, costs too small to speak of left out: None where its settings go different
        ways, or it is not known.
        """
        marks = [self._signs(fact, self.cost) for fact in self.group.facts]
        found: dict[str, int | None] = {}
        for name in marks[0]:
            different = {one[name] for one in marks} - {0}
            found[name] = 0 if not different else different.pop() if len(different) == 1 else None
        if self.cost is not None and self.before is not None:
            for at, name in enumerate(("time", "material")):
                if not more(self.before[at], self.before[at] + self.cost[at]):
                    found[name] = 0
        return found

    @property
    def weight(self) -> float:
        """How far up it belongs among changes of its severity: its cost in percent, and what no cost shows."""
        weight = float(max(WEIGHTS.get(self.group.own[0].setting, 1), WEIGHTS.get(self.group.kind, 1)))
        if self.cost is not None and self.before is not None:
            weight += sum(100 * abs(self.cost[at]) / self.before[at] for at in (0, 1) if self.before[at] > 0)
        return weight

    def _signs(self, fact: Fact, cost: Cost | None) -> dict[str, int | None]:
        found = signs(fact)
        if cost is not None and self.before is not None:
            found["time"], found["material"] = sign(cost[0], self.before[0]), sign(cost[1], self.before[1])
        if self.idle:
            found = dict.fromkeys(MEASURES, 0)
        worst = max((RANK[one.severity] for one in self.come), default=-1)
        eased = max((RANK[one.severity] for one in self.gone), default=-1)
        found["risk"] = None if self.harms_either_way else (worst > eased) - (worst < eased)
        return found

    @property
    def effect(self) -> str:
        """The sentence without its cause."""
        return "; ".join(self.clauses)

    @property
    def says(self) -> str:
        """The whole sentence, findings and precautions with it."""
        parts = [f"{self.effect}: {self.cause}."]
        parts += [finding.says for finding in self.come]
        if self.precaution:
            parts.append(self.precaution)
        return " ".join(parts)

    @property
    def signal(self) -> str | None:
        """The signal word of the gravest finding, where someone may be hurt."""
        return next((finding.signal for finding in self.come if finding.signal), None)

    @property
    def precaution(self) -> str:
        """What to do where someone may be hurt, and who comes first."""
        cautions = list(dict.fromkeys(finding.precaution for finding in self.come if finding.signal))
        return " ".join([*cautions, DEFERENCE]) if cautions else ""


def meanings(
    views: Sequence[View],
    groups: Sequence[Group],
    cost: Callable[[Group], Cost | None],
    fact_cost: Callable[[Fact], Cost | None],
    before: Cost | None,
    come: Mapping[int, Sequence[Finding]],
    gone: Mapping[int, Sequence[Finding]],
) -> list[Change]:
    """A change for each group; `views` has one for each tool. `cost` and `fact_cost` tell what a group and a single
    setting add on the reference body, `before` what the old side comes to, `come` and `gone` the findings by group.
    """
    made = []
    for at, group in enumerate(groups):
        view = _telling(views, group)
        found = said(view, group)
        own = cost(group)
        clauses = found.clauses if found is not None else (_plain(group),)
        if view.tool:
            clauses = (f"Tool {view.tool + 1}: {clauses[0][:1].lower()}{clauses[0][1:]}", *clauses[1:])
        price = _price(own, before, len(groups) == 1, unit(view.mass_unit))
        still = own is None or before is None or not any(sign(own[at], before[at]) for at in (0, 1))
        idle = found is not None and found.idle and still
        first, *rest = clauses
        if idle:
            first = f"Nothing that prints changes: {first[:1].lower()}{first[1:]}"
        clauses = (first, *price, *rest)
        change = Change(group, clauses, _cause(group), cost=own, idle=idle, fact_cost=fact_cost, before=before)
        change.come = sorted(come.get(at, ()), key=lambda one: -RANK[one.severity])
        change.gone = list(gone.get(at, ()))
        own_severity = "differs" if found is None else found.severity
        # Without a finding, harm lies in what does not fit the machine, whichever side that is.
        change.harms_either_way = own_severity != "differs" and not change.come and not change.gone
        change.severity = _severity(change, own_severity)
        made.append(change)
    return made


def _telling(views: Sequence[View], group: Group) -> View:
    """The view of the first tool for which a setting of the group differs."""
    for view in views[1:]:
        if any(_differs(fact, view.tool) for fact in group.own) and not any(_differs(fact, 0) for fact in group.own):
            return view
    return views[0]


def _differs(fact: Fact, tool: int) -> bool:
    values = []
    for value in (fact.before_resolved, fact.after_resolved):
        listed = isinstance(value, tuple) and SETTINGS[fact.setting].per_tool
        values.append(value[min(tool, len(value) - 1)] if listed and isinstance(value, tuple) and value else value)
    return values[0] != values[1]


def _plain(group: Group) -> str:
    """The table's words for the lead of a group without a maker, or one that lacks the numbers."""
    fact = group.own[0]
    setting = SETTINGS[fact.setting]
    words = phrase(fact)
    if not words and fact.kind == "added":
        value = fact.after_resolved
        words = phrase(Fact(fact.setting, None, None, False, True)) if value is True else ""
        words = words or setting.meaning
    if not words and fact.kind == "removed":
        words = setting.meaning
    return words or f"Another value: {setting.meaning[:1].lower()}{setting.meaning[1:]}"


def _cause(group: Group) -> str:
    """The settings that changed, old and new value, the followers counted."""
    own = group.own
    shown = [f"{fact.setting} {_step(fact)}" for fact in own[:SHOWN]]
    text = ", ".join(shown)
    if len(own) > SHOWN:
        text += f" and {len(own) - SHOWN} more"
    followers = len(group.facts) - len(own)
    if followers:
        text += f" ({followers} setting{'' if followers == 1 else 's'} follow{'s' if followers == 1 else ''})"
    return text


def _step(fact: Fact) -> str:
    if fact.derived_from is not None or SETTINGS[fact.setting].kind == "code":
        return step(fact.setting, fact.before_resolved, fact.after_resolved)
    before = fact.before if fact.before is not None else fact.before_resolved
    after = fact.after if fact.after is not None else fact.after_resolved
    return step(fact.setting, before, after)


def _price(cost: Cost | None, before: Cost | None, alone: bool, mass: str) -> tuple[str, ...]:
    """Time and plastic of the reference body, where they move."""
    if cost is None or before is None or before[0] <= 0:
        return ()
    parts = []
    after = before[0] + cost[0]
    if text := more(before[0], after):
        parts.append(f"{text} time ({span(before[0], after) if alone else _signed(cost[0])})")
    after = before[1] + cost[1]
    if text := more(before[1], after):
        step = (
            f"{num(before[1])} -> {num(after)} {mass}"
            if alone
            else f"{'+' if cost[1] > 0 else '-'}{num(abs(cost[1]))} {mass}"
        )
        parts.append(f"{text} plastic ({step})")
    if not parts:
        return ()
    return (f"the block takes {' and '.join(parts)}",)


def _signed(seconds: float) -> str:
    return f"{'+' if seconds > 0 else '-'}{time(abs(seconds))}"


def sign(amount: float, of: float) -> int:
    """The sign of an amount, 0 where it is rounding.

    >>> sign(1e-12, 1000), sign(-3, 1000)
    (0, -1)
    """
    return 0 if abs(amount) <= 1e-7 * max(abs(of), 1e-9) else 1 if amount > 0 else -1


def _severity(change: Change, own: str) -> str:
    idle = change.idle or all(_informs(fact, change) for fact in change.group.facts)
    found = ["note" if idle else own, *(finding.severity for finding in change.come)]
    return max(found, key=lambda word: RANK[word])


def _says_off(fact: Fact) -> bool:
    """Whether one side says that a feature is off, and the other says nothing of it."""
    stated = fact.after_resolved if fact.kind == "added" else fact.before_resolved
    items = stated if isinstance(stated, tuple) else (stated,)
    off = all(item in (False, 0, State("off"), "none") for item in items)
    return fact.kind != "changed" and fact.setting in NEUTRAL and off


def _informs(fact: Fact, change: Change) -> bool:
    """Whether a setting moves nothing that prints, by its signs and its cost."""
    cost = change.cost
    if _says_off(fact):
        return True
    moved = cost is not None and not (same(0.0, round(cost[0], 9)) and same(0.0, round(cost[1], 9)))
    return not moved and all(change.effects[fact.setting][name] == 0 for name in MEASURES)

"""The whole comparison of two sides: pairs, changes with their meaning, figures, attribution, one verdict.

    difference(old profiles, new profiles) -> Difference

Everything else in this package is a step of it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from convert.changes.compare import Facts, Same, Spelled, Speller, Uncompared, compare, origin_of
from convert.changes.costs import Costs, Share
from convert.changes.figures import Figure, View, figures
from convert.changes.groups import groups
from convert.changes.judging import causes, holders_of, judge
from convert.changes.meaning import Change, Cost, meanings, sign
from convert.changes.pairs import Pair, Side, pair_profiles
from convert.changes.relevant import moved, relevant
from convert.changes.words import more, span, unit
from convert.model.profile import Carried, Profile
from convert.rules.engine import tools
from convert.rules.finding import RANK, SEVERITIES, Finding
from convert.rules.rule import Rule
from convert.rules.words import num

if TYPE_CHECKING:
    from convert.changes.carried import CarriedChange

NAMED = 6
"""Settings that a note lists."""

Spelling = Callable[[Profile], Speller]
"""How a profile's file says its settings."""


@dataclass(slots=True)
class Compared:
    """The result for one pair. `totals` are time, plastic and flow of the reference body before and after."""

    pair: Pair
    facts: Facts = field(default_factory=Facts)
    changes: list[Change] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    totals: tuple[Cost, Cost] | None = None
    shares: list[Share] = field(default_factory=list)
    exact: bool = True
    unplaced: list[Finding] = field(default_factory=list)
    carried: list[CarriedChange] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)

    @property
    def mass_unit(self) -> str:
        """The unit of plastic in `totals` and `shares`: g, or cm3 where the filament's density is not known."""
        sides = [side for side in (self.pair.old, self.pair.new) if side is not None]
        return "g" if all("feedstock.density" in side.around for side in sides) else "cm3"


@dataclass(slots=True)
class Difference:
    """The result for everything that was given."""

    results: list[Compared] = field(default_factory=list)
    not_compared: list[Uncompared] = field(default_factory=list)

    @property
    def compared(self) -> int:
        """How many settings were compared, over all pairs."""
        return sum(one.facts.compared for one in self.results)

    @property
    def changes(self) -> list[tuple[Change, list[Compared]]]:
        """All changes, the gravest first, each with the results it belongs to; one that several pairs share is told
        once, as in the pair where it is gravest.
        """
        found: dict[object, tuple[Change, list[Compared]]] = {}
        for result in self.results:
            for change in result.changes:
                key = tuple(
                    (fact.setting, _hashable(fact.before), _hashable(fact.after)) for fact in change.group.facts
                )
                known = found.get(key)
                if known is None:
                    found[key] = (change, [result])
                else:
                    graver = RANK[change.severity] > RANK[known[0].severity]
                    found[key] = (change if graver else known[0], [*known[1], result])
        return sorted(found.values(), key=lambda item: _order(item[0]))

    @property
    def same(self) -> list[Same]:
        """What looks different and means the same, each once."""
        return list(dict.fromkeys(one for result in self.results for one in result.facts.same))

    @property
    def carried(self) -> list[CarriedChange]:
        """Keys that are not understood and differ, each once."""
        return list(dict.fromkeys(one for result in self.results for one in result.carried))

    @property
    def unplaced(self) -> list[Finding]:
        """Findings that appear and that no change explains."""
        return list(dict.fromkeys(one for result in self.results for one in result.unplaced))

    @property
    def notes(self) -> list[str]:
        """What is worth knowing beside the changes: links that were lost, parents that were exchanged."""
        links: dict[str, list[str]] = {}
        for one in self.same:
            if one.why == "relative" and one.says:
                links.setdefault(one.says, []).append(one.setting)
        found = [
            f"{says}: {', '.join(names[:NAMED])}" + (" and others" if len(names) > NAMED else "")
            for says, names in links.items()
        ]
        return found + list(dict.fromkeys(note for result in self.results for note in result.notes))

    @property
    def unpaired(self) -> list[Pair]:
        """Profiles that only one side has."""
        return [one.pair for one in self.results if one.pair.old is None or one.pair.new is None]

    def worst(self) -> str | None:
        """The gravest severity; None where nothing differs."""
        found = [change.severity for result in self.results for change in result.changes]
        found += [finding.severity for finding in self.unplaced]
        if self.unpaired:
            found.append("differs")
        if self.carried:
            found.append("note")
        return max(found, key=lambda word: RANK[word], default=None)

    def overall(self) -> dict[str, int | None]:
        """Signs of the change in time and plastic over all pairs; None where it cannot be told."""
        made: dict[str, int | None] = {}
        for at, name in enumerate(("time", "material")):
            known = [one for one in self.results if one.totals is not None]
            unknown = [change for one in self.results if one.totals is None for change in one.changes]
            marks = {marks[name] for change in unknown for marks in change.effects.values()}
            marks |= {sign(one.totals[1][at] - one.totals[0][at], one.totals[0][at]) for one in known if one.totals}
            marks -= {0}
            made[name] = 0 if not marks else marks.pop() if len(marks) == 1 else None
        return made

    def verdict(self) -> str:
        """One line: how grave, what it costs, how much was compared."""
        changes = self.changes
        told = _aside(self)
        if not changes and not self.unpaired and not self.unplaced:
            return f"Nothing that prints differs. {told}"
        counts = dict.fromkeys(reversed(SEVERITIES), 0)
        for change, _ in changes:
            counts[change.severity] += 1
        for finding in self.unplaced:
            counts[finding.severity] += 1
        words = ", ".join(f"{number} {word}" for word, number in counts.items() if number)
        number = len(changes)
        text = f"{number} change{'' if number == 1 else 's'}" + (f" ({words})" if words else "")
        lonely = self.unpaired
        if lonely:
            text += f", {len(lonely)} profile{'' if len(lonely) == 1 else 's'} on one side only"
        cost = _total(self.results)
        return f"{text}{': ' + cost if cost else ''}. {told}"


def _hashable(value: object) -> object:
    return value if not isinstance(value, list) else tuple(value)


def _order(change: Change) -> tuple[float, ...]:
    """Gravest first, then the weightiest."""
    return -RANK[change.severity], -change.weight


def _aside(found: Difference) -> str:
    """What else there is to say in the verdict."""
    parts = [f"{found.compared} setting{'' if found.compared == 1 else 's'} compared"]
    if found.same:
        parts.append(f"{len(found.same)} only look{'s' if len(found.same) == 1 else ''} different")
    if found.carried:
        parts.append(f"{len(found.carried)} not understood and changed")
    return ", ".join(parts) + "."


def _total(results: Sequence[Compared]) -> str:
    """What the whole change does to the block; for several pairs only where they agree."""
    totals = {(one.totals, one.mass_unit) for one in results if one.totals is not None and one.changes}
    if len(totals) != 1:
        return ""
    (before, after), mass = totals.pop()
    parts = [f"{text} time ({span(before[0], after[0])})"] if (text := more(before[0], after[0])) else []
    if text := more(before[1], after[1]):
        parts.append(f"{text} plastic ({num(before[1])} -> {num(after[1])} {unit(mass)})")
    return "the block takes " + (" and ".join(parts) or "as long and as much plastic as before")


def difference(
    old: Sequence[Profile],
    new: Sequence[Profile],
    beside: Sequence[Profile] = (),
    spelling: Spelling = origin_of,
    rules: Sequence[Rule] | None = None,
    attributed: bool = True,
    everything: bool = False,
    parents: tuple[Sequence[Profile], Sequence[Profile]] = ((), ()),
    brief: bool = False,
) -> Difference:
    """Compare two sides of one or more profiles each; `beside` are profiles that belong to both, `parents` those of
    each side from which its others inherit.

    `rules` are those of the audit (None: all of the latest set that may tell the sides apart); without `attributed`,
    contributions are left out and costs are means of the first and the last step. `everything` keeps unchanged figures
    too, `brief` only the main ones.
    """
    found = Difference()
    pairs = pair_profiles(old, new, beside, *parents)
    for pair in pairs:
        if pair.old is None or pair.new is None:
            found.results.append(Compared(pair))
            continue
        for scope in pair.borrowed:
            found.not_compared.append(Uncompared(scope, "only one side has it; its values are taken for both"))
        result = _examine(pair, pair.old, pair.new, spelling, rules, attributed, everything, brief)
        found.not_compared += result.facts.not_compared
        found.results.append(result)
    if not pairs and old and new:
        have = [", ".join(dict.fromkeys(s for profile in side for s in profile.scopes)) for side in (old, new)]
        found.not_compared.append(
            Uncompared("everything", f"OLD has {have[0] or 'no scope'}, NEW has {have[1] or 'no scope'}")
        )
    return found


def _examine(
    pair: Pair,
    old: Side,
    new: Side,
    spelling: Spelling,
    rules: Sequence[Rule] | None,
    attributed: bool,
    everything: bool,
    brief: bool,
) -> Compared:
    facts = compare(
        old.settings, new.settings, old.around, new.around, _speller(old, spelling), _speller(new, spelling)
    )
    result = Compared(pair, facts)
    kept = _carried(old), _carried(new)
    if kept[0] != kept[1]:
        from convert.changes.carried import compare_carried

        result.carried = compare_carried(*kept)
    if not facts.facts and not everything and not facts.same:
        return result
    count = max(tools(old.around), tools(new.around))
    views = [View(old.around, new.around, tool) for tool in range(count)]
    if facts.facts:
        _interpret(result, views, old, new, rules, attributed)
    if facts.facts or everything:
        result.figures = figures(views[0], everything, brief)
        for view in views[1:] if not brief else []:
            result.figures += [
                one for one in figures(view, everything, brief) if everything or one not in result.figures
            ]
    return result


def _interpret(
    result: Compared, views: Sequence[View], old: Side, new: Side, rules: Sequence[Rule] | None, attributed: bool
) -> None:
    """Groups, costs, findings and sentences."""
    facts = result.facts.facts
    made = groups(facts, old.around, new.around)
    costs = Costs(views[0], facts, made, attributed)
    result.totals, result.shares, result.exact = costs.totals, costs.shares, costs.exact
    if rules is None:
        rules = relevant(moved(result.facts), (old.around, new.around))
    before = [view.old for view in views[: tools(old.around)]]
    after = [view.new for view in views[: tools(new.around)]]
    judged = judge(before, after, rules)
    by_code = {rule.code: rule for rule in rules}
    holders = holders_of(made)
    come: dict[int, list[Finding]] = {}
    gone: dict[int, list[Finding]] = {}
    for findings, places in ((judged.come, come), (judged.gone, gone)):
        for finding in findings:
            found = causes(finding, holders, by_code, (old.around, new.around))
            for at in found:
                places.setdefault(at, []).append(finding)
            if not found and findings is judged.come:
                result.unplaced.append(finding)
    whole = costs.totals[0] if costs.totals is not None else None
    result.changes = meanings(views, made, costs.of, costs.of_fact, whole, come, gone)
    result.notes = _notes(result, old, new)


def _speller(side: Side, spelling: Spelling) -> Speller:
    if len(side.profiles) == 1:
        return spelling(side.profiles[0])
    spellers = {id(profile): spelling(profile) for profile in side.profiles}

    def speller(name: str) -> Spelled | None:
        profile = side.profile_of(name)
        return None if profile is None else spellers[id(profile)](name)

    return speller


def _carried(side: Side) -> dict[str, Sequence[Carried]]:
    made: dict[str, Sequence[Carried]] = {}
    for profile in side.profiles:
        for dialect, keys in profile.carried.items():
            made[dialect] = (*made.get(dialect, ()), *keys)
    return made


def _notes(result: Compared, old: Side, new: Side) -> list[str]:
    """Worth knowing about the changes as a whole: a parent that was exchanged."""
    parents: dict[tuple[str, str], int] = {}
    for fact in result.facts.facts:
        one, two = old.origin(fact.setting), new.origin(fact.setting)
        if one is not None and two is not None and one.how == two.how == "inherited" and one.source != two.source:
            key = (one.source, two.source)
            parents[key] = parents.get(key, 0) + 1
    return [
        f"{number} of the changed settings come{'s' if number == 1 else ''} from the parent {after!r}, not {before!r}"
        for (before, after), number in parents.items()
    ]

"""Which setting each item is: all evidence together, one global assignment, and what is learned from it, in rounds.

A pair of item and setting is worth the sum of words, values in their best unit, company, unit habits and, if there is
one, a known profile. After each round the dialect's own words, the units of its kinds and the groups of the company are
learned from the confident pairs, and all is scored again.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from convert.inference import confidence
from convert.inference.agreement import Agreement, agrees, belief
from convert.inference.assign import Assignment
from convert.inference.habits import Habit, habits
from convert.inference.items import Item
from convert.inference.known import Known
from convert.inference.orders import JOINT, best_order, customary
from convert.inference.ratios import suits
from convert.inference.teach import learn_units, learn_words
from convert.inference.values import FORBIDDEN, TOO_ODD, Reading, readable, readings, size
from convert.inference.vocabulary import vocabulary
from convert.inference.words import cover, score, strays

ROUNDS = 3
KEPT = 14
"""Candidates of an item that go into the assignment."""
LETTERED = 20
"""Settings that stay in question for a terse key after the first round."""
NONE, BOOK, LETTERED_BOOK = 0.35, 0.9, 1.6
"""What it is worth to be no setting: before anything is known, with each word of bookkeeping, as its abbreviation."""
CONTEXT, SCOPED = 0.9, 0.25
AGREES = 0.7
"""What it is worth that a word stands for the same as in all other keys."""
SHARED_WORD, SAME_GROUP, MOST_COMPANY = 0.9, 0.6, 60
"""How much keys are company to each other: with a word in common, in the same group; commoner words do not count."""
SUITS, STRAYS = 0.2, 0.6
"""What it is worth that the value stands in the usual ratios to the others, and what it costs that it does not."""
MOST_MEMBERS = 300


@dataclass(slots=True)
class Pair:
    """An item as one setting: the parts of its score, its readings (best first), and its confidence."""

    setting: str
    words: float
    said: float
    value: float
    readings: list[Reading]
    context: float = 0.0
    agreement: float = 0.0
    ratio: float = 0.0
    known: float = 0.0
    total: float = 0.0
    confidence: float = 0.0
    loss: float = 0.0
    features: tuple[float, ...] = ()

    @property
    def unit_margin(self) -> float:
        """How far the best unit is before the next one; 9 where no other comes into question."""
        best = self.readings[0]
        others = [one.score for one in self.readings[1:] if (one.unit, one.relation) != (best.unit, best.relation)]
        return min(9.0, best.score - max(others)) if others else 9.0


@dataclass(slots=True)
class Matched:
    """The result for one item: the pair taken (None: no setting) and the others, best first."""

    item: Item
    pair: Pair | None
    others: list[Pair] = field(default_factory=list)
    none: float = NONE


class Matcher:
    """Scores items against settings; `head` are the units that the head of the file names by kind."""

    def __init__(
        self,
        items: Sequence[Item],
        head: Mapping[str, str],
        known: Known | None = None,
        answers: Mapping[str, str] = {},
    ) -> None:
        self.answers = answers
        # The order of the keys in the file must not settle ties.
        self.items = sorted(items, key=lambda item: (item.key.kind, item.key.label, item.part))
        for index, item in enumerate(self.items):
            item.index, item.plain = index, None
        self.head = dict(head)
        self.known = known
        self.habits = habits()
        self.learned: list[dict[str, dict[str, float]]] = [{} for _ in items]
        self.units: list[dict[tuple[str, str], float]] = [{} for _ in items]
        self.agreement: Agreement | None = None
        self.sizes: dict[str, dict[str, tuple[int, float, float]]] = {}
        self.neighbours = self._company()
        self.feasible = [self._feasible(item) for item in self.items]

    def run(self) -> list[Matched]:
        found: list[Matched] = []
        for round_ in range(ROUNDS):
            found = self._round(found, round_ == ROUNDS - 1)
            if round_ < ROUNDS - 1:
                self.learned = learn_words(found, self.items, self.habits)
                self.units = learn_units(found, self.items, self.habits)
        return found

    # ---- one round

    def _round(self, before: Sequence[Matched], last: bool) -> list[Matched]:
        rows: list[list[Pair]] = []
        none: list[float] = []
        for item in self.items:
            cover(item, self.learned[item.index])
            pairs = self._pairs(item, before)
            rows.append(pairs)
            if item.pieces is not None and not before:
                best = {pair.setting for pair in sorted(pairs, key=lambda one: -one.total)[:LETTERED]}
                self.feasible[item.index] = [habit for habit in self.feasible[item.index] if habit.setting.id in best]
            none.append(self._none(item))
        self._join(rows)
        rows = [pairs[:KEPT] for pairs in rows]
        table = [{pair.setting: pair.total for pair in pairs} for pairs in rows]
        # Keys of different kinds of profile may lead to one setting: a column for each kind.
        keyed = [
            {f"{setting}\0{self.items[at].key.kind}": total for setting, total in row.items()}
            for at, row in enumerate(table)
        ]
        assignment = Assignment(keyed, none)
        chosen = [name.partition("\0")[0] for name in assignment.chosen()]
        losses = assignment.losses()
        columns: dict[str, list[tuple[float, int]]] = {}
        for at, row in enumerate(keyed):
            for name, total in row.items():
                columns.setdefault(name, []).append((total, at))
        result = []
        for at, (item, pairs) in enumerate(zip(self.items, rows, strict=True)):
            taken = next((pair for pair in pairs if pair.setting == chosen[at]), None)
            others = [pair for pair in pairs if pair is not taken]
            if taken is not None:
                rivals = [total for total, other in columns[f"{taken.setting}\0{item.key.kind}"] if other != at]
                taken.features = confidence.features(
                    row_margin=taken.total - max([others[0].total if others else -1.0, none[at]]),
                    column_margin=taken.total - max(rivals, default=taken.total - 2.0),
                    loss=losses[at], words=taken.words, said=taken.said, value=taken.value,
                    context=taken.context, known=taken.known, unknown=_unknown(item), part=bool(item.parts),
                    plain=self._plain_words(item, taken.setting), agreement=taken.agreement,
                    ratio=taken.ratio, letters=item.pieces is not None, unit_margin=taken.unit_margin,
                    kind=self.habits[taken.setting].setting.kind,
                    strays=0 if item.pieces is not None else strays(item, self.habits[taken.setting]),
                    general="general" in self.habits[taken.setting].allows,
                )  # fmt: skip
                taken.loss = losses[at]
                taken.confidence = confidence.probability(taken.features, self.known is not None)
            result.append(Matched(item, taken, others, none[at]))
        if not last:
            self.sizes = self._sizes(result)
            self.agreement = Agreement(self.items, [_belief(one) for one in result], self.habits)
        return result

    def _pairs(self, item: Item, before: Sequence[Matched]) -> list[Pair]:
        made: list[Pair] = []
        context = self._context(item, before) if before else {}
        words_elsewhere = self.agreement.of(item) if self.agreement is not None else []
        answer = self.answers.get(item.key.label) if not item.parts else None
        for habit in self.feasible[item.index]:
            name = habit.setting.id
            if answer is not None and answer != name:
                continue
            words, said = score(item, habit)
            hit = self.known.evidence(item, habit) if self.known is not None else 0.0
            if words < -0.9 and hit <= 0.2 and answer is None:
                continue
            possible = readings(item, habit, self.head, self.units[item.index])
            if self.known is not None and hit > 0.2:
                possible = self.known.order(item, habit, possible)
            if not possible:
                continue
            best = possible[0]
            pair = Pair(name, max(words, -1.5), said, best.score, possible, known=hit)
            group = name.partition(".")[0]
            pair.context = context.get(group, 0.0)
            if self.sizes and (value := size(item, habit, best)):
                pair.ratio = suits(name, value, self.sizes[item.key.kind], item.index)
            pair.agreement = max(-1.0, min(1.0, agrees(words_elsewhere, habit)))
            if answer == name:
                pair.known += 6.0
                hit = pair.known
            if item.part:
                pair.value += customary(name, item.part, item.parts)
            pair.total = (
                pair.words
                + pair.value
                + CONTEXT * pair.context
                + AGREES * pair.agreement
                + (SUITS if pair.ratio > 0 else STRAYS) * pair.ratio
                + SCOPED * context.get("\0" + habit.setting.scope, 0.0)
                + hit
            )
            made.append(pair)
        made.sort(key=lambda pair: (-pair.total, pair.setting))
        return made

    def _sizes(self, found: Sequence[Matched]) -> dict[str, dict[str, tuple[int, float, float]]]:
        """By kind of profile and setting: the item that is taken for it, its value in the schema's unit, how surely."""
        made: dict[str, dict[str, tuple[int, float, float]]] = {item.key.kind: {} for item in self.items}
        for one in found:
            if one.pair is not None:
                value = size(one.item, self.habits[one.pair.setting], one.pair.readings[0])
                if value:
                    made[one.item.key.kind][one.pair.setting] = one.item.index, value, one.pair.confidence
        for mine in made.values():
            for other in made.values():
                for setting, known in other.items():
                    mine.setdefault(setting, known)
        return made

    def _join(self, rows: Sequence[list[Pair]]) -> None:
        """Parts of a key that can all be in a customary order speak for each other."""
        keys: dict[int, list[int]] = {}
        for item in self.items:
            if item.parts:
                keys.setdefault(id(item.key), []).append(item.index)
        for parts in keys.values():
            order = best_order(
                [{pair.setting: pair.total for pair in rows[at]} for at in parts],
                [
                    {
                        pair.setting: size(self.items[at], self.habits[pair.setting], pair.readings[0])
                        for pair in rows[at]
                    }
                    for at in parts
                ],
            )
            for at, setting in zip(parts, order, strict=bool(order)):
                for pair in rows[at]:
                    if pair.setting == setting:
                        pair.value += JOINT
                        pair.total += JOINT
                rows[at].sort(key=lambda pair: (-pair.total, pair.setting))

    def _plain_words(self, item: Item, setting: str) -> float:
        """How well the words fit without what was learned inside the dialect."""
        if not self.learned[item.index]:
            return score(item, self.habits[setting])[0]
        cover(item, {})
        worth = score(item, self.habits[setting])[0]
        cover(item, self.learned[item.index])
        return worth

    def _feasible(self, item: Item) -> list[Habit]:
        """The settings that the values could be of at all."""
        least = TOO_ODD if item.letters and self.known is None else FORBIDDEN
        return [
            habit
            for habit in self.habits.values()
            if (not item.scope or habit.setting.scope == item.scope)
            and readable(item, habit, self.head, self.units[item.index], least)
        ]

    def _none(self, item: Item) -> float:
        """What it is worth to take the item for no setting."""
        base = NONE
        for word in item.words:
            strength = word.meaning.get("bookkeeping", 0.0)
            if strength and word.weight >= 0.7:
                base += BOOK * strength * word.weight
        if item.letters:
            base += LETTERED_BOOK * vocabulary().meaning(item.letters, item.tongues).get("bookkeeping", 0.0)
        if item.shape in ("mark", "colour"):
            base += 0.5
        return min(base, 2.4)

    # ---- what neighbours tell

    def _company(self) -> list[list[tuple[int, float]]]:
        """For each item the others it belongs with: of its group, or with words in common; order does not count.

        A word counts the more the fewer keys have it.
        """
        by_word: dict[tuple[str, str], list[int]] = {}
        by_group: dict[tuple[str, tuple[str, ...]], list[int]] = {}
        for item in self.items:
            for text in {word.text for word in item.words if word.own and not word.unit}:
                by_word.setdefault((item.key.kind, text), []).append(item.index)
            if item.key.path:
                by_group.setdefault((item.key.kind, item.key.path), []).append(item.index)
        found: list[dict[int, float]] = [{} for _ in self.items]
        for members in by_word.values():
            if 1 < len(members) <= MOST_COMPANY:
                near = SHARED_WORD / len(members) ** 0.5
                for one in members:
                    for other in members:
                        if one != other:
                            found[one][other] = found[one].get(other, 0.0) + near
        for members in by_group.values():
            if len(members) > MOST_MEMBERS:
                continue
            near = SAME_GROUP / max(1.0, len(members) / 8)
            for one in members:
                for other in members:
                    if one != other:
                        found[one][other] = found[one].get(other, 0.0) + near
        return [sorted(near.items()) for near in found]

    def _context(self, item: Item, before: Sequence[Matched]) -> dict[str, float]:
        """Share of the neighbours' settings by group and by scope."""
        found: dict[str, float] = {}
        total = 0.6
        for index, near in self.neighbours[item.index]:
            pair = before[index].pair
            if pair is None or pair.confidence < 0.3:
                continue
            weight = near * pair.confidence
            total += weight
            group = pair.setting.partition(".")[0]
            found[group] = found.get(group, 0.0) + weight
            scope = "\0" + self.habits[pair.setting].setting.scope
            found[scope] = found.get(scope, 0.0) + weight
        return {name: weight / total for name, weight in found.items()}


def _belief(one: Matched) -> dict[str, float]:
    pairs = [*one.others, one.pair] if one.pair is not None else one.others
    taken = one.pair
    return belief(
        {pair.setting: pair.total for pair in pairs},
        one.none,
        taken.setting if taken is not None else "",
        taken.confidence if taken is not None else 0.0,
    )


def _unknown(item: Item) -> float:
    """The share of the key's words that the vocabulary does not know as they stand."""
    own = [word for word in item.words if word.own and not word.unit]
    if not own:
        return 1.0
    known = vocabulary()
    return sum(not known.knows(word.text) for word in own) / len(own)

"""Says values in a dialect: which cell each key gets, and what each setting lost on the way.

`say` decides per lens; `put` brings a profile into an existing file (its own, or a sample) and leaves every other byte
alone; `compose` makes new files. There is no other way out of the profile, also not for a file's own dialect.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from convert.dialects import beads
from convert.dialects.atoms import MEMO_LIMIT, CannotSay, Cell, Unreadable, is_short
from convert.dialects.fates import APPROXIMATED, CONVERTED, DERIVED, DROPPED, EXACT, LINK_LOST, ROUNDED, worst
from convert.dialects.frame import from_machine, to_machine
from convert.dialects.lenses import Lens, Numbers
from convert.dialects.table import Table
from convert.errors import InputError
from convert.model import numbers
from convert.model.profile import equal_values
from convert.model.resolve import resolve
from convert.model.setting import SETTINGS
from convert.model.value import Share, Value

Values = Mapping[str, Value]


class Outcome(NamedTuple):
    """What became of one setting: its fate, the keys that say it, and the value that the target now says."""

    setting: str
    fate: str
    keys: tuple[str, ...] = ()
    value: Value | None = None
    residual: Fraction | None = None
    says: str = ""
    kept: bool = False


@dataclass(slots=True)
class Said:
    """The cells of one profile (None: take the key away) and the outcome for each of its settings."""

    cells: dict[str, Cell | None] = field(default_factory=dict)
    outcomes: dict[str, Outcome] = field(default_factory=dict)


def say(
    table: Table,
    scopes: tuple[str, ...],
    values: Values,
    context: Values,
    old: Mapping[str, Cell],
    current: Values | None = None,
    own: Values | None = None,
    derived: Collection[str] = (),
) -> Said:
    """Say `values` in the dialect of `table`.

    `context` holds all values of the setup, for relations that must become numbers. `old` are the cells that stand in
    the file now (they lend their style), `own` what these cells mean, and `current` what the file means with
    inheritance and defaults: what is said already and stands elsewhere is not said again. `derived` are counts that the
    source made of the thicknesses it states: a dialect that states the thickness only gets one that it counts the same.
    """
    said = Said()
    wanted = from_machine(dict(values), table) if table.frames else dict(values)
    now = current or None
    if current and table.frames:
        now = from_machine(dict(current), table)
    made = beads.fill(wanted, context, table, scopes, derived)
    made.update(beads.recount(wanted, context, table, derived))
    for name, one in made.items():
        wanted[name] = one.value
    for lens in table.rows_of(scopes):
        have, first = {}, True
        for name in lens.settings:
            if name in wanted:
                have[name] = wanted[name]
                first = first and table.by_setting[name] is lens
        mine = {key: old[key] for key in lens.keys if key in old} if old else {}
        if not have:
            if mine and any(name in (own or ()) for name in lens.settings):
                for key in mine:
                    said.cells[key] = None
        elif mine or first:  # else a second spelling of a setting that has its own key
            if not mine and now and _say_the_same(now, have):
                for name, value in have.items():
                    said.outcomes.setdefault(name, Outcome(name, EXACT, (), values.get(name, value), kept=True))
            elif mine or len(lens.settings) > 1:
                _say_lens(said, table, lens, have, context, mine)
            else:
                _say_anew(said, table, lens, have, context)
    for name, rule in made.items():
        outcome = said.outcomes.get(name)
        if outcome is not None and outcome.keys:
            said.outcomes[name] = _with(outcome, worst(outcome.fate, DERIVED), f"from {rule.sources}")
    for name in values:
        if name not in said.outcomes:
            twin = beads.TWINS.get(name, "")
            covers = name.startswith("cover.") and said.outcomes.get(twin) is not None
            if twin in said.outcomes and (twin in made or name in derived or twin in derived or covers):
                of = said.outcomes[twin]
                said.outcomes[name] = Outcome(name, DERIVED, of.keys, None, None, f"said as {twin}")
            else:
                said.outcomes[name] = Outcome(name, DROPPED, says=f"{table.dialect} has no key for it")
    if table.frames:
        _unframe(said, values, table)
    return said


def _say_the_same(now: Values, have: Values) -> bool:
    return have.keys() <= now.keys() and all(equal_values(now[name], value) for name, value in have.items())


def _say_anew(said: Said, table: Table, lens: Lens, have: dict[str, Value], context: Values) -> None:
    """Say one setting where nothing stands yet: what depends on its value alone is remembered, within a bound."""
    ((name, value),) = have.items()
    key = value.__class__, value  # True == 1, and they hash alike
    known = lens.told.get(key)
    if known is None:
        alone = Said()
        _say_lens(alone, table, lens, have, context, {})
        known = alone.cells, alone.outcomes[name]
        # Where it is exact, nothing of the context was needed.
        if known[1].fate == EXACT and is_short(value) and len(lens.told) < MEMO_LIMIT:
            lens.told[key] = known
    cells, outcome = known
    said.cells.update(cells)
    said.outcomes[name] = outcome


def _say_lens(
    said: Said, table: Table, lens: Lens, have: dict[str, Value], context: Values, old: Mapping[str, Cell]
) -> None:
    fate, notes, intended = EXACT, [], dict(have)
    numbers_for: Numbers | None = None
    for _ in range(4):  # each round takes one obstacle away
        try:
            cells = lens.write(intended, old, numbers_for)
            break
        except CannotSay as obstacle:
            step = _around(table, lens, intended, context, obstacle)
            if step is None:
                for name in have:
                    says = f"{table.dialect} {obstacle.says}"
                    said.outcomes.setdefault(name, Outcome(name, DROPPED, says=says))
                return
            how, changed, note, numbers_for = step
            fate, intended = worst(fate, how), {**intended, **changed}
            notes.append(note)
    else:
        for name in have:
            said.outcomes.setdefault(name, Outcome(name, DROPPED, says=f"{table.dialect} cannot say it"))
        return
    try:
        # What stands in keys that were not touched counts as well, where a lens has several.
        whole = cells if len(lens.keys) == 1 else {**old, **cells}
        back = lens.read({key: cell for key, cell in whole.items() if cell is not None})
    except Unreadable as error:
        for name in have:
            said.outcomes.setdefault(name, Outcome(name, DROPPED, says=f"{table.dialect}: {error.says}"))
        return
    said.cells.update(cells)
    keys = tuple(key for key, cell in cells.items() if cell is not None)
    for name in have:
        meant, got = intended[name], back.get(name)
        how, residual, note = fate, None, "; ".join(notes) if notes else ""
        if fate is not LINK_LOST and not equal_values(meant, got):
            if isinstance(meant, Fraction) and isinstance(got, Fraction):
                how, residual = worst(fate, ROUNDED), got - meant
                note = note or f"rounded by {numbers.spell(round(residual, 9))}"
            else:
                how, note = worst(fate, APPROXIMATED), note or f"{table.dialect} says {got!r}"
        said.outcomes[name] = Outcome(name, how, keys, got, residual, note)


def _around(
    table: Table, lens: Lens, have: dict[str, Value], context: Values, obstacle: CannotSay
) -> tuple[str, dict[str, Value], str, Numbers | None] | None:
    """The smallest loss that takes an obstacle away: fate, changed values, what to tell, speller for placeholders."""
    if len(have) != 1 and not any(isinstance(value, Share) for value in have.values()):
        return None
    for name, value in have.items():
        setting = SETTINGS[name]
        if setting.kind == "code" and obstacle.needs:
            spelled = _speller(context)
            if spelled(obstacle.needs) is None:
                return None
            return LINK_LOST, {}, f"{{{obstacle.needs}}} became its present value", spelled
        if isinstance(value, Share):
            plain = _plain(context, have, name)
            if plain is None:
                continue
            if isinstance(plain, tuple) and not setting.per_tool and setting.kind != "outline" and plain:
                note = f"was {numbers.spell(value.percent)} % of {value.of}, here of the first tool's"
                return APPROXIMATED, {name: plain[0]}, note, None
            return LINK_LOST, {name: plain}, f"was {numbers.spell(value.percent)} % of {value.of}", None
        if isinstance(value, Fraction) and obstacle.needs in SETTINGS:
            base = _plain(context, context, obstacle.needs)
            if isinstance(base, Fraction) and base:
                return (
                    DERIVED,
                    {name: Share(value / base * 100, obstacle.needs)},
                    f"as a percent of {obstacle.needs}",
                    None,
                )
        if isinstance(value, str) and setting.kind == "choice" and obstacle.needs in setting.choices:
            return APPROXIMATED, {name: obstacle.needs}, f"nearest to '{value}' that {table.dialect} has", None
        if isinstance(value, tuple) and value and setting.kind != "outline" and setting.per_tool:
            first = value[0]
            if all(equal_values(first, other) for other in value):
                return CONVERTED, {name: first}, "the same for every tool", None
            return APPROXIMATED, {name: first}, f"only the first tool's of {len(value)} values", None
    return None


def _plain(context: Values, have: Values, name: str) -> Value | None:
    """The number behind a relation, or None."""
    try:
        return resolve({**context, **have}, name)
    except InputError:
        return None


def _speller(context: Values) -> Numbers:
    """Spells the present value of a setting, for a placeholder that the target lacks."""

    def spelled(name: str) -> str | None:
        value = _plain(context, context, name)
        if isinstance(value, tuple) and value:
            value = value[0]
        if isinstance(value, Fraction):
            return numbers.spell(value)
        return value if isinstance(value, str) and SETTINGS[name].kind in ("text", "choice") else None

    return spelled


def _unframe(said: Said, values: Values, table: Table) -> None:
    """Outlines in the outcomes go back to the machine's own origin."""
    for name in table.frames & said.outcomes.keys():
        outcome = said.outcomes[name]
        if outcome.value is not None:
            back = {**values, name: outcome.value}
            to_machine(back, table)
            said.outcomes[name] = Outcome(
                name, outcome.fate, outcome.keys, back.get(name), outcome.residual, outcome.says
            )


def _with(outcome: Outcome, fate: str, note: str) -> Outcome:
    says = f"{note}; {outcome.says}" if outcome.says else note
    return Outcome(outcome.setting, fate, outcome.keys, outcome.value, outcome.residual, says, outcome.kept)

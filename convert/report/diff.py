"""A comparison as text: the verdict, changes gravest first, what means nothing folded, figures, the verdict again."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap
from typing import TYPE_CHECKING

from convert.changes.difference import Compared, Difference
from convert.changes.figures import MAIN, Figure
from convert.changes.meaning import Change
from convert.changes.words import from_to, share, time, unit
from convert.report.grid import WIDTH, Paint, count, plain
from convert.report.visible import shorten, visible
from convert.rules.words import num

if TYPE_CHECKING:
    from convert.changes.costs import Share
    from convert.changes.symptoms import Suspect

ROLES = {"note": "", "differs": "warn", "spoils": "warn", "fails": "bad", "hurts": "bad"}
MARGIN = 9
"""Columns left of the sentences, for the severity."""
IN_FULL = 6
"""Changes told in full; the rest has a line each, unless all is asked for."""
FINDINGS = 4
"""Findings of a change that are told in full."""
NAMED = 6
"""Names that a folded line lists."""
WAYS = {
    "time": ("slower", "faster"),
    "material": ("more plastic", "less plastic"),
    "strength": ("stronger", "weaker"),
    "surface": ("better surface", "rougher surface"),
    "risk": ("riskier", "safer"),
}
"""Effect -> words for + and -."""


def table(
    result: Difference,
    *,
    width: int = WIDTH,
    paint: Paint = plain,
    everything: bool = False,
    quiet: bool = False,
    about: str | None = None,
    suspects: Sequence[Suspect] = (),
) -> str:
    """The comparison for people."""
    verdict = [paint(line, "head") for line in wrap(visible(result.verdict()), width)]
    lines = [*verdict, "", *_pairs(result, width)]
    if about is not None:
        lines += _about(about, suspects, width, paint)
    else:
        lines += _changes(result, width, paint, everything)
    if not quiet:
        lines += _nothing(result, width, everything)
        lines += _aside(result, width)
        lines += _figures(result, everything, width, paint)
        lines += _causes(result, width, paint)
    body = "\n".join(lines).rstrip()
    return body + ("\n\n" + "\n".join(verdict) if len(lines) > len(verdict) + 1 else "")


def _pairs(result: Difference, width: int) -> list[str]:
    """What was compared with what, where that is not plain; pairs of one name are only counted."""
    lines: list[str] = []
    alike = 0
    several = len(result.results) > 1
    for one in result.results:
        old, new = one.pair.old, one.pair.new
        scopes = " + ".join(one.pair.scopes)
        if old is None or new is None:
            side, word = (new, "NEW") if old is None else (old, "OLD")
            lines.append(f"only in {word}: {shorten(side.name if side else '')} ({scopes})")
        elif several and old.name == new.name:
            alike += 1
        elif several:
            lines.append(f"compared: {shorten(old.name)} -> {shorten(new.name)} ({scopes})")
        elif old.name != new.name:
            lines += [f"{word} {shorten(side.name, width - 20)}" for word, side in (("OLD", old), ("NEW", new))]
    if alike:
        lines.insert(0, f"compared: {count(alike, 'profile')} of the same name on both sides")
    return [*lines, ""] if lines else []


def _changes(result: Difference, width: int, paint: Paint, everything: bool) -> list[str]:
    lines: list[str] = []
    changes = result.changes
    full = [item for item in changes if item[0].severity != "note"][: len(changes) if everything else IN_FULL]
    shown = {id(change) for change, _ in full}
    for change, results in full:
        lines += [*_change_lines(change, results, result, width, paint), ""]
    rest = [change for change, _ in changes if id(change) not in shown]
    for change in rest:
        lines.append(_short(change, width, paint))
    if rest:
        lines.append("")
    for finding in result.unplaced:
        lines += [
            *_sentence(finding.severity, finding.signal, f"now also {finding.rule}: {finding.says}", width, paint),
            "",
        ]
    return lines


def _change_lines(
    change: Change, results: Sequence[Compared], result: Difference, width: int, paint: Paint
) -> list[str]:
    lines = _sentence(change.severity, change.signal, f"{change.effect}.", width, paint)
    marks = ways(change)
    cause = change.cause + (f"  [{', '.join(marks)}]" if marks else "")
    lines += _indented(cause, width)
    for finding in change.come[:FINDINGS]:
        lines += _indented(f"> {finding.severity}, {finding.rule}: {finding.says}", width, MARGIN + 2)
    if len(change.come) > FINDINGS:
        rest = ", ".join(finding.rule for finding in change.come[FINDINGS:])
        lines += _indented(f"> and {count(len(change.come) - FINDINGS, 'more finding')}: {rest}", width, MARGIN + 2)
    if change.gone:
        rules = ", ".join(finding.rule for finding in change.gone[:NAMED])
        lines += _indented(f"> no longer, or less: {rules}", width, MARGIN + 2)
    if change.precaution:
        lines += _indented(change.precaution, width)
    if len(results) < len([one for one in result.results if one.changes]):
        names = ", ".join(visible(one.pair.name) for one in results[:3]) + (" and others" if len(results) > 3 else "")
        lines += _indented(f"in {names}", width)
    return lines


def _sentence(severity: str, signal: str | None, text: str, width: int, paint: Paint) -> list[str]:
    """A severity and its sentence; a signal word has a line of its own."""
    lines = [paint(f"{signal}", ROLES[severity])] if signal else []
    first, *rest = wrap(visible(text), width - MARGIN) or [""]
    lines.append(f"{paint(severity, ROLES[severity])}{' ' * (MARGIN - len(severity))}{first}")
    return lines + [" " * MARGIN + line for line in rest]


def _indented(text: str, width: int, hang: int = MARGIN) -> list[str]:
    return wrap(visible(text), width, initial_indent=" " * MARGIN, subsequent_indent=" " * hang)


def ways(change: Change) -> list[str]:
    """The effects that are known and not nothing, in words; the settings of a group must agree."""
    found = []
    marks = change.ways
    for name, words in WAYS.items():
        mark = marks[name]
        if mark:
            found.append(words[0] if mark > 0 else words[1])
    return found


def _short(change: Change, width: int, paint: Paint) -> str:
    """A change in one line."""
    text = visible(f"{change.cause}: {change.effect[:1].lower()}{change.effect[1:]}")
    room = width - MARGIN
    if len(text) > room:
        text = text[: room - 3].rstrip() + "..."
    return f"{paint(change.severity, ROLES[change.severity])}{' ' * (MARGIN - len(change.severity))}{text}"


def _nothing(result: Difference, width: int, everything: bool) -> list[str]:
    """What looks different and means the same: counts, or all with why."""
    found = whys(result, everything)
    if not found:
        return []
    counts = ", ".join(f"{len(names)} {why}" for why, names in found.items())
    hint = "" if everything else "  (--all lists them)"
    lines = [f"means nothing: {counts}{hint}"]
    if everything:
        for why, names in found.items():
            lines += wrap(f"{why}: {', '.join(names)}", width, initial_indent="  ", subsequent_indent="      ")
    return [*lines, ""]


def whys(result: Difference, everything: bool) -> dict[str, list[str]]:
    """Why differences mean nothing, and the settings of each; with `everything`, what there is to say of each."""
    found: dict[str, list[str]] = {}
    for one in result.same:
        found.setdefault(one.why, []).append(one.setting + (f" ({one.says})" if one.says and everything else ""))
    return found


def _aside(result: Difference, width: int) -> list[str]:
    lines = [line for text in asides(result) for line in wrap(text, width, subsequent_indent="  ")]
    return [*lines, ""] if lines else []


def asides(result: Difference) -> list[str]:
    """Links that were lost, parents exchanged, keys not understood, and what could not be compared."""
    lines = [visible(note) for note in result.notes]
    carried = result.carried
    for one in carried[:NAMED]:
        step = f"{_text(one.before)} -> {_text(one.after)}" + (f" at {one.inside}" if one.inside else "")
        lines.append(f"not understood, changed: {shorten('.'.join((*one.path, one.key)), 40)} {step}")
    if len(carried) > NAMED:
        lines.append(f"not understood, changed: {len(carried) - NAMED} more")
    missed = list(dict.fromkeys((one.what, one.why) for one in result.not_compared))
    for what, why in missed[:NAMED]:
        lines.append(f"not compared: {visible(what)}: {visible(why)}")
    if len(missed) > NAMED:
        lines.append(f"not compared: {len(missed) - NAMED} more")
    return lines


def _text(text: str | None) -> str:
    return "(not there)" if text is None else shorten(text, 30)


def _figures(result: Difference, everything: bool, width: int, paint: Paint) -> list[str]:
    lines: list[str] = []
    for one in result.results:
        found = chosen(one, everything)
        if not found:
            continue
        head = "figures" + (f" of {visible(one.pair.name)}" if len(result.results) > 1 else "")
        rows = [figure_row(figure) for figure in found]
        lines += [paint(head, "head"), *aligned(rows, (1, 2, 4)), ""]
    if lines and not everything:
        lines[-1:] = ["  (--all lists more)", ""]
    return lines


def chosen(one: Compared, everything: bool) -> list[Figure]:
    """The main figures that moved, in their order; or all."""
    if everything:
        return list(one.figures)
    found = [figure for figure in one.figures if figure.quantity in MAIN and figure.moved]
    return sorted(found, key=lambda figure: MAIN.index(figure.quantity))


def figure_row(figure: Figure) -> list[str]:
    """Name, before, after, unit and share of a figure."""
    name = (
        figure.quantity
        + (f" {figure.feature}" if figure.feature else "")
        + (f" T{figure.tool}" if figure.tool > 1 else "")
    )
    before, after = figure.before, figure.after
    if before is None or after is None:
        shown = ["not computed" if value is None else num(value) for value in (before, after)]
        return [name, *shown, unit(figure.unit), ""]
    if figure.unit == "s" and max(abs(before), abs(after)) >= 90:
        return [name, time(before), time(after), "", share(before, after)]
    first, _, second = from_to(before, after, "1").partition(" -> ")
    return [name, first, second, unit(figure.unit), share(before, after)]


def aligned(rows: Sequence[Sequence[str]], right: Sequence[int] = (), indent: int = 2) -> list[str]:
    """Rows as lines of aligned columns; `right` are the columns set to the right.

    >>> aligned([["a", "1"], ["long", "12"]], (1,))
    ['  a      1', '  long  12']
    """
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))] if rows else []
    return [
        " " * indent
        + "  ".join(
            cell.rjust(size) if at in right else cell.ljust(size)
            for at, (cell, size) in enumerate(zip(row, widths, strict=True))
        ).rstrip()
        for row in rows
    ]


def _causes(result: Difference, width: int, paint: Paint) -> list[str]:
    """How much of the total each change causes, where there are several."""
    lines: list[str] = []
    for one in result.results:
        made, total = shared(one)
        if not made:
            continue
        rows = [["", "time", "plastic", "peak flow"], *([label(part.settings), *said] for part, said in made)]
        rows.append(["together", *total])
        how = "" if one.exact else ", sampled orders, with standard errors"
        name = f" of {visible(one.pair.name)}" if len(result.results) > 1 else ""
        lines += [paint(f"what causes it{name} (the block, interactions shared out{how})", "head")]
        lines += [*aligned(rows, (1, 2, 3)), ""]
    return lines


def shared(one: Compared) -> tuple[list[tuple[Share, list[str]]], list[str]]:
    """The shares of the total in words, that of most time first, and the total; nothing where there is but one."""
    made = [
        (share, amounts(share.amount, share.error, one.exact, one.mass_unit))
        for share in sorted(one.shares, key=lambda item: -abs(item.amount[0]))
    ]
    made = [(share, said) for share, said in made if set(said) != {"0"}]
    if one.totals is None or len(made) < 2:
        return [], []
    total = [after - before for before, after in zip(*one.totals, strict=True)]
    return made, amounts((total[0], total[1], total[2]), (0, 0, 0), True, one.mass_unit)


def label(settings: Sequence[str]) -> str:
    """A group of settings by its first two."""
    text = ", ".join(settings[:2])
    return text + (f" +{len(settings) - 2}" if len(settings) > 2 else "")


def amounts(amount: Sequence[float], error: Sequence[float], exact: bool, mass: str) -> list[str]:
    """Time, plastic and flow with their signs; sampled ones with their errors."""
    made = []
    for at, code in enumerate(("s", mass, "mm3/s")):
        value = amount[at]
        if abs(value) < (0.05, 0.005, 0.005)[at]:
            made.append("0")
            continue
        text = f"{'+' if value > 0 else '-'}" + (time(abs(value)) if code == "s" else f"{num(abs(value))} {unit(code)}")
        made.append(text if exact else f"{text} ±{num(error[at])}")
    return made


def _about(about: str, suspects: Sequence[Suspect], width: int, paint: Paint) -> list[str]:
    """The suspects of a symptom, the likeliest first."""
    if not suspects:
        return [f"No change here is known to cause this: {about}.", ""]
    lines = [paint(f"may be behind it: {about}, the likeliest first", "head")]
    for number, one in enumerate(suspects, 1):
        text = f"{one.why}: {one.change.cause}"
        lines += wrap(visible(text), width, initial_indent=f"{number:>3}  ", subsequent_indent="     ")
        if one.change.severity not in ("note", "differs") and one.change.come:
            lines += wrap(
                visible(one.change.come[0].says), width, initial_indent="     > ", subsequent_indent="       "
            )
    return [*lines, ""]

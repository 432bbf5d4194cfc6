"""The summary of a conversion for people; the ledger's own document is for programs."""

from __future__ import annotations

from collections.abc import Sequence

from convert.dialects.fates import MEANINGS, ORDER, ROUNDED
from convert.dialects.ledger import Entry, Ledger
from convert.model.numbers import spell
from convert.model.setting import SETTINGS
from convert.report.grid import WIDTH, Paint, count, grid, paragraph, plain
from convert.report.values import unit
from convert.report.visible import shorten, visible

SHOWN = 12
"""Lost keys that the summary shows; --ledger has all."""


def summary(ledger: Ledger, written: Sequence[str], *, width: int = WIDTH, paint: Paint = plain) -> str:
    """What went in, what came out, what was lost, and that the output reads back. `written` says where it went."""
    source, target = ledger.source, ledger.target
    files = f"{count(len(source.files), 'file')} read, {count(len(target.files), 'file')} made"
    lines = [paint(f"{source.dialect or 'nothing'} -> {target.dialect}", "head") + f"  {files}"]
    lines += [f"  {visible(line)}" for line in written]
    lines += ["", counts(ledger, width=width, paint=paint)]
    lost = losses(ledger)
    if lost:
        lines += ["", f"Lost or changed on the way: {count(len(lost), 'key')}", _losses(lost, width, paint)]
        if len(lost) > SHOWN:
            lines.append(f"  ... and {len(lost) - SHOWN} more; --ledger FILE lists every key")
    if ledger.assumed:
        lines += ["", f"Not said by the source, so {target.dialect} takes its own default:"]
        said = list(dict.fromkeys(f"{name} = {visible(value)}" for name, value, _ in ledger.assumed))
        more = f", and {len(said) - SHOWN} more" if len(said) > SHOWN else ""
        lines.append(paragraph(", ".join(said[:SHOWN]) + more, width=width, indent=2))
    lines += ["", read_back(ledger, paint)]
    return "\n".join(lines)


def counts(ledger: Ledger, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """How many keys met which fate, on each side."""
    source, target = ledger.counts("source"), ledger.counts("target")
    rows = [
        [fate, f"{source.get(fate, '-')}", f"{target.get(fate, '-')}", meaning]
        for fate, meaning in MEANINGS.items()
        if fate in source or fate in target
    ]
    rows.append(["keys in total", str(ledger.keys("source")), str(ledger.keys("target")), ""])
    heads = ["fate", "source", "target", "meaning"]
    return grid(rows, heads, width=width, indent=2, right=[1, 2], whole=[0, 1, 2], paint=paint)


def losses(ledger: Ledger) -> list[Entry]:
    """The source keys that were rounded or worse, the greatest loss first; keys that are carried along are none."""
    found = [e for e in ledger.entries if e.side == "source" and ORDER[e.fate] >= ORDER[ROUNDED] and e.fate != "carried"]
    return sorted(found, key=lambda entry: -ORDER[entry.fate])


def _losses(lost: Sequence[Entry], width: int, paint: Paint) -> str:
    rows = []
    for entry in lost[:SHOWN]:
        role = "warn" if ORDER[entry.fate] <= ORDER["approximated"] else "bad"
        spot = entry.file if entry.line is None else f"{entry.file}:{entry.line}"
        key = shorten("/".join((*entry.path, entry.key)), 40)
        rows.append([(entry.fate, role), visible(spot), key, _change(entry), visible(_why(entry))])
    return grid(rows, width=width, indent=2, whole=[0], paint=paint)


def _change(entry: Entry) -> str:
    before = shorten(entry.before or "", 24)
    return before if entry.after is None else f"{before} -> {shorten(entry.after, 24)}"


def _why(entry: Entry) -> str:
    if entry.residual is None or not isinstance(entry.setting, str):
        return entry.says
    from fractions import Fraction

    size = spell(Fraction(f"{entry.residual:.3g}"))
    off = f"off by {size} {unit(SETTINGS[entry.setting].unit)}".rstrip()
    return f"{entry.says}; {off}" if entry.says else off


def read_back(ledger: Ledger, paint: Paint = plain) -> str:
    """The result of reading the output through the target's table."""
    total = ledger.equal + ledger.differs
    text = f"{ledger.equal} of {count(total, 'setting')} read back equal"
    return paint(text, "bad" if ledger.differs else "good")

"""The summary of a conversion for people; the ledger's own document is for programs."""

from __future__ import annotations

from collections.abc import Sequence

from convert.dialects.fates import APPROXIMATED, LINK_LOST, MEANINGS, ORDER, ROUNDED
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
    lines += [f"  {visible(line)}" for line in written[:SHOWN]]
    if len(written) > SHOWN:
        lines.append(f"  ... and {len(written) - SHOWN} more")
    lines += ["", counts(ledger, width=width, paint=paint)]
    lost = losses(ledger)
    if lost:
        lines += ["", *_losses(lost, width, paint)]
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
    found = [
        e for e in ledger.entries if e.side == "source" and ORDER[e.fate] >= ORDER[ROUNDED] and e.fate != "carried"
    ]
    return sorted(found, key=lambda entry: -ORDER[entry.fate])


def _losses(lost: Sequence[Entry], width: int, paint: Paint) -> list[str]:
    """The lost keys by fate and reason; the same key in several files is told once."""
    folder = _common_folder([entry.file for entry in lost])
    lines = [f"Lost or changed on the way: {count(len(lost), 'key')}" + (f" of {visible(folder)}" if folder else "")]
    groups = _by_reason(lost)
    most = max(3, SHOWN // len(groups))
    folded = False
    for (fate, reason), keys in groups.items():
        role = "warn" if ORDER[fate] <= ORDER[APPROXIMATED] else "bad"
        lines.append(f"  {paint(fate, role)}" + (f": {visible(reason)}" if reason else ""))
        rows = []
        for key, entries in list(keys.items())[:most]:
            first = entries[0]
            file = first.file[len(folder) :]
            spot = visible(file if first.line is None else f"{file}:{first.line}")
            spot += f" and {len(entries) - 1} more" if len(entries) > 1 else ""
            rows.append([shorten(key, 40), _change(first), "" if reason else visible(_why(first)), spot])
        lines.append(grid(rows, width=width, indent=4, whole=[0]))
        if len(keys) > most:
            folded = True
            lines.append(f"    ... and {len(keys) - most} more")
    if folded:
        lines.append("  --ledger FILE lists every key")
    return lines


def _by_reason(lost: Sequence[Entry]) -> dict[tuple[str, str], dict[str, list[Entry]]]:
    """(fate, reason) -> key -> entries; keys whose reason is theirs alone are put together under ""."""
    reasons: dict[tuple[str, str], set[str]] = {}
    for entry in lost:
        reasons.setdefault((entry.fate, entry.says), set()).add(_key(entry))
    groups: dict[tuple[str, str], dict[str, list[Entry]]] = {}
    for entry in lost:
        own = entry.fate in (LINK_LOST, ROUNDED) or len(reasons[entry.fate, entry.says]) == 1
        group = groups.setdefault((entry.fate, "" if own else entry.says), {})
        group.setdefault(_key(entry), []).append(entry)
    return groups


def _key(entry: Entry) -> str:
    return "/".join((*entry.path, entry.key))


def _common_folder(files: Sequence[str]) -> str:
    """What all paths begin with, up to a slash, where there are several files."""
    folders = {file[: file.rfind("/") + 1] for file in files}
    return folders.pop() if len(folders) == 1 and len(set(files)) > 1 else ""


def _change(entry: Entry) -> str:
    before = shorten(entry.before or "", 36)
    return before if entry.after is None else f"{before} -> {shorten(entry.after, 36)}"


def _why(entry: Entry) -> str:
    if entry.fate == LINK_LOST:
        return ""  # the change shows the relation already
    if entry.residual is None or not isinstance(entry.setting, str):
        return entry.says
    from fractions import Fraction

    size = spell(Fraction(f"{entry.residual:.3g}"))
    off = f"off by {size} {unit(SETTINGS[entry.setting].unit)}".rstrip()
    return f"{entry.says}; {off}" if entry.says and entry.fate != ROUNDED else off


def read_back(ledger: Ledger, paint: Paint = plain) -> str:
    """The result of reading the output through the target's table."""
    total = ledger.equal + ledger.differs
    text = f"{ledger.equal} of {count(total, 'setting')} read back equal"
    return paint(text, "bad" if ledger.differs else "good")

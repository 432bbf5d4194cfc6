"""What an archive holds, what was found in it and how it is related: as JSON, as text and as CSV."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from convert.archive.kin import Kin, Outlier, Relation
from convert.archive.query import Hit
from convert.archive.run import Summary
from convert.model.setting import SETTINGS
from convert.report.grid import WIDTH, Paint, count, grid, plain
from convert.report.visible import visible

MOST = 20
"""Lines of one kind that the table for people shows."""

Findings = Mapping[int, Sequence[tuple[str, str, str]]]
"""Meaning -> (severity, rule, what it says)."""

# ---- normalise


def summary_document(found: Summary) -> dict[str, Any]:
    """The normalise/1 result."""
    return {
        "beadwise": "normalise/1",
        "found": found.found,
        "read": found.read,
        "distinct": found.distinct,
        "unchanged": found.unchanged,
        "profiles": found.profiles,
        "meanings": found.meanings,
        "refused": [{"path": path, "reason": reason} for path, reason in found.refused],
        "skipped": [{"path": path, "reason": reason} for path, reason in found.skipped],
        "unresolved": [{"path": path, "profile": name, "reason": reason} for path, name, reason in found.unresolved],
    }


def summary_table(found: Summary, *, width: int = WIDTH, paint: Paint = plain) -> str:
    """The result of a run for people."""
    lines = []
    for title, role, rows in (("refused", "bad", found.refused), ("skipped", "", found.skipped)):
        lines += _listed(title, role, [(visible(path), visible(why)) for path, why in rows], width, paint)
    broken = [(f"{visible(path)} [{visible(name)}]", visible(why)) for path, name, why in found.unresolved]
    refused = {path for path, _ in found.refused}
    broken = [row for row, one in zip(broken, found.unresolved, strict=True) if one[0] not in refused]
    lines += _listed("without its parent", "warn", broken, width, paint)
    lines.append(
        paint(
            f"{found.found} found = {found.read} read + {len(found.refused)} refused + {len(found.skipped)} skipped",
            "head",
        )
    )
    lines.append(
        f"{count(found.distinct, 'distinct file')}, {count(found.profiles, 'profile')} of "
        f"{count(found.meanings, 'meaning')}; {found.unchanged} unchanged since the last run"
    )
    return "\n".join(lines)


def _listed(title: str, role: str, rows: list[tuple[str, str]], width: int, paint: Paint) -> list[str]:
    if not rows:
        return []
    made = [paint(f"{title}: {len(rows)}", role or "head"), grid(rows[:MOST], width=width, indent=2)]
    if len(rows) > MOST:
        made.append(f"  and {len(rows) - MOST} more; --format json lists all")
    return [*made, ""]


# ---- find


def hits_document(hits: Sequence[Hit], findings: Findings | None = None) -> dict[str, Any]:
    """The find/1 result."""
    return {
        "beadwise": "find/1",
        "paths": _paths(hits),
        "distinct": len({hit.meaning for hit in hits}),
        "profiles": [
            {
                "path": hit.path,
                "name": hit.name,
                "scopes": list(hit.scopes),
                "dialect": hit.dialect,
                "values": dict(hit.values),
                **({"findings": _findings(hit, findings)} if findings is not None else {}),
            }
            for hit in hits
        ],
    }


def _findings(hit: Hit, findings: Findings) -> list[dict[str, str]]:
    return [{"severity": a, "rule": b, "says": c} for a, b, c in findings.get(hit.meaning, ())]


def _paths(hits: Sequence[Hit]) -> list[str]:
    return list(dict.fromkeys(hit.path for hit in hits))


def hits_paths(hits: Sequence[Hit]) -> str:
    """One path a line."""
    return "".join(f"{visible(path)}\n" for path in _paths(hits))


def hits_table(
    hits: Sequence[Hit], findings: Findings | None = None, *, width: int = WIDTH, paint: Paint = plain
) -> str:
    """What was found, for people."""
    if not hits:
        return "nothing matches"
    shown = list(hits[0].values)
    rows = []
    for hit in hits:
        cells = [visible(hit.path), visible(hit.name), *(_cell(hit.values[name], name) for name in shown)]
        if findings is not None:
            worst = findings.get(hit.meaning, ())
            more = f" (and {len(worst) - 1} more)" if len(worst) > 1 else ""
            cells.append(f"{worst[0][0]}: {worst[0][1]}{more}" if worst else "")
        rows.append(cells)
    heads = ["path", "profile", *shown, *(["findings"] if findings is not None else [])]
    paths = len(_paths(hits))
    tail = f"{count(len(hits), 'profile')} in {count(paths, 'file')}, {len({hit.meaning for hit in hits})} distinct"
    return f"{grid(rows, heads, width=width, paint=paint)}\n\n{paint(tail, 'head')}"


def _cell(value: Any, name: str) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return ", ".join(_cell(item, name) for item in value)
    setting = SETTINGS[name]
    if setting.kind == "flag":
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return f"{value:.10g} {setting.unit}" if setting.kind != "count" else f"{value:g}"
    text = visible(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def hits_csv(hits: Sequence[Hit], shown: Sequence[str]) -> str:
    """RFC 4180, with line ends as it asks for. No cell of text can start a formula."""
    heads = ["path", "profile", "scopes", "dialect"]
    heads += [f"{name} [{SETTINGS[name].unit}]" if SETTINGS[name].unit else name for name in shown]
    lines = [heads]
    for hit in hits:
        cells = [hit.path, hit.name, " ".join(hit.scopes), hit.dialect]
        lines.append([*cells, *(_plain(hit.values.get(name), name) for name in shown)])
    return "".join(",".join(map(_quoted, line)) + "\r\n" for line in lines)


def _plain(value: Any, name: str) -> str:
    if value is None:
        return ""
    if isinstance(value, list):
        return "; ".join(_plain(item, name) for item in value)
    if SETTINGS[name].kind == "flag":
        return "yes" if value else "no"
    return f"{value:.15g}" if isinstance(value, (int, float)) else str(value)


def _quoted(text: str) -> str:
    """A CSV cell. A text that a sheet would take for a formula gets an apostrophe; a plain number does not.

    >>> _quoted("=1+1"), _quoted("-5"), _quoted("a, b")
    ("'=1+1", '-5', '"a, b"')
    """
    if text[:1] in ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%") and not _is_number(text):
        text = "'" + text
    return '"' + text.replace('"', '""') + '"' if any(char in text for char in ',;"\r\n\t') else text


def _is_number(text: str) -> bool:
    body = text.removeprefix("-")
    return body.replace(".", "", 1).replace("e-", "", 1).replace("e+", "", 1).isdecimal() and body[:1].isdecimal()


# ---- kin


def kin_document(found: Kin) -> dict[str, Any]:
    """The kin/1 result."""
    return {
        "beadwise": "kin/1",
        "exact": found.exact,
        "same_meaning": found.same_meaning,
        "family": [
            {
                "child": one.child,
                "profile": one.label,
                "parent": one.parent,
                "parent_profile": one.parent_label if one.parent is not None else None,
                "changed": list(one.changed),
                "copies": one.copies,
            }
            for one in found.family
        ],
        "outliers": [_outlier(one) for one in found.outliers],
        "units": [
            {
                "setting": one.setting,
                "dialect": one.dialect,
                "unit": one.unit,
                "count": one.count,
                "median": one.median,
                "low": one.low,
                "high": one.high,
                "dissenters": [_outlier(other) for other in one.dissenters],
            }
            for one in found.units
        ],
    }


def _outlier(one: Outlier) -> dict[str, Any]:
    return {
        "path": one.path,
        "profile": one.label,
        "setting": one.setting,
        "value": one.value,
        "unit": SETTINGS[one.setting].unit,
        "median": one.median,
        "factor": one.factor,
        "says": one.says,
        "family": one.family,
    }


def kin_table(found: Kin, *, width: int = WIDTH, paint: Paint = plain, most: int = MOST) -> str:
    """The relations for people."""
    lines: list[str] = []
    for title, groups in (("exact copies", found.exact), ("one meaning in several spellings", found.same_meaning)):
        if groups:
            lines.append(paint(f"{title}: {count(len(groups), 'group')}", "head"))
            for group in groups[:most]:
                lines += [f"  {visible(group[0])}", *(f"    = {visible(path)}" for path in group[1:])]
            lines += _more(len(groups), most)
    lines += _forest(found.family, most, paint)
    if found.outliers:
        lines.append(paint("values that no relative has", "head"))
        rows = [(visible(one.path), one.setting, _value(one), _why(one)) for one in found.outliers[:most]]
        lines += [grid(rows, width=width, indent=2), *_more(len(found.outliers), most)]
    dissent = [(unit, one) for unit in found.units for one in unit.dissenters]
    if dissent:
        lines.append(paint("numbers that speak another unit than the rest of the archive", "head"))
        rows = [(visible(one.path), one.setting, _value(one), _why(one)) for _, one in dissent[:most]]
        lines += [grid(rows, width=width, indent=2), *_more(len(dissent), most)]
    roots = sum(one.parent is None for one in found.family)
    lines.append(
        paint(
            f"{count(len(found.family), 'distinct profile')} in {count(roots, 'family', 'families')}; "
            f"{count(len(found.exact), 'group')} of exact copies, {len(found.same_meaning)} of one meaning",
            "head",
        )
    )
    return "\n".join(lines)


def _more(number: int, most: int) -> list[str]:
    return [f"  and {number - most} more; --format json lists all", ""] if number > most else [""]


def _value(one: Outlier) -> str:
    return f"{one.value:.6g} {SETTINGS[one.setting].unit}"


def _why(one: Outlier) -> str:
    return one.says or f"{one.factor:.3g} times the median of {one.median:.4g}"


def _forest(family: Sequence[Relation], most: int, paint: Paint) -> list[str]:
    """The trees with at least two members, drawn; `family` lists children after their parents, branch by branch."""
    trees: list[list[Relation]] = []
    for one in family:
        if one.parent is None:
            trees.append([])
        trees[-1].append(one)
    grown = sorted((tree for tree in trees if len(tree) > 1), key=len, reverse=True)
    if not grown:
        return []
    lines = [paint(f"families: {len(grown)}, drawn from the oldest", "head")]
    for tree in grown[:most]:
        for one in tree[: 3 * most]:
            changed = ", ".join(one.changed[:4]) + (f" and {len(one.changed) - 4} more" if len(one.changed) > 4 else "")
            copies = f" ({one.copies} copies)" if one.copies > 1 else ""
            lead = "  " + "| " * (one.depth - 1) + "+-" if one.depth else "  "
            lines.append(
                f"{lead}{visible(one.label)}  {visible(one.child)}{copies}" + (f": {changed}" if changed else "")
            )
        if len(tree) > 3 * most:
            lines.append(f"  and {len(tree) - 3 * most} more in this family")
        lines.append("")
    return lines + (_more(len(grown), most) if len(grown) > most else [])

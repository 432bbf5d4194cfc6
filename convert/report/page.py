"""HTML pages that stand by themselves: one file, no scripts, nothing fetched; readable on paper and in the dark."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from convert.report.visible import visible

STYLE = """
:root { color-scheme: light dark; --ink: #1c2024; --faint: #63696f; --rule: #d6d9dc; --paper: #fdfdfb; --bar: #7a8fa6; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #e4e6e8; --faint: #9aa1a8; --rule: #3b4147; --paper: #15181b; --bar: #5d7690; }
}
body { margin: 2rem auto; max-width: 58rem; padding: 0 1.2rem; color: var(--ink); background: var(--paper);
  font: 1rem/1.5 system-ui, sans-serif; }
h1 { font-size: 1.3rem; line-height: 1.35; margin: 0 0 1rem; }
h2 { font-size: 1rem; margin: 2rem 0 .5rem; border-bottom: 1px solid var(--rule); padding-bottom: .2rem; }
p { margin: .2rem 0; }
article { display: grid; grid-template-columns: 6rem 1fr; gap: 0 1rem; padding: .7rem 0; }
article + article { border-top: 1px solid var(--rule); }
article > :first-child { font-weight: 600; margin-top: .2rem; }
.faint, .faint * { color: var(--faint); font-size: .9rem; }
.spoils { color: #a15c00; } .fails, .hurts { color: #b3261e; }
@media (prefers-color-scheme: dark) { .spoils { color: #e0a44c; } .fails, .hurts { color: #f28b82; } }
.signal { display: inline-block; padding: 0 .5rem; color: #000; font-weight: 700; }
.CAUTION { background: #f9d423; } .WARNING { background: #ff8c1a; } .DANGER { background: #c8102e; color: #fff; }
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; font-size: .95rem; }
th, td { text-align: left; padding: .15rem .9rem .15rem 0; vertical-align: top; font-weight: 400; }
thead th, tfoot td { color: var(--faint); border-bottom: 1px solid var(--rule); }
.right { text-align: right; white-space: nowrap; }
.bar { display: block; height: .35rem; margin-top: .6rem; background: var(--bar); min-width: 1px; }
code { font-family: ui-monospace, monospace; font-size: .92em; overflow-wrap: anywhere; }
@media print { body { margin: 0; max-width: none; } article { break-inside: avoid; } }
"""


class Html(str):
    """Text that is HTML already; any other text is escaped where it is put in."""

    __slots__ = ()


def element(name: str, *inside: str | None, **attributes: str) -> Html:
    """An element; `class_` is the attribute class. None is left out, plain text escaped, control characters shown.

    >>> element("p", "a < b", element("code", "x"), class_="faint")
    '<p class="faint">a &lt; b<code>x</code></p>'
    """
    given = "".join(f' {key.rstrip("_")}="{escape(value)}"' for key, value in attributes.items())
    return Html(f"<{name}{given}>{joined(inside)}</{name}>")


def joined(parts: Iterable[str | None]) -> Html:
    """Parts one after the other."""
    return Html("".join(_escaped(part) for part in parts if part is not None))


def _escaped(part: str) -> str:
    if isinstance(part, Html):
        return part
    return escape(visible(part)).replace(" %", "&nbsp;%")  # no line starts with the sign


def table(rows: Sequence[Sequence[str]], heads: Sequence[str] = (), right: Sequence[int] = ()) -> Html:
    """A table; `right` are the columns set to the right."""

    def line(cells: Sequence[str], name: str) -> Html:
        sides = ({"class_": "right"} if at in right else {} for at in range(len(cells)))
        return element("tr", *(element(name, cell, **side) for cell, side in zip(cells, sides, strict=True)))

    head = element("thead", line(heads, "th")) if heads else None
    return element("table", head, element("tbody", *(line(row, "td") for row in rows)))


def bar(share: float) -> Html:
    """A bar of so much of its column, 0 to 1."""
    return element("span", class_="bar", style=f"width:{100 * min(max(share, 0), 1):.1f}%")


def entry(severity: str, signal: str | None, *inside: str | None) -> Html:
    """One finding or change: its severity at the side, then what is said; a signal word stands before all."""
    mark = element("p", element("span", signal, class_=f"signal {signal}")) if signal else None
    return element("article", element("div", severity, class_=severity), element("div", mark, *inside))


def section(title: str, *inside: str | None) -> Html | None:
    """A part of the page under a heading; none if there is nothing to put into it."""
    return element("section", element("h2", title), *inside) if inside else None


def page(title: str, *body: Html | None) -> bytes:
    """The file: a title, which is its first heading too, and what follows."""
    head = joined(
        [
            Html('<meta charset="utf-8">'),
            Html('<meta name="viewport" content="width=device-width, initial-scale=1">'),
            element("title", title),
            Html(f"<style>{STYLE}</style>"),
        ]
    )
    lines = [f"<head>{head}</head>", "<body>", element("h1", title), *(part for part in body if part), "</body>"]
    text = "\n".join(["<!doctype html>", '<html lang="en">', *lines, "</html>", ""])
    return text.encode("utf-8", "backslashreplace")

"""A comparison as a page to send or print: the verdict, changes gravest first, figures, their causes, the verdict."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from convert.changes.difference import Compared, Difference
from convert.changes.meaning import Change
from convert.report.diff import asides, chosen, figure_row, label, shared, ways, whys
from convert.report.page import Html, bar, element, entry, page, section, table

if TYPE_CHECKING:
    from convert.changes.symptoms import Suspect


def document(
    result: Difference, *, everything: bool = False, about: str | None = None, suspects: Sequence[Suspect] = ()
) -> bytes:
    """The page; with `about`, the suspects of a symptom instead of all changes."""
    said = result.verdict()
    told = _suspects(about, suspects) if about is not None else [_change(*one) for one in result.changes]
    return page(
        said,
        *(element("p", text, class_="faint") for text in _pairs(result)),
        *told,
        *(
            entry(found.severity, found.signal, element("p", f"Now also {found.rule}: {found.says}"))
            for found in result.unplaced
        ),
        *(part for one in result.results for part in (_figures(one, everything), _causes(one))),
        section("Means nothing", table([[why, ", ".join(names)] for why, names in whys(result, everything).items()]))
        if result.same
        else None,
        section("Beside that", *(element("p", text) for text in asides(result))),
        section("Verdict", element("p", said)),
    )


def _pairs(result: Difference) -> list[str]:
    found = []
    for one in result.results:
        old, new = (side.name if side is not None else "nothing" for side in (one.pair.old, one.pair.new))
        found.append(f"{old} → {new} ({' + '.join(one.pair.scopes)})")
    return found


def _change(change: Change, results: Sequence[Compared]) -> Html:
    marks = ways(change)
    return entry(
        change.severity,
        change.signal,
        element("p", f"{change.effect}."),
        element("p", change.precaution) if change.precaution else None,
        element("p", element("code", change.cause)),
        *(element("p", f"{one.severity}, {one.rule}: {one.says}", class_="faint") for one in change.come),
        element("p", f"no longer, or less: {', '.join(one.rule for one in change.gone)}", class_="faint")
        if change.gone
        else None,
        element("p", ", ".join(marks), class_="faint") if marks else None,
        element("p", f"in {', '.join(one.pair.name for one in results)}", class_="faint") if len(results) > 1 else None,
    )


def _suspects(about: str, suspects: Sequence[Suspect]) -> list[Html]:
    if not suspects:
        return [element("p", f"No change here is known to cause this: {about}.")]
    return [
        entry(str(number), None, element("p", one.why), element("p", element("code", one.change.cause)))
        for number, one in enumerate(suspects, 1)
    ]


def _figures(one: Compared, everything: bool) -> Html | None:
    rows = [figure_row(figure) for figure in chosen(one, everything)]
    if not rows:
        return None
    return section(f"Figures of {one.pair.name}", table(rows, ["", "before", "after", "", ""], (1, 2, 4)))


def _causes(one: Compared) -> Html | None:
    """What each change causes of the total; the bars are of its share in time, for the eye."""
    made, total = shared(one)
    if not made:
        return None
    most = max(abs(part.amount[0]) for part, _ in made) or 1
    rows = [[label(part.settings), *said, bar(abs(part.amount[0]) / most)] for part, said in made]
    rows.append(["together", *total, ""])
    how = "interactions shared out" if one.exact else "interactions shared out, sampled, with standard errors"
    heads = ["", "time", "plastic", "peak flow", "in time"]
    return section(f"What causes it in {one.pair.name} (the block, {how})", table(rows, heads, (1, 2, 3)))

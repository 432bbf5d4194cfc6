"""An audit as a page to send or print: the verdict, findings gravest first, what was not told, the verdict again."""

from __future__ import annotations

from collections.abc import Sequence

from convert.errors import BeadwiseError, Problem
from convert.model.profile import Profile
from convert.report.audit import gaps, setup_label, verdict
from convert.report.audit_words import places, setup_name
from convert.report.page import Html, element, entry, page, section, table
from convert.rules.bundle import Judged, Result
from convert.rules.finding import DEFERENCE


def document(
    result: Result,
    profiles: Sequence[Profile],
    errors: Sequence[BeadwiseError | Problem] = (),
    doubts: Sequence[Problem] = (),
) -> bytes:
    """The page. `errors` are files that could not be read, `doubts` what is wrong with those that could."""
    said = verdict(result)
    setups = [setup_name(list(names.values())) for names in result.setups]
    told = [str(one) for one in (*errors, *doubts)]
    hidden = [(one.finding.rule + setup_label(one, result), why.reason) for one, why in result.suppressed]
    unused = [(one.label(), "needed by nothing") for one in result.unused]
    return page(
        said,
        element("p", *(part for name in setups for part in (name, Html("<br>"))), class_="faint"),
        section("The files", *(element("p", text) for text in told)),
        *(_finding(one, result, profiles) for one in result.findings),
        section("Cannot tell", table([[need, ", ".join(rules)] for need, rules in gaps(result)], ["for want of", ""]))
        if result.not_checked
        else None,
        section("Assumed", table(sorted(result.assumed.items()))) if result.assumed else None,
        section("Suppressed", table([*hidden, *unused])) if hidden or unused else None,
        section("Verdict", element("p", said)),
    )


def _finding(one: Judged, result: Result, profiles: Sequence[Profile]) -> Html:
    finding = one.finding
    where = [
        f"{setting} ({origin.file}{f':{origin.line}' if origin.line else ''})" if origin else setting
        for setting, origin in places(one, profiles)
    ]
    mends = "  ".join(f'{mend.setting}="{mend.to}"' for mend in finding.repair)
    return entry(
        finding.severity,
        finding.signal,
        element("p", finding.says),
        element("p", f"{finding.precaution} {DEFERENCE}") if finding.signal else None,
        element("p", "At ", element("code", finding.where)) if finding.where else None,
        element("p", "Passes with ", element("code", mends)) if mends else None,
        *(element("p", f"So also {other.rule}: {other.says}", class_="faint") for other in finding.consequences),
        element(
            "p", f"{finding.rule}{setup_label(one, result)} · {', '.join(where)} · {finding.source}", class_="faint"
        ),
    )

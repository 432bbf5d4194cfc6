"""More or less filament pushed forward than was pulled back."""

from __future__ import annotations

from collections.abc import Iterator

from convert.physics.retraction import retraction_volume
from convert.rules.finding import Finding, Repair
from convert.rules.judged import above, usable
from convert.rules.retraction._pull import ordinal, pulls
from convert.rules.rule import Rule
from convert.rules.setup import Setup
from convert.rules.words import num

SOURCE = "common practice"
STEPS = ((0.0, "note"), (-1.0, "differs"), (-4.0, "spoils"))


def check(setup: Setup) -> Iterator[Finding]:
    more = setup.get("retract.overfeed")
    if not pulls(setup) or not more:
        return
    most = setup.limit("retraction.overfeed.max")
    diameter = setup.assume("feedstock.diameter", 1.75, "the usual filament")
    volume = usable(retraction_volume, abs(more), diameter)
    what = "begins with a blob" if more > 0 else "begins with a gap"
    says = (
        f"Every line after a travel {what} of {num(volume)} mm3: {num(abs(more))} mm {'more' if more > 0 else 'less'} "
        f"filament{ordinal(setup, 'retract.overfeed')} is pushed forward than was pulled back."
    )
    repair = (Repair("retract.overfeed", "0 mm"),)
    yield from above("overfeed-odd", ("retract.overfeed",), abs(more), most, "mm", STEPS, says, SOURCE, repair)


RULE = Rule(
    code="overfeed-odd",
    question="Is as much filament pushed forward as was pulled back?",
    needs=("retract.overfeed", "feedstock.diameter"),
    source=SOURCE,
    check=check,
    good={"retract.overfeed": "0.02 mm", "feedstock.diameter": "1.75 mm"},
    bad={"retract.overfeed": "0.8 mm", "feedstock.diameter": "1.75 mm"},
    severity="differs",
)

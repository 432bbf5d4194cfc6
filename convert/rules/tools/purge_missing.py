"""A print that changes tools within its layers and has nowhere to purge them."""

from __future__ import annotations

from collections.abc import Iterator

from convert.rules.finding import Finding, Repair
from convert.rules.rule import Rule
from convert.rules.setup import Setup

SOURCE = "common practice: a tool that has waited has dripped, and its nozzle is partly empty"


def check(setup: Setup) -> Iterator[Finding]:
    tool, count = setup.get("support.tool"), setup.get("tool.count")
    if not tool or not count or count < 2 or tool > count or not setup.is_on("support.enabled"):
        return
    if setup.value("purge.tower") is not False or setup.get("purge.volume") != 0:
        return
    code = setup.value("code.tool_change")
    if isinstance(code, str) and any(line.strip() and not line.strip().startswith(";") for line in code.splitlines()):
        return  # the machine may purge by itself there
    own = bool(setup.get("heat.nozzle_standby"))
    rest = "although the waiting nozzle drips" if own else "and what the nozzle still holds goes into the part"
    says = (
        f"Each change to tool {tool:.0f} and back leaves blobs and gaps: there is no purge tower, nothing is purged, "
        f"{rest}."
    )
    yield Finding(
        rule="purge-missing",
        severity="differs" if own else "spoils",
        settings=("purge.tower", "purge.volume", "support.tool"),
        says=says,
        source=SOURCE,
        repair=(Repair("purge.tower", "true"),),
    )


RULE = Rule(
    code="purge-missing",
    question="Is there a place to purge where tools change within a layer?",
    needs=(
        "support.enabled",
        "support.tool",
        "tool.count",
        "purge.tower",
        "purge.volume",
        "heat.nozzle_standby",
        "code.tool_change",
    ),
    source=SOURCE,
    check=check,
    good={
        "support.enabled": "true",
        "support.tool": "2",
        "tool.count": "2",
        "purge.tower": "true",
        "purge.volume": "0 mm3",
    },
    bad={
        "support.enabled": "true",
        "support.tool": "2",
        "tool.count": "2",
        "purge.tower": "false",
        "purge.volume": "0 mm3",
    },
    severity="spoils",
)

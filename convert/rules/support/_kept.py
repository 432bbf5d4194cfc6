"""What the rules on support share."""

from __future__ import annotations

from convert.rules.setup import Setup


def other_material(setup: Setup) -> bool:
    """Whether support is laid from another tool than the first, and so from another filament, or is washed out."""
    tool, count = setup.get("support.tool"), setup.get("tool.count")
    return setup.is_on("feedstock.soluble") or bool(tool and tool > 1 and count and count > 1)

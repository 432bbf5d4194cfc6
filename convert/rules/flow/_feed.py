"""What the rules on the feed share: the smallest stated limit of the filament's motion."""

from __future__ import annotations

from convert.rules.setup import Missing, Setup


def feed_limit(setup: Setup, part: str) -> tuple[str, float]:
    """The setting and value of the smaller limit, of the mechanism or of the controller. `part`: max_speed ..."""
    names = (f"feed.{part}", f"axis.e.{part}")
    found = {name: value for name in names if (value := setup.get(name) or 0.0) > 0}
    if not found:
        raise Missing(" or ".join(names))
    name = min(found, key=lambda one: found[one])
    return name, found[name]

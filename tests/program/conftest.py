"""Hypothesis without a deadline: the machine that runs the tests may be busy with other things."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("steady", deadline=None)
settings.load_profile("steady")

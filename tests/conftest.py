"""Shared by all tests: property tests are not judged by the clock."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("beadwise", deadline=None)
settings.load_profile("beadwise")

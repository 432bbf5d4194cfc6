"""Shared by all tests: property tests are not judged by the clock, and the gate repeats the same examples each time.

On a person's machine they look for new examples at every run; what they find there becomes a case of its own.
"""

from __future__ import annotations

import os

from hypothesis import settings

settings.register_profile("beadwise", deadline=None, derandomize=bool(os.environ.get("CI")))
settings.load_profile("beadwise")

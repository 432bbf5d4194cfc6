"""beadwise: convert, compare and audit the settings of material-extrusion printers.

>>> import convert
>>> sorted(set(convert.__all__) - set(dir(convert)))
[]
"""

from __future__ import annotations

__version__ = "0.1.0"

_FROM = {
    "Profile": "convert.model.profile",
    "Session": "convert.api",
    "audit": "convert.api",
    "convert": "convert.api",
    "diff": "convert.api",
    "learn": "convert.api",
    "read": "convert.api",
    "write": "convert.api",
}
"""Public name -> the module that holds it, imported on first use."""

__all__ = ["Profile", "Session", "__version__", "audit", "convert", "diff", "learn", "read", "write"]


def __getattr__(name: str) -> object:
    if name not in _FROM:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    value: object = getattr(import_module(_FROM[name]), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})

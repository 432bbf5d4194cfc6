"""The process `beadwise`, also as `python -m convert`: imports the command line and runs it."""

from __future__ import annotations

import sys


def main() -> None:
    """Run, and leave with the exit status. Modules are imported inside, so that an interrupt is one from the start."""
    try:
        from convert.cli.main import entry
    except KeyboardInterrupt:
        print("beadwise: interrupted", file=sys.stderr)
        sys.exit(130)
    entry()


if __name__ == "__main__":
    main()

"""`python -m convert` is `beadwise`."""

from convert.cli.main import main

raise SystemExit(main())

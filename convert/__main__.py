"""`python -m convert` is the command `beadwise`."""

from convert.cli.main import entry

if __name__ == "__main__":
    entry()

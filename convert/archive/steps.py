"""The steps that make the catalogue's tables. A step is never changed once it is out; a new one is added behind it."""

from __future__ import annotations


def quoted(name: str) -> str:
    """A name as SQL writes it; setting ids have dots."""
    return f'"{name}"'


def _first() -> list[str]:
    from convert.archive.meaning import LABELS, columns

    labels = ", ".join(quoted(name) for name in LABELS)
    settings = ", ".join(quoted(name) for name in columns())
    return [
        "CREATE TABLE facts (name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID",
        "CREATE TABLE dialects (dialect TEXT PRIMARY KEY, sha TEXT NOT NULL) WITHOUT ROWID",
        "CREATE TABLE runs (id INTEGER PRIMARY KEY, started TEXT NOT NULL, ended TEXT, outcome TEXT,"
        " tool TEXT NOT NULL, tables TEXT NOT NULL, looked INTEGER, unchanged INTEGER)",
        # A zip is a folder too; its size and time are set once all its members are in.
        "CREATE TABLE folders (id INTEGER PRIMARY KEY, path TEXT NOT NULL UNIQUE, size INTEGER, mtime INTEGER)",
        "CREATE TABLE files (id INTEGER PRIMARY KEY, folder INTEGER NOT NULL REFERENCES folders, name TEXT NOT NULL,"
        " size INTEGER NOT NULL, mtime INTEGER NOT NULL, made INTEGER NOT NULL, sha BLOB,"
        " status TEXT NOT NULL, why TEXT NOT NULL, dialect TEXT NOT NULL, UNIQUE (folder, name))",
        "CREATE INDEX files_left ON files (status) WHERE status <> 'read'",
        "CREATE INDEX files_dialect ON files (dialect)",
        "CREATE TABLE meanings (id INTEGER PRIMARY KEY, digest BLOB NOT NULL UNIQUE, scopes INTEGER NOT NULL,"
        " size INTEGER NOT NULL, body TEXT NOT NULL, judged TEXT)",
        f"CREATE TABLE numbers (id INTEGER PRIMARY KEY REFERENCES meanings, {settings})",
        "CREATE TABLE profiles (id INTEGER PRIMARY KEY, file INTEGER NOT NULL REFERENCES files,"
        " ordinal INTEGER NOT NULL, folder INTEGER NOT NULL, dialect TEXT NOT NULL,"
        " name TEXT NOT NULL, scopes INTEGER NOT NULL, meaning INTEGER,"
        " own TEXT, added TEXT NOT NULL, parents TEXT NOT NULL, broken TEXT NOT NULL, line INTEGER NOT NULL,"
        f" outside INTEGER NOT NULL, error TEXT, {labels}, UNIQUE (file, ordinal))",
        "CREATE INDEX profiles_meaning ON profiles (meaning)",
        "CREATE INDEX profiles_name ON profiles (name, folder)",
        "CREATE INDEX profiles_outside ON profiles (file) WHERE outside",
        "CREATE TABLE findings (meaning INTEGER NOT NULL REFERENCES meanings, rule TEXT NOT NULL,"
        " severity INTEGER NOT NULL, signal TEXT, settings TEXT NOT NULL, says TEXT NOT NULL)",
        "CREATE INDEX findings_meaning ON findings (meaning, severity)",
    ]


STEPS = (_first,)
"""Step n leads to version n, counted from 1."""

"""Writes corpus/workshop/<dialect>/ from the master sheets with the tool itself: `python -m tests.corpus.make`.

Dialects that hold whole setups get one file for each setup; all others get what belongs to each machine: itself, its
processes and the filaments that are printed on it, with their parents.
"""

from __future__ import annotations

from convert.api import Session
from tests.corpus.sheets import CORPUS, MASTER, document, setups

DIALECTS = ("canonical", "quern", "trug", "sedge", "hasp", "withy", "skep")
WHOLE = ("quern", "withy")


def lineage(name: str) -> list[str]:
    """A sheet and its parents, parents first."""
    parent = document(name).get("based_on")
    return [*(lineage(parent) if parent else []), name]


def batches(dialect: str) -> list[list[str]]:
    """The sheets that are converted together."""
    if dialect in WHOLE:
        return [one["files"] for one in setups()]
    found: dict[str, list[str]] = {}
    for one in setups():
        sheets = found.setdefault(one["files"][0], [])
        sheets += [sheet for name in one["files"] for sheet in lineage(name) if sheet not in sheets]
    return list(found.values())


def made(session: Session, dialect: str) -> dict[str, bytes]:
    """File name -> bytes. Problems are errors here: all that the workshop says can be said or is dropped by name."""
    files: dict[str, bytes] = {}
    for sheets in batches(dialect):
        inputs = session.read([str(MASTER / name) for name in sheets])
        assert not inputs.errors, inputs.errors
        result = session.convert(inputs, dialect)
        assert not result.problems, [str(problem) for problem in result.problems]
        assert result.ledger.differs == 0
        for file in result.files:
            assert files.setdefault(file.name, file.data) == file.data, file.name
    return files


def main() -> None:
    session = Session()
    for dialect in DIALECTS:
        folder = CORPUS / "workshop" / dialect
        folder.mkdir(exist_ok=True)
        files = made(session, dialect)
        for name, data in files.items():
            (folder / name).write_bytes(data)
        print(f"{dialect}: {len(files)} files")


if __name__ == "__main__":
    main()

"""Findings of every meaning in the catalogue.

Judging takes far longer than reading, so it is done when findings are wanted.
"""

from __future__ import annotations

import json
from collections import deque
from collections.abc import Callable, Iterator
from hashlib import sha256

from convert.archive.catalogue import Catalogue
from convert.archive.digest import scopes_of
from convert.archive.meaning import decode
from convert.archive.pool import Engine, Pool
from convert.model.setting import SCOPES
from convert.rules.engine import audit
from convert.rules.finding import RANK, SEVERITIES, Finding
from convert.rules.rulesets import rules

BATCH = 50

Row = tuple[str, int, str | None, str, str]
"""Rule, severity as a number, signal word, settings as JSON, and what it says."""


def version(tool: str) -> str:
    """What findings depend on beside the settings: the version, and the rules in force."""
    return sha256(" ".join([tool, *(rule.code for rule in rules())]).encode()).hexdigest()[:16]


def prepare() -> None:
    """Nothing to load ahead."""


def judge_batch(batch: list[tuple[int, int, str]]) -> list[tuple[int, list[Row]]]:
    """(id, scopes, text) of meanings -> (id, findings)."""
    found = []
    for number, scopes, body in batch:
        names = {scope: "" for scope in SCOPES if scope in scopes_of(scopes)}
        result = audit(decode(body), rules(), names)
        found.append((number, [row for finding in result.findings for row in _rows(finding)]))
    return found


def _rows(finding: Finding) -> Iterator[Row]:
    for one in (finding, *finding.consequences):
        yield one.rule, RANK[one.severity], one.signal, json.dumps(one.settings), one.says


def judge(
    catalogue: Catalogue,
    tool: str,
    jobs: int = 1,
    progress: Callable[[int], None] | None = None,
    cluster: Engine | None = None,
) -> int:
    """Judge what these rules have not judged, in `jobs` processes or on a cluster; how many meanings that were."""
    now = version(tool)
    waiting: deque[list[tuple[int, int, str]]] = deque()

    def batches() -> Iterator[list[tuple[int, int, str]]]:
        last = 0
        while True:
            rows = catalogue.rows(
                "SELECT id, scopes, body FROM meanings WHERE judged IS NOT ? AND id > ? ORDER BY id LIMIT ?",
                now,
                last,
                BATCH,
            ).fetchall()
            if not rows:
                return
            last = rows[-1][0]
            waiting.append(rows)
            yield rows

    def judged() -> Iterator[list[tuple[int, list[Row]]]]:
        if cluster is None:
            return pool.map(judge_batch, batches())
        from convert.archive.remote import map_agreed

        return map_agreed(cluster, judge_batch, batches())

    pool = Pool(jobs, prepare, ())
    done = 0
    try:
        for results in judged():
            waiting.popleft()
            with catalogue.atomic() as db:
                for number, found in results:
                    db.execute("DELETE FROM findings WHERE meaning = ?", (number,))
                    db.executemany("INSERT INTO findings VALUES (?, ?, ?, ?, ?, ?)", [(number, *row) for row in found])
                    db.execute("UPDATE meanings SET judged = ? WHERE id = ?", (now, number))
            done += len(results)
            if progress is not None:
                progress(done)
    except BaseException:
        pool.close(at_once=True)
        raise
    pool.close()
    return done


def unjudged(catalogue: Catalogue, tool: str) -> int:
    """How many meanings these rules have not judged."""
    found: int = catalogue.one("SELECT count(*) FROM meanings WHERE judged IS NOT ?", version(tool))[0]
    return found


def worst(catalogue: Catalogue, meanings: set[int], severity: int) -> dict[int, list[tuple[str, str, str]]]:
    """For some meanings, the findings as grave as this: (severity, rule, what it says), worst first."""
    found: dict[int, list[tuple[str, str, str]]] = {}
    for meaning in sorted(meanings):
        rows = catalogue.rows(
            "SELECT severity, rule, says FROM findings WHERE meaning = ? AND severity >= ?"
            " ORDER BY severity DESC, rule",
            meaning,
            severity,
        )
        found[meaning] = [(SEVERITIES[rank], rule, says) for rank, rule, says in rows]
    return found

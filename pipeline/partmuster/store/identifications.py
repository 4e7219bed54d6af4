"""The history of conclusions: what an item's words or a name are taken to mean, from when to when.

A conclusion that comes out the same is left alone; one that changed closes the old rows and adds
new ones, so that yesterday's answer can be asked for again.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.columns import polars_schema
from partmuster_schemas.records import Identification

from .decisions import NONE, standing_decisions
from .frames import first_row, shaped, stage
from .narrowed import is_narrowed, spread_over_lines

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

#: Columns of a conclusion before it is recorded.
CONCLUSION_SCHEMA = {
    name: dtype
    for name, dtype in polars_schema(Identification).items()
    if name not in ("recorded_from", "recorded_to")
}

CONTRADICTORY = "two decisions contradict each other"

_DIGEST = (
    "md5(string_agg(concat_ws('|', rank, coalesce(target, ''), probability, method, "
    "coalesce(reasons, ''), accepted), chr(10) ORDER BY rank))"
)


def load_identifications(
    con: DuckDBPyConnection, identifications: pl.DataFrame, now: dt.datetime
) -> int:
    """Record conclusions about items; return how many keys are concluded otherwise than before.

    ``identifications``: columns of ``Identification`` without the recorded ones, all rows of each
    key. Standing decisions on parts rule over them: a decision on an item key replaces its rows,
    one on some lines only (``narrowed``) is recorded under the key of each, and where two
    contradict nothing is accepted.
    """
    stage(con, "concluded", shaped(identifications, CONCLUSION_SCHEMA))
    _apply_decisions(con, now)
    return record_concluded(con, now)


def record_concluded(con: DuckDBPyConnection, now: dt.datetime) -> int:
    """Record the temporary table ``concluded``; return how many keys changed."""
    con.execute(
        f"""
        CREATE OR REPLACE TEMP TABLE otherwise AS
        WITH fresh AS (
            SELECT role, key, {_DIGEST} AS digest FROM concluded GROUP BY role, key
        ), standing AS (
            SELECT role, key, {_DIGEST} AS digest FROM identification
            SEMI JOIN fresh USING (role, key)
            WHERE recorded_to IS NULL
            GROUP BY role, key
        )
        SELECT role, key, s.key IS NOT NULL AS had
        FROM fresh f LEFT JOIN standing s USING (role, key)
        WHERE s.digest IS DISTINCT FROM f.digest
        """  # noqa: S608  (no outside text)
    )
    counted = first_row(con, "SELECT count(*), count(*) FILTER (had) FROM otherwise")
    changed, had = counted or (0, 0)
    if had:
        con.execute(
            "UPDATE identification SET recorded_to = ? FROM otherwise o WHERE o.had "
            "AND identification.role = o.role AND identification.key = o.key "
            "AND identification.recorded_to IS NULL",
            [now],
        )
    if changed:
        con.execute(
            "INSERT INTO identification BY NAME SELECT c.*, CAST(? AS TIMESTAMP) AS recorded_from "
            "FROM concluded c JOIN otherwise USING (role, key)",
            [now],
        )
    return int(changed)


def _apply_decisions(con: DuckDBPyConnection, now: dt.datetime) -> None:
    """Let people's decisions rule over the staged conclusions."""
    if not first_row(con, "SELECT 1 FROM decision LIMIT 1"):
        return
    standing = spread_over_lines(con, standing_decisions(con, "part"))
    decided = [
        {
            "role": "part",
            "key": subject,
            "rank": 1,
            "target": None if said.answer == NONE else said.answer,
            "probability": 1.0,
            "method": "decision",
            "reasons": f"decided by {said.decided_by}",
            "accepted": said.answer != NONE,
        }
        for subject, said in standing.items()
        if said.answer is not None
    ]
    decided += [
        {
            "role": "part", "key": subject, "rank": rank,
            "target": None if answer == NONE else answer,
            "probability": round(1 / len(said.answers), 4), "method": "fuzzy",
            "reasons": CONTRADICTORY, "accepted": False,
        }
        for subject, said in standing.items()
        if said.answer is None and is_narrowed(subject)
        for rank, answer in enumerate(said.answers, 1)
    ]  # fmt: skip
    stage(con, "decided", pl.DataFrame(decided, schema=CONCLUSION_SCHEMA))
    con.execute(
        "DELETE FROM decided WHERE key NOT IN (SELECT item_key FROM item_key) "
        "AND NOT starts_with(key, 'line:')"
    )
    con.execute("DELETE FROM concluded WHERE role = 'part' AND key IN (SELECT key FROM decided)")
    con.execute("INSERT INTO concluded SELECT * FROM decided")
    disputed = [
        subject
        for subject, said in standing.items()
        if said.answer is None and not is_narrowed(subject)
    ]
    stage(con, "disputed", pl.DataFrame({"key": disputed}, schema={"key": pl.String}))
    con.execute(
        f"""
        INSERT INTO concluded
        SELECT {", ".join(CONCLUSION_SCHEMA)} FROM identification
        WHERE recorded_to IS NULL AND role = 'part' AND key IN (SELECT key FROM disputed)
            AND key NOT IN (SELECT key FROM concluded WHERE role = 'part')
        """  # noqa: S608  (no outside text)
    )
    con.execute(
        "UPDATE concluded SET accepted = false, "  # noqa: S608 - own words
        "method = CASE method WHEN 'decision' THEN 'fuzzy' ELSE method END, "
        f"reasons = '{CONTRADICTORY}' "
        "WHERE role = 'part' AND key IN (SELECT key FROM disputed)"
    )
    # A decision on some lines that was taken back leaves the line to its item key again.
    con.execute(
        "UPDATE identification SET recorded_to = ? WHERE recorded_to IS NULL AND role = 'part' "
        "AND starts_with(key, 'line:') AND key NOT IN (SELECT key FROM decided)",
        [now],
    )

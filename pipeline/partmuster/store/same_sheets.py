"""Which sources may be one list under two names, and which of their lines are then one item."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

import polars as pl

from .frames import stage

if TYPE_CHECKING:
    from collections.abc import Iterable

    from duckdb import DuckDBPyConnection

#: Two sources of which the smaller has so many holdings, and such a share of them, in the other.
_LINES: Final = 5
_MOSTLY: Final = 0.8

#: How much two sources have in common: rows of the same words, or items that may be one.
_ALIKE = f"""
    CREATE OR REPLACE TEMP TABLE sheets_alike AS
    WITH held AS (
        SELECT source_id, words FROM said_holding WHERE recorded_to IS NULL AND NOT gone
    ), size AS (
        SELECT source_id, count(*) AS lines FROM held GROUP BY source_id HAVING lines >= {_LINES}
    ), rows AS (
        SELECT source_id, words, count(*) AS lines FROM held SEMI JOIN size USING (source_id)
        GROUP BY ALL
    ), common AS (
        SELECT a.source_id AS one, b.source_id AS other, sum(least(a.lines, b.lines)) AS equal
        FROM rows a JOIN rows b ON b.words = a.words AND a.source_id < b.source_id
        GROUP BY ALL
        UNION ALL
        SELECT least(of_one, of_other), greatest(of_one, of_other), count(*)
        FROM twin_weighed GROUP BY ALL
    )
    SELECT c.one, c.other, CAST(max(c.equal) AS BIGINT) AS equal,
        least(a.lines, b.lines) AS of_these
    FROM common c JOIN size a ON a.source_id = c.one JOIN size b ON b.source_id = c.other
    GROUP BY c.one, c.other, of_these
    HAVING max(c.equal) >= {_LINES} AND max(c.equal) >= {_MOSTLY} * of_these
"""  # noqa: S608  (no outside text)

#: Lines of joined sources that are one: those of one item, person and hand, one for one.
_PAIRED = """
    WITH numbered AS (
        SELECT line_id, source_id, thing, hand, stands, holder_id,
            row_number() OVER (PARTITION BY source_id, thing, hand, stands, holder_id
                ORDER BY place_id, condition, words, line_id) AS number
        FROM sighting
    )
    SELECT a.line_id AS one, b.line_id AS other
    FROM joined_sheets j
    JOIN numbered a ON a.source_id = j.one
    JOIN numbered b ON b.source_id = j.other AND b.thing = a.thing AND b.number = a.number
        AND b.hand IS NOT DISTINCT FROM a.hand AND b.stands IS NOT DISTINCT FROM a.stands
        AND b.holder_id IS NOT DISTINCT FROM a.holder_id
"""


def find_sheets_alike(con: DuckDBPyConnection) -> list[tuple[str, str, int, int]]:
    """Return sources that may be one list: their ids, how many lines they share, and of how many.

    To be called after ``find_twins``.
    """
    con.execute(_ALIKE)
    return con.execute("FROM sheets_alike ORDER BY ALL").fetchall()


def paired_lines(
    con: DuckDBPyConnection, joined: Iterable[tuple[str, str]]
) -> list[tuple[str, str]]:
    """Return the lines of joined sources (pairs of ids) that are one item, in pairs.

    What only one of them has is left as it is.
    """
    rows = sorted(joined)
    if not rows:
        return []
    schema = {"one": pl.String, "other": pl.String}
    stage(con, "joined_sheets", pl.DataFrame(rows, schema=schema, orient="row"))
    return con.execute(f"{_PAIRED} ORDER BY ALL").fetchall()

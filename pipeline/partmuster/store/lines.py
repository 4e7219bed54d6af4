"""The history of said lines: new, changed, unchanged and ended ones of one source version.

A line's id is its base (what it says, hashed) and an occurrence that tells equal statements
apart. Occurrences follow the values, so that sorting a sheet differently changes nothing.
"""
# ruff: noqa: S608 - table names are made of the closed list of kinds

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.columns import polars_schema
from partmuster_schemas.said import MODELS

from .frames import filled, first_row, shaped, stage, stage_files
from .put_aside import LinesOfKind, PutAside

if TYPE_CHECKING:
    import datetime as dt

    from duckdb import DuckDBPyConnection

#: What the store itself gives each line.
GIVEN = frozenset({"line_id", "revision", "source_id", "source_version", "said_until",
                   "recorded_from", "recorded_to"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class LineCounts:
    """How many lines of one kind began, changed their values, or ended."""

    new: int = 0
    changed: int = 0
    ended: int = 0


@dataclass(frozen=True, slots=True)
class Arrival:
    """The version whose lines are written: its source, number, day and moment of recording.

    ``ends_missing``: lines it no longer has are ended.
    """

    source_id: str
    version: int
    said_on: dt.date
    now: dt.datetime
    ends_missing: bool


def incoming_schema(kind: str) -> dict[str, pl.DataType]:
    """Return the columns of a frame of typed lines: the model's own and the two that place it."""
    own = {n: t for n, t in polars_schema(MODELS[kind]).items() if n not in GIVEN}
    return {"line_base": pl.String(), "raw_number": pl.Int64(), **own}


def write_lines(
    con: DuckDBPyConnection, kind: str, frame: LinesOfKind | None, arrival: Arrival
) -> LineCounts:
    """Write one kind's lines of a version; ``frame`` is None where it has none.

    Leaves the lines' ids in the temporary table ``numbered`` (line_id; where there are lines also
    line_base, raw_number, revision, state).

    Raises:
        ValueError: the frame has a column no such line has, or a base with a dot in it.
    """
    if frame is None or not frame.height:
        con.execute("CREATE OR REPLACE TEMP TABLE numbered (line_id VARCHAR)")
        return LineCounts(ended=_end_missing(con, kind, arrival) if arrival.ends_missing else 0)
    if frame.get_column("line_base").str.contains(".", literal=True).any():
        raise ValueError(f"a base of kind {kind} has a dot in it")
    _stage_lines(con, kind, frame)
    _number(con, kind, arrival.source_id)
    _close_changed(con, kind, arrival)
    _insert(con, kind, arrival)
    ended = _end_missing(con, kind, arrival) if arrival.ends_missing else 0
    con.execute(
        "INSERT INTO line_origin (line_id, source_id, source_version, raw_number) "
        "SELECT line_id, ?, ?, raw_number FROM numbered",
        [arrival.source_id, arrival.version],
    )
    states = dict(con.execute("SELECT state, count(*) FROM numbered GROUP BY state").fetchall())
    return LineCounts(states.get("new", 0), states.get("changed", 0), ended)


def _stage_lines(con: DuckDBPyConnection, kind: str, lines: LinesOfKind) -> None:
    """Put the lines into the temporary table ``incoming``, numbered as ``arrived``.

    Columns that hold nothing may be left out: INSERT BY NAME leaves them empty.

    Raises:
        ValueError: the frame has a column that no line of the kind has.
    """
    schema = incoming_schema(kind)
    if isinstance(lines, PutAside):
        unknown = set(lines.columns) - set(schema)
        if unknown:
            raise ValueError(f"no such column: {', '.join(sorted(unknown))}")
        stage_files(con, "incoming", lines.paths, "row_number() OVER () AS arrived")
        return
    always = ("line_base", "raw_number", "values_hash", "said_on")
    stage(con, "incoming", filled(shaped(lines, schema), always).with_row_index("arrived"))


def write_effectivity(con: DuckDBPyConnection, effectivity: pl.DataFrame) -> None:
    """Write the effectivity of the lines in ``numbered`` that are new or changed.

    ``effectivity``: columns of ``Effectivity`` with line_base and raw_number for line_id and
    revision.
    """
    stage(con, "clauses", effectivity)
    con.execute(
        """
        INSERT INTO effectivity BY NAME
        SELECT DISTINCT n.line_id, n.revision, c.* EXCLUDE (line_base, raw_number)
        FROM clauses c JOIN numbered n USING (line_base, raw_number)
        WHERE n.state <> 'unchanged'
        """
    )


def end_missing(con: DuckDBPyConnection, arrival: Arrival) -> int:
    """End all current lines of a source that its version ``arrival`` does not say; return how many.

    For a version that looked partial and was confirmed as whole afterwards.
    """
    con.execute(
        "CREATE OR REPLACE TEMP TABLE numbered AS SELECT line_id FROM line_origin "
        "WHERE source_id = ? AND source_version = ?",
        [arrival.source_id, arrival.version],
    )
    ended = sum(_end_missing(con, kind, arrival) for kind in MODELS)
    con.execute(
        "UPDATE source_version SET partial = false WHERE source_id = ? AND version = ?",
        [arrival.source_id, arrival.version],
    )
    return ended


def _number(con: DuckDBPyConnection, kind: str, source_id: str) -> None:
    """Give each incoming line its id and revision, in the temporary table ``numbered``.

    Of the lines with one base, those with equal values keep their id; the others take the ids
    left over, in order; then ids that ended earlier, and at last new ones.
    """
    con.execute(
        f"""
        CREATE OR REPLACE TEMP TABLE standing AS
        SELECT line_id, split_part(line_id, '.', 1) AS line_base,
            CAST(split_part(line_id, '.', 2) AS INTEGER) AS occurrence,
            max(revision) AS revision,
            bool_or(recorded_to IS NULL) AS current,
            coalesce(any_value(values_hash) FILTER (recorded_to IS NULL), '') AS values_hash
        FROM said_{kind}
        WHERE source_id = ?
        GROUP BY line_id
        """,
        [source_id],
    )
    con.execute(
        """
        CREATE OR REPLACE TEMP TABLE numbered AS
        WITH fresh AS (
            SELECT arrived, line_base, raw_number, coalesce(values_hash, '') AS values_hash,
                row_number() OVER (PARTITION BY line_base, values_hash ORDER BY arrived) AS nth
            FROM incoming
        ), had AS (
            SELECT *,
                row_number() OVER (PARTITION BY line_base, values_hash ORDER BY occurrence) AS nth
            FROM standing WHERE current
        ), equal AS (
            SELECT f.arrived, h.line_base, h.occurrence, h.revision
            FROM fresh f JOIN had h USING (line_base, values_hash, nth)
        ), rest AS (
            SELECT arrived, line_base,
                row_number() OVER (PARTITION BY line_base ORDER BY arrived) AS nth
            FROM fresh ANTI JOIN equal USING (arrived)
        ), left_over AS (
            SELECT line_base, occurrence, revision,
                row_number() OVER (PARTITION BY line_base ORDER BY occurrence) AS nth
            FROM had ANTI JOIN equal USING (line_base, occurrence)
        ), changed AS (
            SELECT r.arrived, l.occurrence, l.revision
            FROM rest r JOIN left_over l USING (line_base, nth)
        ), newcomer AS (
            SELECT arrived, line_base,
                row_number() OVER (PARTITION BY line_base ORDER BY arrived) AS nth
            FROM rest ANTI JOIN changed USING (arrived)
        ), past AS (
            SELECT line_base, occurrence, revision,
                row_number() OVER (PARTITION BY line_base ORDER BY occurrence) AS nth
            FROM standing WHERE NOT current
        ), highest AS (
            SELECT line_base, max(occurrence) AS occurrence,
                count(*) FILTER (NOT current) AS past
            FROM standing GROUP BY line_base
        ), given AS (
            SELECT arrived, occurrence, revision, 'unchanged' AS state FROM equal
            UNION ALL
            SELECT arrived, occurrence, revision + 1, 'changed' FROM changed
            UNION ALL
            SELECT n.arrived,
                coalesce(p.occurrence, coalesce(h.occurrence, 0) + n.nth - coalesce(h.past, 0)),
                coalesce(p.revision, 0) + 1, 'new'
            FROM newcomer n
            LEFT JOIN past p USING (line_base, nth)
            LEFT JOIN highest h USING (line_base)
        )
        SELECT f.arrived, f.line_base, f.raw_number, f.line_base || '.' || g.occurrence AS line_id,
            CAST(g.revision AS INTEGER) AS revision, g.state
        FROM fresh f JOIN given g USING (arrived)
        """
    )


def _close_changed(con: DuckDBPyConnection, kind: str, arrival: Arrival) -> None:
    """End the earlier revisions of lines that are written anew.

    Their said intervals stop where the new one begins, so that no two of a line overlap.
    """
    con.execute(
        f"""
        UPDATE said_{kind} AS s SET
            recorded_to = coalesce(s.recorded_to, CAST(? AS TIMESTAMP)),
            said_until = CASE
                WHEN s.said_until IS NULL OR s.said_until > i.said_on
                THEN greatest(s.said_on, i.said_on) ELSE s.said_until
            END
        FROM numbered n JOIN incoming i USING (arrived)
        WHERE s.line_id = n.line_id AND s.source_id = ? AND n.revision > 1
            AND n.state <> 'unchanged'
        """,
        [arrival.now, arrival.source_id],
    )


def _insert(con: DuckDBPyConnection, kind: str, arrival: Arrival) -> None:
    con.execute(
        f"""
        INSERT INTO said_{kind} BY NAME
        SELECT n.line_id, n.revision, CAST(? AS VARCHAR) AS source_id,
            CAST(? AS INTEGER) AS source_version, CAST(? AS TIMESTAMP) AS recorded_from,
            i.* EXCLUDE (arrived, line_base, raw_number)
        FROM incoming i JOIN numbered n USING (arrived)
        WHERE n.state <> 'unchanged'
        ORDER BY i.arrived
        """,
        [arrival.source_id, arrival.version, arrival.now],
    )


def _end_missing(con: DuckDBPyConnection, kind: str, arrival: Arrival) -> int:
    """End the current lines of the source that are not in ``numbered``; return how many."""
    row = first_row(
        con,
        f"""
        UPDATE said_{kind} SET recorded_to = ?, said_until = greatest(said_on, ?)
        WHERE source_id = ? AND recorded_to IS NULL
            AND line_id NOT IN (SELECT line_id FROM numbered)
        """,
        [arrival.now, arrival.said_on, arrival.source_id],
    )
    return int(row[0]) if row else 0

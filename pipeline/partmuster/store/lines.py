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

from .frames import first_row, shaped, stage
from .put_aside import LinesOfKind, PutAside, filled

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

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
    con: DuckDBPyConnection,
    kind: str,
    arrivals: Sequence[tuple[Arrival, LinesOfKind | None]],
) -> dict[str, LineCounts]:
    """Write one kind's lines of versions of different sources; return the counts by source.

    The lines of a version are None where it has none. Leaves the lines' ids in the temporary
    table ``numbered`` (source_id, line_id, line_base, raw_number, revision, state).

    Raises:
        ValueError: a frame has a column no such line has, or a base with a dot in it.
    """
    _stage_arrivals(con, [arrival for arrival, _ in arrivals])
    _stage_lines(con, kind, [(one, lines) for one, lines in arrivals if lines is not None])
    if any(arrival.version > 1 for arrival, _ in arrivals):
        _number(con, kind)
        _close_changed(con, kind)
    else:
        con.execute(_NUMBER_FIRST)
    _insert(con, kind)
    con.execute(
        "INSERT INTO line_origin (line_id, source_id, source_version, raw_number) "
        "SELECT line_id, source_id, source_version, raw_number FROM numbered"
    )
    ended = {}
    if any(arrival.ends_missing for arrival, _ in arrivals):
        ended = _end_missing(con, kind)
    states = con.execute(
        "SELECT source_id, count(*) FILTER (state = 'new'), count(*) FILTER (state = 'changed') "
        "FROM numbered GROUP BY source_id"
    ).fetchall()
    counts = {source_id: (new, changed) for source_id, new, changed in states}
    return {
        arrival.source_id: LineCounts(
            *counts.get(arrival.source_id, (0, 0)), ended.get(arrival.source_id, 0)
        )
        for arrival, _ in arrivals
    }


def _stage_arrivals(con: DuckDBPyConnection, arrivals: Sequence[Arrival]) -> None:
    rows = [(one.source_id, one.version, one.said_on, one.now, one.ends_missing)
            for one in arrivals]  # fmt: skip
    schema = {"source_id": pl.String, "source_version": pl.Int32, "version_said_on": pl.Date,
              "recorded_from": pl.Datetime, "ends_missing": pl.Boolean}  # fmt: skip
    stage(con, "arrivals", pl.DataFrame(rows, schema=schema, orient="row"))


def _stage_lines(
    con: DuckDBPyConnection, kind: str, arrivals: Sequence[tuple[Arrival, LinesOfKind]]
) -> None:
    """Put lines into the temporary table ``incoming``, in order ``arrived``, with their source.

    Columns that hold nothing are left out: INSERT BY NAME leaves them empty.

    Raises:
        ValueError: see :func:`write_lines`.
    """
    schema = incoming_schema(kind)
    held = {"line_base", "raw_number", "values_hash", "said_on"}
    for _, lines in arrivals:
        unknown = set(lines.columns) - set(schema)
        if unknown:
            raise ValueError(f"no such column: {', '.join(sorted(unknown))}")
        if lines.get_column("line_base").str.contains(".", literal=True).any():
            raise ValueError(f"a base of kind {kind} has a dot in it")
        held |= filled(lines)
    columns = {name: dtype for name, dtype in schema.items() if name in held}
    own = {"source_id": pl.String(), **columns}
    frames = [pl.DataFrame(schema=own)]
    frames += [
        shaped(lines.select(name for name in lines.columns if name in columns), columns)
        .select(pl.lit(arrival.source_id).alias("source_id"), pl.all())
        for arrival, lines in arrivals
        if isinstance(lines, pl.DataFrame)
    ]  # fmt: skip
    frame = pl.concat(frames)
    stage(con, "incoming", frame.with_row_index("arrived"))
    done = frame.height
    for arrival, lines in arrivals:
        if isinstance(lines, PutAside):
            con.execute(
                "INSERT INTO incoming BY NAME SELECT CAST(? AS VARCHAR) AS source_id, "
                "CAST(? AS BIGINT) + row_number() OVER () - 1 AS arrived, "
                f"{', '.join(sorted(held))} FROM read_parquet(?)",
                [arrival.source_id, done, [str(path) for path in lines.paths]],
            )
            done += lines.height


def write_effectivity(con: DuckDBPyConnection, effectivity: pl.DataFrame) -> None:
    """Write the effectivity of the lines in ``numbered`` that are new or changed.

    ``effectivity``: columns of ``Effectivity`` with source_id, line_base and raw_number for
    line_id and revision.
    """
    stage(con, "clauses", effectivity)
    con.execute(
        """
        INSERT INTO effectivity BY NAME
        SELECT DISTINCT n.line_id, n.revision, c.* EXCLUDE (source_id, line_base, raw_number)
        FROM clauses c JOIN numbered n USING (source_id, line_base, raw_number)
        WHERE n.state <> 'unchanged'
        """
    )


def standing_kinds(con: DuckDBPyConnection, source_ids: Sequence[str]) -> frozenset[str]:
    """Return the kinds of which some sources have lines that stand."""
    found = " UNION ALL ".join(
        f"(SELECT '{kind}' FROM said_{kind} WHERE recorded_to IS NULL "
        "AND list_contains($1, source_id) LIMIT 1)"
        for kind in MODELS
    )
    return frozenset(kind for (kind,) in con.execute(found, [list(source_ids)]).fetchall())


def end_missing(con: DuckDBPyConnection, arrival: Arrival) -> int:
    """End all current lines of a source that its version ``arrival`` does not say; return how many.

    For a version that looked partial and was confirmed as whole afterwards.
    """
    _stage_arrivals(con, [arrival])
    con.execute(
        "CREATE OR REPLACE TEMP TABLE numbered AS SELECT line_id FROM line_origin "
        "WHERE source_id = ? AND source_version = ?",
        [arrival.source_id, arrival.version],
    )
    ended = sum(
        _end_missing(con, kind).get(arrival.source_id, 0)
        for kind in standing_kinds(con, [arrival.source_id])
    )
    con.execute(
        "UPDATE source_version SET partial = false WHERE source_id = ? AND version = ?",
        [arrival.source_id, arrival.version],
    )
    return ended


#: The numbering of lines of which no earlier version has any, as :func:`_number` does it.
_NUMBER_FIRST = """
    CREATE OR REPLACE TEMP TABLE numbered AS
    SELECT i.arrived, i.source_id, a.source_version, i.line_base, i.raw_number,
        i.line_base || '.' || row_number() OVER (PARTITION BY i.line_base ORDER BY i.arrived)
            AS line_id,
        CAST(1 AS INTEGER) AS revision, 'new' AS state
    FROM incoming i JOIN arrivals a USING (source_id)
"""


def _number(con: DuckDBPyConnection, kind: str) -> None:
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
        WHERE source_id IN (SELECT source_id FROM arrivals WHERE source_version > 1)
        GROUP BY line_id
        """
    )
    con.execute(
        """
        CREATE OR REPLACE TEMP TABLE numbered AS
        WITH fresh AS (
            SELECT arrived, source_id, line_base, raw_number,
                coalesce(values_hash, '') AS values_hash,
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
        SELECT f.arrived, f.source_id, a.source_version, f.line_base, f.raw_number,
            f.line_base || '.' || g.occurrence AS line_id,
            CAST(g.revision AS INTEGER) AS revision, g.state
        FROM fresh f JOIN given g USING (arrived) JOIN arrivals a USING (source_id)
        """
    )


def _close_changed(con: DuckDBPyConnection, kind: str) -> None:
    """End the earlier revisions of lines that are written anew.

    Their said intervals stop where the new one begins, so that no two of a line overlap.
    """
    again = first_row(con, "SELECT count(*) FROM numbered WHERE revision > 1")
    if again is None or not again[0]:
        return
    con.execute(
        f"""
        UPDATE said_{kind} AS s SET
            recorded_to = coalesce(s.recorded_to, a.recorded_from),
            said_until = CASE
                WHEN s.said_until IS NULL OR s.said_until > i.said_on
                THEN greatest(s.said_on, i.said_on) ELSE s.said_until
            END
        FROM numbered n JOIN incoming i USING (arrived) JOIN arrivals a ON a.source_id = n.source_id
        WHERE s.line_id = n.line_id AND s.source_id = n.source_id AND n.revision > 1
            AND n.state <> 'unchanged'
        """
    )


def _insert(con: DuckDBPyConnection, kind: str) -> None:
    con.execute(
        f"""
        INSERT INTO said_{kind} BY NAME
        SELECT n.line_id, n.revision, a.source_version, a.recorded_from,
            i.* EXCLUDE (arrived, line_base, raw_number)
        FROM incoming i JOIN numbered n USING (arrived) JOIN arrivals a ON a.source_id = i.source_id
        WHERE n.state <> 'unchanged'
        ORDER BY i.arrived
        """
    )


def _end_missing(con: DuckDBPyConnection, kind: str) -> dict[str, int]:
    """End the current lines that are not in ``numbered``, of the sources whose version ends them.

    Returns how many, by source.
    """
    con.execute(
        f"""
        CREATE OR REPLACE TEMP TABLE missing AS
        SELECT s.line_id, s.source_id, a.version_said_on, a.recorded_from
        FROM said_{kind} s JOIN arrivals a USING (source_id)
        WHERE a.ends_missing AND s.recorded_to IS NULL
            AND s.line_id NOT IN (SELECT line_id FROM numbered)
        """
    )
    con.execute(
        f"""
        UPDATE said_{kind} AS s SET recorded_to = m.recorded_from,
            said_until = greatest(s.said_on, m.version_said_on)
        FROM missing m
        WHERE s.line_id = m.line_id AND s.source_id = m.source_id AND s.recorded_to IS NULL
        """
    )
    rows = con.execute("SELECT source_id, count(*) FROM missing GROUP BY source_id").fetchall()
    return dict(rows)

"""Frames in and out of DuckDB without pyarrow."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Mapping

    from duckdb import DuckDBPyConnection


class _Stream:
    """A frame that shows its Arrow stream only: DuckDB would ask a polars frame for pyarrow."""

    def __init__(self, frame: pl.DataFrame) -> None:
        self._frame = frame

    def __arrow_c_stream__(self, requested_schema: object = None) -> object:
        return self._frame.__arrow_c_stream__(requested_schema)


def shaped(frame: pl.DataFrame, schema: Mapping[str, Any]) -> pl.DataFrame:
    """Return the frame with exactly these columns, cast; missing ones empty.

    Raises:
        ValueError: the frame has another column.
    """
    unknown = [name for name in frame.columns if name not in schema]
    if unknown:
        raise ValueError(f"no such column: {', '.join(unknown)}")
    return frame.select(
        (pl.col(name) if name in frame.columns else pl.lit(None)).cast(dtype).alias(name)
        for name, dtype in schema.items()
    )


def stage(con: DuckDBPyConnection, name: str, frame: pl.DataFrame) -> None:
    """Put a frame into a temporary table of that name, in place of an earlier one."""
    con.register("frame_handed_over", _Stream(frame))
    con.execute(f"CREATE OR REPLACE TEMP TABLE {name} AS SELECT * FROM frame_handed_over")  # noqa: S608  (names are this package's own)
    con.unregister("frame_handed_over")


def insert(con: DuckDBPyConnection, table: str, frame: pl.DataFrame) -> None:
    """Add a frame's rows to a table, each column to that of its name."""
    con.register("frame_handed_over", _Stream(frame))
    con.execute(f"INSERT INTO {table} BY NAME SELECT * FROM frame_handed_over")  # noqa: S608  (names are this package's own)
    con.unregister("frame_handed_over")


def first_row(
    con: DuckDBPyConnection, sql: str, values: list[Any] | None = None
) -> tuple[Any, ...] | None:
    """Return the first row of a query, or None.

    All rows are fetched: DuckDB refuses other work while a result is half read.
    """
    rows = con.execute(sql, values or []).fetchall()
    return rows[0] if rows else None


def fetch(con: DuckDBPyConnection, sql: str, values: list[Any] | None = None) -> pl.DataFrame:
    """Return the rows of a query as a frame."""
    return pl.DataFrame(con.sql(sql, params=values or []))


def worked_out(con: DuckDBPyConnection, sql: str, values: list[Any] | None = None) -> pl.DataFrame:
    """Return the rows of a query that takes longer to plan than its rows take to be kept.

    To become a frame a query is planned twice, for its columns and for its rows; kept in a
    temporary table it is planned once: the last step to a vehicle's donors takes half the time.
    """
    con.execute(f"CREATE OR REPLACE TEMP TABLE worked_out AS {sql}", values or [])
    rows = fetch(con, "FROM worked_out")
    con.execute("DROP TABLE temp.worked_out")
    return rows

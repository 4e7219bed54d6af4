"""The form every grid's cells have, whatever they were read from."""

from __future__ import annotations

import polars as pl


def numbered(frame: pl.DataFrame, first_column: int = 1) -> pl.DataFrame:
    """Return text columns named by number, with ``row`` from 1; empty text is null.

    Empty columns at the right end are left out.
    """
    columns = frame.with_columns(
        pl.when(pl.all().str.len_bytes() > 0).then(pl.all()).name.keep()
    ).get_columns()
    while columns and columns[-1].null_count() == frame.height:
        columns.pop()
    rows = pl.Series("row", range(1, frame.height + 1), dtype=pl.Int32)
    return pl.DataFrame(
        [rows, *(column.alias(str(first_column + n)) for n, column in enumerate(columns))]
    )


def without_empty_end(cells: pl.DataFrame) -> pl.DataFrame:
    """Return the cells up to the last row that has any."""
    if cells.width == 1:
        return cells.clear()
    filled = cells.select(pl.any_horizontal(pl.exclude("row").is_not_null())).to_series()
    rows = cells.filter(filled)["row"]
    return cells.head(int(rows[-1]) if rows.len() else 0)

"""The form every grid's cells have, whatever they were read from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from .words import clean_cells, columns_with

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from .looks import Look

#: How calamine writes a day without a time, a time without a day, and text that is a date.
_MIDNIGHT = r"^(\d{4}-\d\d-\d\d)[ T]00:00:00(?:\.0+)?$"
_WITH_T = r"^(\d{4}-\d\d-\d\d)T(\d\d:\d\d:\d\d)(?:\.\d+)?Z?$"
_DAY_NOUGHT = r"^1899-12-3[01] (\d\d:\d\d:\d\d)"


def numbered(frame: pl.DataFrame, first_column: int = 1) -> pl.DataFrame:
    """Return text columns named by number, with ``row`` from 1, cleaned; empty text is null.

    Empty columns at the right end are left out.
    """
    frame = frame.with_columns(pl.when(pl.all().str.len_bytes() > 0).then(pl.all()).name.keep())
    columns = clean_cells(frame).get_columns()
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


def iso_dates(cells: pl.DataFrame) -> pl.DataFrame:
    """Return cells in which a day has no midnight, and a time no day."""
    dated = columns_with(cells, f"{_MIDNIGHT}|{_DAY_NOUGHT}|{_WITH_T}")
    return cells.with_columns(
        pl.col(dated)
        .str.replace(_MIDNIGHT, "${1}")
        .str.replace(_DAY_NOUGHT, "${1}")
        .str.replace(_WITH_T, "${1} ${2}")
    )


def set_in(
    cells: pl.DataFrame, looks: Mapping[int, Look], styled: Iterable[tuple[int, int, int]]
) -> pl.DataFrame:
    """Return cells, those that are set in with two blanks before their words for each step.

    ``styled``: row and column of cells, and the number of their look.
    """
    steps = {number: look.indent for number, look in looks.items() if look.indent}
    if not steps:
        return cells
    by_column: dict[str, dict[int, str]] = {}
    for row, column, number in styled:
        if number in steps and row <= cells.height and str(column) in cells.columns:
            by_column.setdefault(str(column), {})[row] = "  " * steps[number]
    for name, blanks in by_column.items():
        before = pl.col("row").replace_strict(blanks, default="", return_dtype=pl.String)
        cells = cells.with_columns(pl.concat_str(before, name).alias(name))
    return cells

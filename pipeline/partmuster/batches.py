"""What a batch from an importer must be: the faults of one that is not."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING

import polars as pl

from partmuster_schemas.text_lines import as_text_lines

from .model import Grid, Lines, NotData

if TYPE_CHECKING:
    from collections.abc import Iterator

#: Marks a cell, row, column or sheet may carry; ``Grid`` says what the value of each is.
MARKS = frozenset(
    {"struck", "partly-struck", "hidden", "comment", "fill", "ink", "formula", "merged", "style",
     "confidence", "box", "repaired"}
)  # fmt: skip
MARK_SCHEMA = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}

_COLUMN_NAME = re.compile(r"[1-9][0-9]*")


def batch_faults(batch: object) -> list[str]:
    """Return what is wrong with a batch, in words; empty if nothing is."""
    if isinstance(batch, Grid):
        return [*_address_faults(batch), *_grid_faults(batch)]
    if isinstance(batch, Lines):
        return list(_lines_faults(batch))
    if isinstance(batch, NotData):
        return [*_address_faults(batch), *_not_data_faults(batch)]
    return [f"a {type(batch).__name__} is no Grid, Lines or NotData"]


def _address_faults(batch: Grid | NotData) -> Iterator[str]:
    if not isinstance(batch.sheet, (str, type(None))):
        yield "the sheet's name is no text"
    if not (batch.page is None or _is_count(batch.page)):
        yield f"page {batch.page!r} is no number from 1"


def _not_data_faults(batch: NotData) -> Iterator[str]:
    if not isinstance(batch.reason, str) or not batch.reason.strip():
        yield "a NotData has no reason"
    if not isinstance(batch.words, str):
        yield "the words of a NotData are no text"
    if not (batch.row is None or _is_count(batch.row)):
        yield f"row {batch.row!r} is no number from 1"


def _grid_faults(batch: Grid) -> Iterator[str]:
    if not isinstance(batch.title, (str, type(None))):
        yield "the title is no text"
    for name in ("saved_on", "stated_on"):
        day = getattr(batch, name)
        if day is not None and (not isinstance(day, dt.date) or isinstance(day, dt.datetime)):
            yield f"{name} is no date"
    if isinstance(batch.cells, pl.DataFrame):
        yield from _cells_faults(batch.cells)
    else:
        yield f"the cells are a {type(batch.cells).__name__}, not a polars DataFrame"
    if batch.marks is not None:
        yield from _marks_faults(batch.marks)


def _cells_faults(cells: pl.DataFrame) -> Iterator[str]:
    for name, dtype in cells.schema.items():
        if name != "row" and not _COLUMN_NAME.fullmatch(name):
            yield f"column '{name}' is not named by a sheet column's number from 1"
        if name != "row" and dtype != pl.String:
            yield f"column '{name}' is {dtype}, not text"
    yield from _row_faults(cells)


def _row_faults(cells: pl.DataFrame) -> Iterator[str]:
    if "row" not in cells.columns:
        yield "the cells have no column 'row'"
        return
    rows = cells["row"]
    if rows.dtype != pl.Int32:
        yield f"column 'row' is {rows.dtype}, not Int32"
        return
    if rows.null_count():
        yield "a row has no number"
    if (rows < 1).any():
        yield "a row's number is below 1"
    if rows.n_unique() != rows.len():
        yield "a row's number stands twice"
    elif not rows.is_sorted():
        yield "the rows are not in the order of their numbers"


def _marks_faults(marks: object) -> Iterator[str]:
    if not isinstance(marks, pl.DataFrame):
        yield f"the marks are a {type(marks).__name__}, not a polars DataFrame"
        return
    if dict(marks.schema) != MARK_SCHEMA:
        yield f"the marks have columns {dict(marks.schema)}, not {MARK_SCHEMA}"
        return
    unknown = sorted(set(marks["mark"].drop_nulls().unique()) - MARKS)
    if unknown or marks["mark"].null_count():
        yield f"unknown marks: {', '.join(unknown) or 'an empty one'}"
    if (marks["row"] < 1).any() or (marks["column"] < 1).any():
        yield "a mark's row or column is below 1"


def _lines_faults(batch: Lines) -> Iterator[str]:
    if not isinstance(batch.frame, pl.DataFrame):
        yield f"the lines are a {type(batch.frame).__name__}, not a polars DataFrame"
        return
    missing = [name for name in ("kind", "words") if name not in batch.frame.columns]
    if missing:
        yield f"the lines have no column {' and '.join(missing)}"
        return
    try:
        frame = as_text_lines(batch.frame)
    except (ValueError, pl.exceptions.PolarsError) as fault:
        yield f"the lines do not fit: {' '.join(str(fault).split())}"
        return
    if frame["words"].null_count():
        yield "a line has no words"
    for name in ("row", "page", "column"):
        if (frame[name] < 1).any():
            yield f"a line's {name} is below 1"


def _is_count(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value >= 1

"""Merged cells: one merged down says the same of each of its rows, one merged across spans columns.

Marks ``merged`` stand at a merged cell's first cell, ``2x3`` for two rows and three columns.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, TypeAlias

import polars as pl

from .grid import counted

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

#: How many columns a cell spans, by row and column in the file.
Spans: TypeAlias = dict[tuple[int, int], int]

_SIZE = re.compile(r"(\d+)x(\d+)")
#: Cells merged down further than this are decoration of a whole sheet.
_MOST_ROWS = 5000


def merged_down(cells: pl.DataFrame, columns: Sequence[str], signs: pl.DataFrame) -> pl.DataFrame:
    """Return a cleaned grid with what stands in cells merged down in each of their rows.

    Rows that hold nothing else stay away: they are no lines.
    """
    fills: dict[str, dict[int, str]] = {}
    values = dict(zip(cells["row"], range(cells.height), strict=True))
    for row, column, height, _ in _sizes(signs):
        name = str(column)
        if height < 2 or name not in columns or row not in values:  # noqa: PLR2004 - not merged down
            continue
        text = cells[name][values[row]]
        if text is not None:
            below = range(row + 1, row + min(height, _MOST_ROWS))
            fills.setdefault(name, {}).update(dict.fromkeys(below, text))
    if not fills:
        return cells
    filled = cells.with_columns(
        pl.coalesce(
            name,
            pl.col("row").replace_strict(
                list(texts), list(texts.values()), default=None, return_dtype=pl.String
            ),
        ).alias(name)
        for name, texts in fills.items()
    )
    return counted(filled, columns)


def with_doubtful_figures(
    lines: pl.DataFrame, signs: pl.DataFrame, layout: Sequence[Mapping[str, object]]
) -> pl.DataFrame:
    """Return lines whose quantity is a figure merged over rows with words that say so.

    It may be for each of them or for all together: it cannot be read, and has to be mended.
    """
    counted_in = [int(str(row["column"])) for row in layout if row["field"] == "quantity"]
    rows = {
        at: height
        for row, column, height, _ in _sizes(signs) if height > 1 and column in counted_in
        for at in range(row, row + min(height, _MOST_ROWS))
    }  # fmt: skip
    if not rows or "quantity" not in lines.columns:
        return lines
    height = pl.col("row").replace_strict(rows, default=None, return_dtype=pl.Int32)
    words = pl.format("{} (one figure for {} rows)", "quantity", height)
    return lines.with_columns(pl.coalesce(words, "quantity").alias("quantity"))


def columns_down(signs: pl.DataFrame) -> frozenset[str]:
    """Return the columns that have cells merged down, and not across."""
    return frozenset(str(column) for _, column, height, width in _sizes(signs)
                     if height > 1 and width == 1)  # fmt: skip


def spans_of(signs: pl.DataFrame) -> Spans:
    """Return how many columns each cell spans that is merged across, in each of its rows."""
    return {
        (at, column): width
        for row, column, height, width in _sizes(signs)
        if width > 1
        for at in range(row, row + min(height, _MOST_ROWS))
    }


def with_titles_across(cells: pl.DataFrame, spans: Spans) -> pl.DataFrame:
    """Return a grid with ``across``: rows of one text that is merged across columns."""
    rows = [row for row, _ in spans]
    return cells.with_columns(across=pl.col("row").is_in(rows) & (pl.col("n") == 1))


def spread_across(
    texts: Sequence[str | None],
    columns: Sequence[str],
    row: int,
    spans: Mapping[tuple[int, int], int],
) -> list[str | None]:
    """Return the texts of one row, those of cells merged across in each column they span."""
    spread = list(texts)
    if not spans:
        return spread
    for at, name in enumerate(columns):
        width = spans.get((row, int(name)), 1)
        for other in range(at + 1, len(columns)):
            if int(columns[other]) >= int(name) + width:
                break
            spread[other] = spread[other] or texts[at]
    return spread


def joined_under(
    table: pl.DataFrame, columns: Sequence[str], covers: Mapping[str, tuple[str, ...]]
) -> tuple[pl.DataFrame, list[str]]:
    """Return a table with the columns under one merged heading joined in the first of them.

    ``covers``: columns by the first of them. Also the columns that are left.
    """
    for first, under in covers.items():
        joined = pl.concat_str(pl.col(list(under)), separator=" ", ignore_nulls=True)
        table = table.with_columns(pl.when(joined != "").then(joined).alias(first))
    gone = {name for under in covers.values() for name in under[1:]}
    return table.drop(gone), [name for name in columns if name not in gone]


def _sizes(signs: pl.DataFrame) -> list[tuple[int, int, int, int]]:
    """Return row, column, rows and columns of each merged cell."""
    merged = signs.filter(
        (pl.col("mark") == "merged") & pl.all_horizontal(pl.col("row", "column").is_not_null())
    )
    found = []
    for row, column, value in merged.select("row", "column", "value").iter_rows():
        size = _SIZE.fullmatch(value or "")
        if size:
            found.append((row, column, int(size[1]), int(size[2])))
    return found

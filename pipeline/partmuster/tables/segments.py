"""Several tables on one sheet, one below the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading, heading_meanings

from .headings import HEAD_ROWS, header_row
from .matrix import find_matrix

if TYPE_CHECKING:
    from collections.abc import Sequence

#: Sheets typed with a blank line after every row are not searched beyond this many blanks.
_MOST_GAPS = 300
_TITLE_ROWS = 4
_MOSTLY_HEADINGS = 0.66
_FULL_ROW = 3


def split_tables(cells: pl.DataFrame, columns: Sequence[str]) -> list[pl.DataFrame]:
    """Return the tables of a cleaned grid, top to bottom, each with its titles.

    A new table begins after an empty row where a row of known headings follows, title rows
    between them allowed. The same headings again are no new table.
    """
    gaps = (
        cells.with_row_index("at").filter(pl.col("row").diff() > 1)["at"].head(_MOST_GAPS).to_list()
    )
    starts = [0]
    header = _headings_below(cells, columns, 0)
    for gap in gaps:
        found = _headings_below(cells, columns, gap)
        if found is None:
            continue
        if header is not None and found != header:
            starts.append(gap)
        if header is None or found != header:
            header = found
    ends = [*starts[1:], cells.height]
    return [
        part
        for a, b in zip(starts, ends, strict=True)
        for part in _headless_above(cells.slice(a, b - a), columns)
    ]


def _headless_above(table: pl.DataFrame, columns: Sequence[str]) -> list[pl.DataFrame]:
    """Return a table, parted where full rows above its headings can be no titles.

    They may be lines without headings, and titles are dropped.
    """
    at = header_row(list(table.head(HEAD_ROWS).select(columns).iter_rows()))
    if not at or find_matrix(table, columns, at) is not None:
        return [table]
    full = max(_FULL_ROW, _MOSTLY_HEADINGS * table["n"][at])
    above = (table["n"].head(at) >= full).arg_true()
    if above.is_empty():
        return [table]
    end = int(above[-1]) + 1
    return [table.head(end), table.slice(end)]


def _headings_below(cells: pl.DataFrame, columns: Sequence[str], start: int) -> list[str] | None:
    """Return the headings in or shortly below a row, folded, with only title rows before them."""
    known = heading_meanings()
    for row in cells.slice(start, _TITLE_ROWS + 1).select(columns).iter_rows():
        texts = [fold_heading(cell) for cell in row if cell]
        hits = sum(text in known for text in texts)
        if hits > 1 and hits >= _MOSTLY_HEADINGS * len(texts):
            return texts
        if len(texts) > 1:
            return None
    return None

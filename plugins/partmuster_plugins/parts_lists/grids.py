"""From the rows and columns of a page to a grid for the core, with marks."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.plugin_api import Grid

from .columns import cells_of, columns_of, rows_of
from .figures import as_figures

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from .pieces import Piece

_MARKS = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}
_DECIMALS = 3


def grid_of(
    pieces: Sequence[Piece],
    height: float,
    width: float,
    page: int,
    on_page: Callable[[Piece], tuple[float, float, float, float]],
) -> Grid:
    """Return the grid of a page; ``on_page`` gives the place of a piece on the page as it came."""
    rows = rows_of(pieces, height)
    columns = columns_of(rows, height, width)
    cells = [cells_of(row, columns, height) for row in rows]
    texts: dict[str, list[str | None]] = {}
    marks: list[tuple[int, int, str, str]] = []
    for at in range(len(columns)):
        column = [None if row[at] is None else row[at] for row in cells]
        words = [None if cell is None else " ".join(cell.text.split()) for cell in column]
        figures = as_figures(words)
        for row, cell in enumerate(column):
            if cell is None:
                continue
            place = ",".join(f"{edge:.0f}" for edge in on_page(cell))
            marks.append((row + 1, at + 1, "box", place))
            sure = round(cell.least_sure, _DECIMALS)
            if row in figures:
                words[row] = figures[row]
            marks.append((row + 1, at + 1, "confidence", f"{sure:g}"))
        texts[str(at + 1)] = words
    return Grid(
        pl.DataFrame(
            {"row": range(1, len(rows) + 1), **texts},
            schema={"row": pl.Int32(), **dict.fromkeys(texts, pl.String())},
        ),
        page=page,
        marks=pl.DataFrame(marks, schema=_MARKS, orient="row"),
    )

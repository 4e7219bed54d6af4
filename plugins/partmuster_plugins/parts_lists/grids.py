"""From the pieces of a page to grids for the core, with marks."""

from __future__ import annotations

from dataclasses import replace
from itertools import takewhile
from typing import TYPE_CHECKING

import polars as pl

from partmuster.plugin_api import Grid

from .columns import cells_of, columns_of, rows_of
from .figures import as_figures
from .halves import side_by_side
from .numbers import Repaired, against_neighbours, places_of_one_kind
from .spelling import as_words, with_blanks
from .unread import UNREAD

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Sequence
    from typing import TypeAlias

    from .columns import Row
    from .pieces import Piece

    OnPage: TypeAlias = Callable[[Piece], tuple[float, float, float, float]]

_MARKS = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}
_DECIMALS = 3
#: A row of so many pieces is one of headings or cells, and no title.
_FEWEST_HEADINGS = 3
#: How sure a reading is taken to be that its neighbours speak against.
_DOUBTED = 0.5


def grids_of(
    pieces: Sequence[Piece], height: float, width: float, page: int, on_page: OnPage
) -> Iterator[Grid]:
    """Yield a grid for each table of a page, in the order in which they are read.

    ``on_page`` gives the place of a piece on the page as it came. The rows of a page are numbered
    through all its grids.
    """
    first = 1
    title: str | None = None
    for table in side_by_side(pieces, height, width):
        rows = rows_of(table, height)
        columns = columns_of(rows, height, width)
        cells = [cells_of(row, columns, height) for row in rows]
        yield replace(_grid(cells, len(columns), first, page, on_page), title=title)
        title = _title_of(rows) if first == 1 else title
        first += len(rows)


def _title_of(rows: Sequence[Row]) -> str | None:
    """Return what stands above the headings of the first table, which is meant for all."""
    above = takewhile(lambda row: len(row) < _FEWEST_HEADINGS, rows)
    return " - ".join(" ".join(piece.text for piece in row) for row in above) or None


def _grid(
    cells: Sequence[Sequence[Piece | None]], wide: int, first: int, page: int, on_page: OnPage
) -> Grid:
    texts: dict[str, list[str | None]] = {}
    marks: list[tuple[int, int, str, str]] = []
    for at in range(wide):
        column = [row[at] for row in cells]
        read = [None if cell is None else " ".join(cell.text.split()) for cell in column]
        words, sure = _held_against_each_other(column, read)
        for row, cell in enumerate(column):
            if cell is None:
                continue
            place = ",".join(f"{edge:.0f}" for edge in on_page(cell))
            marks.append((first + row, at + 1, "box", place))
            marks.append((first + row, at + 1, "confidence", f"{round(sure[row], _DECIMALS):g}"))
            if words[row] != read[row]:
                marks.append((first + row, at + 1, "repaired", str(read[row])))
        texts[str(at + 1)] = [text and with_blanks(text) for text in words]
    return Grid(
        pl.DataFrame(
            {"row": range(first, first + len(cells)), **texts},
            schema={"row": pl.Int32(), **dict.fromkeys(texts, pl.String())},
        ),
        page=page,
        marks=pl.DataFrame(marks, schema=_MARKS, orient="row"),
    )


def _held_against_each_other(
    column: Sequence[Piece | None], read: Sequence[str | None]
) -> tuple[list[str | None], dict[int, float]]:
    """Return the words of a column, mended where its other cells say how, and how sure each is."""
    words = list(read)
    sure = {at: cell.least_sure for at, cell in enumerate(column) if cell is not None}
    for at, cell in enumerate(column):
        if cell is not None and cell.text == read[at]:
            words[at] = as_words(cell)
    for at, figures in as_figures(words).items():
        words[at] = figures
    for at, verdict in against_neighbours(words).items():
        if isinstance(verdict, Repaired):
            words[at] = verdict.meant
        else:
            sure[at] = min(sure[at], _DOUBTED)
    for at, places in places_of_one_kind(words).items():
        cell = column[at]
        if cell is not None and words[at] == cell.text == read[at] and at in sure:
            # Its neighbours have the same signs there, so only letters and figures are in doubt.
            sure[at] = max(sure[at], _sure_among_neighbours(cell, places))
    for at, cell in enumerate(column):
        if cell is not None and UNREAD in cell.text:
            sure[at] = 0.0
    return words, sure


def _sure_among_neighbours(cell: Piece, places: set[int]) -> float:
    """Return how sure a number is whose signs are known, and at places, whether it is a letter."""
    told = len(cell.of_kind) == len(cell.text)
    return min(
        (
            cell.of_kind[at] if told and at in places else one
            for at, (letter, one) in enumerate(zip(cell.text, cell.sure, strict=True))
            if letter.isalnum()
        ),
        default=0.0,
    )

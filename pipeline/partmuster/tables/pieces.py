"""The tables of a sheet: below each other, side by side, and the notes beside them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from . import grid
from .beside import columns_apart
from .headings import HEAD_ROWS, header_row
from .margins import margin_columns
from .segments import split_tables

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence


@dataclass(frozen=True, slots=True)
class Piece:
    """One table of a sheet.

    ``frame``: its rows, cleaned, with ``words``, and ``margin`` where notes stand beside rows.
    ``columns``: those of the table, without the margin. ``beside``: the sheet column at which a
    table begins that has another at its left; None for all others. ``over``: titles of that one,
    if it has none of its own. ``notes``: ``row``, ``words``, ``reason`` of the rows that hold
    nothing but a note beside the table.
    """

    frame: pl.DataFrame
    columns: tuple[str, ...]
    notes: pl.DataFrame
    margin: tuple[str, ...] = ()
    beside: int | None = None
    over: tuple[str, ...] = ()


def find_pieces(
    cells: pl.DataFrame, columns: Sequence[str], plain: pl.DataFrame
) -> Iterator[Piece]:
    """Yield the tables of a cleaned grid from top to bottom, those side by side from the left.

    ``plain``: the cells as they stand, before merged ones were filled; the words are theirs.
    Every row of ``cells`` is in one of the pieces, and each of its cells in the words of one.
    """
    for part in split_tables(cells, columns):
        used = [name for name in columns if part[name].null_count() < part.height]
        apart = columns_apart(part, used)
        if len(apart) == 1:
            yield _piece(part, used, plain)
            continue
        over: tuple[str, ...] = ()
        for at, names in enumerate(apart):
            block = grid.counted(part, names)
            for number, piece in enumerate(find_pieces(block, names, plain)):
                if at == 0:
                    yield piece
                    over = over or _titles(piece)
                    continue
                own = _titles(piece)
                yield replace(
                    piece, beside=piece.beside or int(names[0]),
                    over=() if own or number else over,
                )  # fmt: skip


def _piece(part: pl.DataFrame, used: Sequence[str], plain: pl.DataFrame) -> Piece:
    """Return one table, the notes beside it told from its columns."""
    margin = margin_columns(part, used)
    words = plain.select("row", grid.words_of(used).alias("words"))
    part = part.join(words, on="row", how="left", maintain_order="left")
    columns = [name for name in used if name not in margin]
    if not margin:
        return Piece(part, tuple(columns), part.clear().select("row", "words", reason="words"))
    texts = pl.concat_str(pl.col(margin), separator="; ", ignore_nulls=True)
    part = part.with_columns(margin=pl.when(texts != "").then(texts))
    lines = grid.counted(part, columns)
    notes = part.join(lines.select("row"), on="row", how="anti", maintain_order="left").select(
        "row", "words", pl.lit("note beside the table").alias("reason")
    )
    return Piece(lines, tuple(columns), notes, tuple(margin))


def _titles(piece: Piece) -> tuple[str, ...]:
    """Return the titles above a table's headings."""
    rows = list(piece.frame.head(HEAD_ROWS).select(piece.columns).iter_rows())
    at = header_row(rows)
    return tuple(" ".join(cell for cell in row if cell) for row in rows[: at or 0])

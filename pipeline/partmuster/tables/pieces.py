"""The tables of a sheet: below each other, side by side, and the notes beside them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from . import grid
from .beside import columns_apart
from .colour_keys import coloured_cells, take_cell, take_words
from .headings import HEAD_ROWS, header_row
from .margins import margin_columns
from .segments import split_tables

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .colour_keys import Keys


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
    notes = part.join(lines.select("row"), on="row", how="anti", maintain_order="left")
    notes = notes.with_columns(reason=pl.lit("note beside the table"))
    return Piece(lines, tuple(columns), notes, tuple(margin))


def without_keys(piece: Piece, keys: Keys, signs: pl.DataFrame) -> Piece:
    """Return a table without the notes beside it that say what a colour means; ``keys`` take them.

    They stay in the words of their rows.
    """
    if not piece.margin:
        return replace(piece, notes=piece.notes.select("row", "words", "reason"))
    coloured = coloured_cells(signs.filter(pl.col("column").is_in(list(map(int, piece.margin)))))
    gone = []
    noted = piece.frame.filter(pl.col("margin").is_not_null()).select("row", *piece.margin)
    alone = piece.notes.select("row", *piece.margin)
    for row in pl.concat([noted, alone]).to_dicts():
        texts = [(int(name), row[name]) for name in piece.margin if row[name]]
        taken = [take_words(keys, text) or take_cell(keys, coloured, row["row"], at, text)
                 for at, text in texts]  # fmt: skip
        if all(taken):
            gone.append(row["row"])
    of_keys = pl.col("row").is_in(gone)
    margin = pl.when(~of_keys).then("margin").alias("margin")
    reason = pl.when(of_keys).then(pl.lit("legend of colours")).otherwise("reason").alias("reason")
    return replace(
        piece, frame=piece.frame.with_columns(margin),
        notes=piece.notes.select("row", "words", reason),
    )  # fmt: skip


def _titles(piece: Piece) -> tuple[str, ...]:
    """Return the titles above a table's headings."""
    rows = list(piece.frame.head(HEAD_ROWS).select(piece.columns).iter_rows())
    at = header_row(rows)
    return tuple(" ".join(cell for cell in row if cell) for row in rows[: at or 0])

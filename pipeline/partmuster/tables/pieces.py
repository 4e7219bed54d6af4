"""The tables of a sheet: below each other, side by side, and the notes beside them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from . import grid
from .beside import columns_apart
from .colour_keys import coloured_cells, take_cell, take_words
from .headings import HEAD_ROWS, header_row
from .margins import is_key, margin_columns
from .marks import read_legend
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
    nothing but a note beside the table. ``said``: what all notes beside it say.
    """

    frame: pl.DataFrame
    columns: tuple[str, ...]
    notes: pl.DataFrame
    margin: tuple[str, ...] = ()
    beside: int | None = None
    over: tuple[str, ...] = ()
    said: tuple[str, ...] = ()


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
    # A text and the one beside it say together what a mark or colour means.
    key = any(is_key(row) for row in part.head(HEAD_ROWS).select(margin).iter_rows())
    keyed, noted = (pl.concat_str(pl.col(margin), separator=between, ignore_nulls=True)
                    for between in (" = ", "; "))  # fmt: skip
    key_row = pl.col(margin[0]).str.len_chars() <= 2  # noqa: PLR2004 - a mark and its meaning
    texts = keyed if key else pl.when(key_row & (len(margin) == 2)).then(keyed).otherwise(noted)  # noqa: PLR2004 - a mark and its meaning
    part = part.with_columns(margin=pl.when(texts != "").then(texts))
    lines = grid.counted(part, columns)
    notes = part.join(lines.select("row"), on="row", how="anti", maintain_order="left")
    notes = notes.with_columns(reason=pl.lit("note beside the table"))
    return Piece(lines, tuple(columns), notes, tuple(margin))


def without_keys(piece: Piece, keys: Keys, signs: pl.DataFrame) -> Piece:
    """Return a table without the notes beside it that say what a mark or a colour means.

    ``keys`` take the colours; the marks are read from ``said``. They stay in the words of their
    rows.
    """
    if not piece.margin:
        return replace(piece, notes=piece.notes.select("row", "words", "reason"))
    near = {int(name) + step for name in piece.margin for step in (-1, 0, 1)}
    near -= set(map(int, piece.columns))
    coloured = coloured_cells(signs.filter(pl.col("column").is_in(sorted(near))))
    gone: dict[int, str] = {}
    noted = piece.frame.filter(pl.col("margin").is_not_null())
    beside = pl.concat([
        frame.select("row", "margin", *piece.margin) for frame in (noted, piece.notes)
    ])  # fmt: skip
    for row in beside.to_dicts():
        texts = [(int(name), row[name]) for name in piece.margin if row[name]]
        if read_legend(row["margin"]):
            gone[row["row"]] = "legend of marks"
        elif take_words(keys, row["margin"]) or all(
            take_words(keys, text) or take_cell(keys, coloured, row["row"], at, text)
            for at, text in texts
        ):
            gone[row["row"]] = "legend of colours"
    known = pl.col("row").replace_strict(gone, default=None, return_dtype=pl.String)
    margin = pl.when(known.is_null()).then("margin").alias("margin")
    return replace(
        piece, frame=piece.frame.with_columns(margin),
        notes=piece.notes.select("row", "words", pl.coalesce(known, "reason").alias("reason")),
        said=tuple(beside["margin"].to_list()),
    )  # fmt: skip


def _titles(piece: Piece) -> tuple[str, ...]:
    """Return the titles above a table's headings."""
    rows = list(piece.frame.head(HEAD_ROWS).select(piece.columns).iter_rows())
    at = header_row(rows)
    return tuple(" ".join(cell for cell in row if cell) for row in rows[: at or 0])

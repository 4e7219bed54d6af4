"""Layout: grids of cells become lines of text, for every importer alike.

Each row of a table, and in a survey matrix each body cell, is a raw line. It comes out exactly
once: as the origin of a line, or as no data, with the reason. Of tables side by side each has raw
lines of its own: those of the leftmost have no ``column``, those of the others have in it the
number of the sheet column at which their table begins.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import polars as pl

from partmuster.model import Grid, Lines, NotData
from partmuster.tables.asking import Around, Question
from partmuster.tables.colour_keys import Keys, find_keys
from partmuster.tables.colours import with_colours
from partmuster.tables.footnotes import with_footnotes
from partmuster.tables.grid import clean, words_of
from partmuster.tables.indents import widths_of
from partmuster.tables.layout_rows import margin_rows
from partmuster.tables.merged import (
    columns_down,
    merged_down,
    spans_of,
    with_doubtful_figures,
    with_titles_across,
)
from partmuster.tables.parts_list_rows import ends_below
from partmuster.tables.pieces import Piece, find_pieces, without_keys
from partmuster.tables.signs import signs_of, with_boxes, with_signs
from partmuster.tables.standing import standing_cells
from partmuster.tables.table import TableRead, read_table
from partmuster.tables.told import Told
from partmuster.tables.unread import with_unread
from partmuster.tables.usable_on import with_codes
from partmuster.tables.vehicle_rows import named_above
from partmuster_schemas.text_lines import as_text_lines, text_line_schema

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from partmuster.model import Batch
    from partmuster.tables.parts_list import PageEnd

_RAW = {
    "raw_number": pl.Int64(), "sheet": pl.String(), "page": pl.Int32(), "row": pl.Int32(),
    "column": pl.Int32(), "box": pl.String(), "words": pl.String(), "outcome": pl.String(),
    "reason": pl.String(),
}  # fmt: skip
_LAYOUT = {
    "sheet": pl.String(), "table_number": pl.Int32(), "line_kind": pl.String(),
    "header_row": pl.Int32(), "column": pl.Int32(), "heading": pl.String(), "field": pl.String(),
    "reason": pl.String(),
}  # fmt: skip
_QUESTIONS = {
    "topic": pl.String(), "subject": pl.String(), "question": pl.String(),
    "choices": pl.String(), "lines": pl.Int64(),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class LaidOut:
    """One source, laid out.

    ``lines``: text lines (``partmuster_schemas.text_lines``); ``kind`` is null where nobody can
    tell what a table lists, and such lines need a decision. ``raw``: every raw line once, with
    ``outcome`` ``line`` or ``not-data`` and its ``reason``. ``layout``: how each column was taken
    (``ArchivedLayout`` without the source; ``line_kind`` is ``unknown`` where it is not clear).
    ``questions``: ``topic``, ``subject``, ``question``, ``choices``, ``lines``.
    """

    lines: pl.DataFrame
    raw: pl.DataFrame
    layout: pl.DataFrame
    questions: pl.DataFrame


def lay_out(batches: Iterable[Batch], told: Told | None = None, *, name: str = "") -> LaidOut:
    """Return everything an importer yielded as numbered raw lines and lines of text.

    ``told`` holds people's answers for this source. ``name`` is the file's name; its words tell
    the kind of a table, or whose it is, where sheet and titles do not.
    """
    told = told or Told()
    lines: list[pl.DataFrame] = []
    raw: list[pl.DataFrame] = []
    layout: list[dict[str, object]] = []
    questions: list[Question] = []
    read = 0
    before: PageEnd | None = None
    batches = list(batches)
    for at, batch in enumerate(batches, 1):
        if isinstance(batch, NotData):
            new_lines, new_raw = None, _raw_of_nothing(batch)
        elif isinstance(batch, Lines):
            new_lines, new_raw = _statements(batch)
        else:
            page = batch.page is not None
            tables = _tables(batch, told, name, before if page else None,
                             block_ends=page and ends_below(batches[at:]))  # fmt: skip
            before = next((table.end for table in reversed(tables) if table.lines.height), None)
            new_lines, new_raw = _rows(batch, tables)
            layout += [row for table in tables for row in table.layout]
            questions += [asked for table in tables for asked in table.questions]
        raw.append(new_raw.with_columns(pl.col("raw_number") + read))
        if new_lines is not None and new_lines.height:
            lines.append(new_lines.with_columns(pl.col("raw_number") + read))
        read += new_raw["raw_number"].n_unique()
    taken = pl.DataFrame(layout, schema=_LAYOUT, orient="row")
    every = pl.concat(raw) if raw else pl.DataFrame(schema=_RAW)
    found = pl.concat(lines) if lines else pl.DataFrame(schema=text_line_schema())
    found, every = with_footnotes(found, every)
    if not found["kind"].has_nulls():  # what nobody could tell was notes
        questions = [asked for asked in questions if not asked.subject.endswith("|kind")]
    found, every, questions = with_codes(found, every, taken, told, questions)
    return LaidOut(found, every, taken, _once_each(questions))


def _tables(
    grid: Grid, told: Told, name: str, before: PageEnd | None, *, block_ends: bool
) -> list[TableRead]:
    """Return the tables of a grid, read; ``before``: what the page before hands on.

    ``block_ends``: a mark on a later page ends the attaching parts that are open here.
    """
    signs = signs_of(grid)
    plain, columns = clean(standing_cells(grid.cells, signs))
    if not columns:
        return []
    keys = find_keys(plain, columns, signs)
    of_keys = pl.col("row").is_in(keys.rows)
    cells = merged_down(plain.filter(~of_keys), columns, signs)
    cells = with_titles_across(cells, spans_of(signs))
    pieces = [without_keys(piece, keys, signs) for piece in find_pieces(cells, columns, plain)]
    named = named_above([(piece.frame, piece.columns) for piece in pieces])
    around = Around(
        grid.sheet, grid.title, name, told, grid.stated_on, spans=spans_of(signs),
        down=columns_down(signs), page=grid.page, indents=widths_of(grid.cells),
        block_ends=block_ends,
    )  # fmt: skip
    tables = [
        _table(
            grid, piece, replace(around, number=number, over=piece.over, beside=piece.said,
                                 vehicle=vehicle, before=before if number == 1 else None),
            signs, keys,
        )
        for number, (piece, vehicle) in enumerate(zip(pieces, named, strict=True), 1)
    ]  # fmt: skip
    legend = plain.filter(of_keys).select(
        "row", words_of(columns).alias("words"), pl.lit("legend of colours").alias("reason"),
        pl.lit(None, pl.Int32).alias("column"),
    )  # fmt: skip
    return [*tables, TableRead(tables[0].lines.clear(), legend)] if tables else tables


def _table(grid: Grid, piece: Piece, around: Around, signs: pl.DataFrame, keys: Keys) -> TableRead:
    """Return one table with the marks of its own cells, and its address among its neighbours."""
    read = read_table(piece.frame, piece.columns, around)
    if "column" not in read.lines.columns:
        read.lines = read.lines.with_columns(pl.lit(None, pl.Int32).alias("column"))
    read.layout += margin_rows(piece.margin, read.layout)
    signs = _with_those_below(signs, read.goes_on)
    read.lines = with_doubtful_figures(read.lines, signs, read.layout)
    read.lines = with_signs(read.lines, signs, read.layout, grid.cells)
    own = [int(column) for column in piece.columns]
    its_signs = signs.filter(pl.col("column").is_null() | pl.col("column").is_in(own))
    read.lines, asked = with_colours(read.lines, its_signs, around, keys)
    read.questions += asked
    at = pl.lit(piece.beside, pl.Int32)
    read.lines = read.lines.with_columns(pl.coalesce("column", at).alias("column"))
    read.not_data = pl.concat([read.not_data, piece.notes], how="diagonal")
    own_column = pl.col("column") if "column" in read.not_data.columns else pl.lit(None, pl.Int32)
    read.not_data = read.not_data.with_columns(pl.coalesce(own_column, at).alias("column"))
    read.not_data = with_boxes(read.not_data, its_signs)
    return read if grid.page is None else with_unread(read)


def _with_those_below(signs: pl.DataFrame, goes_on: Mapping[int, int]) -> pl.DataFrame:
    """Return marks, the places and doubts of rows that go on from a line as that line's too."""
    if not goes_on:
        return signs
    placed = pl.col("mark").is_in(["box", "confidence", "repaired"])
    below = placed & pl.col("row").is_in(list(goes_on))
    return pl.concat([signs, signs.filter(below).with_columns(pl.col("row").replace(goes_on))])


def _rows(grid: Grid, tables: list[TableRead]) -> tuple[pl.DataFrame | None, pl.DataFrame]:
    """Return a grid's lines and raw lines, numbered from 1 in order of row and column."""
    address = [
        pl.lit(grid.sheet, pl.String).alias("sheet"),
        pl.lit(grid.page, pl.Int32).alias("page"),
    ]
    pieces = [
        table.lines.unique(["row", "column"], keep="first").with_columns(address).select(
            "sheet", "page", "row", "column",
            _box(table.lines), "words",
            pl.lit("line").alias("outcome"), pl.lit(None, pl.String).alias("reason"),
        )
        for table in tables
    ]  # fmt: skip
    pieces += [
        table.not_data.with_columns(
            *address, _box(table.not_data), pl.lit("not-data").alias("outcome")
        ).select([name for name in _RAW if name != "raw_number"])
        for table in tables
    ]  # fmt: skip
    if not pieces:
        return None, pl.DataFrame(schema=_RAW)
    raw = pl.concat(pieces).sort("row", "column").with_row_index("raw_number", offset=1)
    raw = raw.select(pl.col(name).cast(dtype) for name, dtype in _RAW.items())
    numbers = raw.filter(pl.col("outcome") == "line")
    lines = [table.lines for table in tables if table.lines.height]
    if not lines:
        return None, raw
    joined = pl.concat(lines, how="diagonal").with_columns(address)
    joined = joined.sort("row", "column", maintain_order=True).join(
        numbers.select("row", "column", "raw_number"), on=["row", "column"], how="left",
        nulls_equal=True, maintain_order="left",
    )  # fmt: skip
    return as_text_lines(joined), raw


def _box(rows: pl.DataFrame) -> pl.Expr:
    return pl.col("box") if "box" in rows.columns else pl.lit(None, pl.String).alias("box")


def _statements(batch: Lines) -> tuple[pl.DataFrame, pl.DataFrame]:
    """Return the lines of a note and their raw lines.

    Lines that share a ``raw_number`` given by the importer come from one statement; without that
    column each line is a statement of its own.
    """
    frame = batch.frame
    if "raw_number" in frame.columns and frame["raw_number"].null_count() < frame.height:
        number = pl.col("raw_number").rank("dense").cast(pl.Int64)
    else:
        number = pl.int_range(1, pl.len() + 1, dtype=pl.Int64)
    lines = as_text_lines(frame.with_columns(number.alias("raw_number")))
    raw = lines.unique("raw_number", keep="first", maintain_order=True).select(
        "raw_number", "sheet", "page", "row", "column", "box", "words",
        pl.lit("line").alias("outcome"), pl.lit(None, pl.String).alias("reason"),
    )  # fmt: skip
    return lines, raw.select(pl.col(name).cast(dtype) for name, dtype in _RAW.items())


def _raw_of_nothing(batch: NotData) -> pl.DataFrame:
    """Return the one raw line of something that is no data."""
    row = {"raw_number": 1, "sheet": batch.sheet, "page": batch.page, "row": batch.row,
           "words": batch.words, "outcome": "not-data", "reason": batch.reason}  # fmt: skip
    return pl.DataFrame([row], schema=_RAW)


def _once_each(questions: list[Question]) -> pl.DataFrame:
    """Return the questions as a frame, the same question of several tables once."""
    rows = [(q.topic, q.subject, q.question, q.choices, q.lines) for q in questions]
    frame = pl.DataFrame(rows, schema=_QUESTIONS, orient="row")
    return frame.group_by("topic", "subject", maintain_order=True).agg(
        pl.first("question"), pl.first("choices"), pl.sum("lines")
    )

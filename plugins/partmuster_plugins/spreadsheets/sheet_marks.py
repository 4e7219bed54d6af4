"""From what a reader found beside the words to a grid's frame of marks, alike for every format."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import polars as pl

from .limits import MOST_EMPTY_FILLS
from .words import clean

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from .looks import Look

MARKS = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}
STYLED = {"row": pl.Int32(), "column": pl.Int32(), "look": pl.Int32()}

_CELL = ["row", "column"]


@dataclass(slots=True)
class SheetMarks:
    """What stands beside the words of one sheet; rows and columns count from 1.

    Spans are (first, last). ``styled``: frame of row, column and number in ``looks``, empty cells
    too. ``partly``: words left standing. ``merged``: first row, first column, rows, columns.
    """

    hidden: bool = False
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    hidden_rows: list[tuple[int, int]] = field(default_factory=list)
    styled: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=STYLED))
    looks: dict[int, Look] = field(default_factory=dict)
    partly: list[tuple[int, int, str]] = field(default_factory=list)
    comments: list[tuple[int, int, str]] = field(default_factory=list)
    formulas: list[tuple[int, int, str]] = field(default_factory=list)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)


def marks_frame(marks: SheetMarks, cells: pl.DataFrame) -> pl.DataFrame:
    """Return a grid's marks in the order of their sorts, each by row and column.

    Hidden rows and columns, fills and merged cells are told up to the last row and column with
    words; a comment or formula wherever it stands. Where every cell with words in a row has the
    same fill or ink there is one mark of the row; struck cells keep their marks beside it.
    """
    last_row, last_column = cells.height, int(cells.columns[-1])
    hidden: list[tuple[int | None, int | None, str, str | None]] = []
    if marks.hidden:
        hidden.append((None, None, "hidden", "sheet"))
    columns = sorted(set(_within(marks.hidden_columns, last_column)))
    hidden += [(None, column, "hidden", "column") for column in columns]
    rows = sorted(set(_within(marks.hidden_rows, last_row)))
    hidden += [(row, None, "hidden", "row") for row in rows]
    merged = [
        (row, column, f"{down}x{across}")
        for row, column, down, across in marks.merged
        if row <= last_row and column <= last_column and down * across > 1
    ]
    return pl.concat(
        [
            pl.DataFrame(hidden, schema=MARKS, orient="row"),
            *_of_looks(marks, cells),
            _said("comment", marks.comments),
            _said("formula", marks.formulas),
            _said("merged", merged),
        ]
    )


def _within(spans: Iterable[tuple[int, int]], last: int) -> Iterator[int]:
    for first, end in spans:
        yield from range(first, min(end, last) + 1)


def _said(mark: str, found: list[tuple[int, int, str]]) -> pl.DataFrame:
    ordered = [(row, column, mark, clean(words)) for row, column, words in sorted(found)]
    return pl.DataFrame(ordered, schema=MARKS, orient="row")


def _of_looks(marks: SheetMarks, cells: pl.DataFrame) -> Iterator[pl.DataFrame]:
    partly = _said("partly-struck", marks.partly)
    if marks.styled.height == 0:
        yield partly
        return
    numbers = list(marks.looks)
    looks = pl.DataFrame(
        {
            "look": pl.Series(numbers, dtype=pl.Int32),
            "struck": pl.Series([marks.looks[one].struck for one in numbers], dtype=pl.Boolean),
            "fill": pl.Series([marks.looks[one].fill for one in numbers], dtype=pl.String),
            "ink": pl.Series([marks.looks[one].ink for one in numbers], dtype=pl.String),
        }
    )
    styled = marks.styled.join(looks, on="look").sort(_CELL)
    filled = _filled(cells, styled["row"])
    written = styled.join(filled, on=_CELL, how="semi", maintain_order="left")
    counts = filled.group_by("row").len("filled")
    yield from _struck(written.filter("struck"), counts)
    yield partly
    empty = styled.join(filled, on=_CELL, how="anti", maintain_order="left")
    empty = _seen(empty.filter(pl.col("fill").is_not_null()), marks, cells)
    yield from _colours("fill", written, empty, counts)
    yield from _colours("ink", written, empty.clear(), counts)


def _filled(cells: pl.DataFrame, rows: pl.Series) -> pl.DataFrame:
    """Return row and column of the cells with words, in the rows named."""
    return (
        cells.filter(pl.col("row").is_in(rows.unique().implode()))
        .unpivot(index="row", variable_name="column")
        .filter(pl.col("value").is_not_null())
        .select("row", pl.col("column").cast(pl.Int32))
    )


def _struck(struck: pl.DataFrame, counts: pl.DataFrame) -> Iterator[pl.DataFrame]:
    yield _marked(struck, "struck")
    whole = struck.group_by("row").len("same").join(counts, on="row")
    rows = whole.filter(pl.col("same") == pl.col("filled")).sort("row")
    yield _marked(rows, "struck", value=pl.lit("row"))


def _colours(
    mark: str, written: pl.DataFrame, empty: pl.DataFrame, counts: pl.DataFrame
) -> Iterator[pl.DataFrame]:
    coloured = written.filter(pl.col(mark).is_not_null())
    same = coloured.group_by("row", mark).len("same").join(counts, on="row")
    rows = same.filter(pl.col("same") == pl.col("filled")).sort("row")
    yield _marked(rows, mark, value=pl.col(mark))
    single = pl.concat([coloured, empty]).join(rows, on=["row", mark], how="anti").sort(_CELL)
    yield _marked(single, mark, value=pl.col(mark))


def _marked(found: pl.DataFrame, mark: str, value: Any = None) -> pl.DataFrame:
    column = pl.col("column") if "column" in found.columns else pl.lit(None, pl.Int32)
    text = pl.lit(None, pl.String) if value is None else value
    return found.select("row", column=column, mark=pl.lit(mark), value=text).cast(MARKS)  # type: ignore[arg-type]


def _seen(empty: pl.DataFrame, marks: SheetMarks, cells: pl.DataFrame) -> pl.DataFrame:
    """Return the coloured cells without words that lie in the table and are not merged away."""
    first = int(cells.columns[1])
    within = pl.col("column").is_between(first, int(cells.columns[-1]))
    empty = empty.filter(within & (pl.col("row") <= cells.height))
    if empty.height > MOST_EMPTY_FILLS:
        return empty.clear()
    covered = [
        (row, column, min(down, cells.height - row + 1), across)
        for row, column, down, across in marks.merged
        if row <= cells.height and column <= int(cells.columns[-1])
    ]
    if not covered or empty.height == 0:
        return empty
    spans = pl.DataFrame(covered, ["row", "first", "down", "across"], orient="row")
    rows = spans.select(
        "first",
        "across",
        start="row",
        row=pl.int_ranges("row", pl.col("row") + pl.col("down"), dtype=pl.Int32),
    ).explode("row")
    inside = (
        empty.join(rows, on="row")
        .filter(
            pl.col("column").is_between(pl.col("first"), pl.col("first") + pl.col("across") - 1),
            ~((pl.col("row") == pl.col("start")) & (pl.col("column") == pl.col("first"))),
        )
        .select(_CELL)
    )
    return empty.join(inside, on=_CELL, how="anti", maintain_order="left")

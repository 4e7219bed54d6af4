"""One sheet of an open document as it is read: rows and cells, repeated ones laid out with care."""

from __future__ import annotations

import re
from array import array
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, TypeAlias

import polars as pl

from .cells import numbered, set_in, without_empty_end
from .drawings import Drawings
from .limits import MOST_CELLS, MOST_EMPTY_FILLS
from .looks import Look, Run, look_of_runs
from .sheet_marks import STYLED, SheetMarks
from .words import number_words
from .zipped import too_wide

if TYPE_CHECKING:
    from collections.abc import Mapping

_WHOLE = re.compile(r"[+-]?[0-9]+")
_TIME = re.compile(r"P(?:(\d+)D)?T(?:(\d+)H)?(?:(\d+)M)?(?:(\d+)(?:[.,]\d+)?S)?")
_PREFIX = re.compile(r"^[a-z]+:(?==)")
_LAST_COLUMN = 16384

#: First and last row, first and last column, and the number of a look.
_Area: TypeAlias = tuple[int, int, int, int, int]


@dataclass(slots=True)
class OpenCell:
    """A cell, or some alike side by side. ``runs``: its text in pieces, line ends among them."""

    repeated: int = 1
    look: Look | None = None
    kind: str = ""
    value: str = ""
    formula: str | None = None
    spanned: tuple[int, int] = (1, 1)
    runs: list[Run] = field(default_factory=list)
    comment: str = ""

    @property
    def shown(self) -> str:
        """The words that the cell shows."""
        return "".join(run.text for run in self.runs)

    def text(self) -> str:
        """Return the value as text, in the forms that other workbooks' values have."""
        if self.kind in {"float", "percentage", "currency"} and self.value:
            return _number(self.value)
        if self.kind == "date" and self.value:
            day, _, time = self.value.partition("T")
            time = time.partition(".")[0].rstrip("Z")
            return day if time in {"", "00:00:00"} else f"{day} {time}"
        if self.kind == "time" and (found := _TIME.fullmatch(self.value)):
            days, hours, minutes, seconds = (int(part or 0) for part in found.groups())
            return f"{24 * days + hours:02d}:{minutes:02d}:{seconds:02d}"
        if self.kind == "boolean" and self.value:
            return self.value.upper()
        return self.shown or (self.value if self.kind == "string" else "")


@dataclass(slots=True)
class OpenSheet:
    """A sheet's cells and marks; rows and columns count from 1."""

    name: str
    marks: SheetMarks = field(default_factory=SheetMarks)
    drawings: Drawings = field(default_factory=Drawings)
    column_looks: list[tuple[int, int, Look]] = field(default_factory=list)
    outside: bool = False
    row: int = 0
    columns: int = 0
    filled: int = 0
    _cells: dict[int, tuple[array[int], list[str]]] = field(default_factory=dict)
    _styled: list[_Area] = field(default_factory=list)
    _empty: list[_Area] = field(default_factory=list)
    _numbers: dict[Look, int] = field(default_factory=dict)
    _last_row: int = 0

    def add_columns(self, repeated: int, look: Look, *, hidden: bool) -> None:
        """Take in columns that are alike."""
        first, self.columns = self.columns + 1, self.columns + repeated
        if hidden:
            self.marks.hidden_columns.append((first, self.columns))
        if not look.is_plain:
            self.column_looks.append((first, self.columns, look))

    def add_row(
        self, cells: list[OpenCell], repeated: int, row_look: Look | None, *, hidden: bool
    ) -> None:
        """Take in rows that are alike.

        Raises:
            SourceUnreadableError: more cells than can be laid out.
        """
        first, self.row = self.row + 1, self.row + repeated
        if hidden:
            self.marks.hidden_rows.append((first, self.row))
        place = 1
        for cell in cells:
            self._add_cell(cell, (first, self.row), place, row_look)
            place += cell.repeated

    def _add_cell(
        self, cell: OpenCell, rows: tuple[int, int], column: int, row_look: Look | None
    ) -> None:
        first, last = rows
        end = min(column + cell.repeated - 1, _LAST_COLUMN)
        if cell.comment:
            self.marks.comments.append((first, column, cell.comment))
        if cell.spanned != (1, 1):
            self.marks.merged.append((first, column, *cell.spanned))
        text = cell.text()
        if text:
            self._add_words(text, rows, (column, end))
        elif cell.formula is not None and not cell.kind:
            self.marks.formulas.append((first, column, _PREFIX.sub("", cell.formula)))
        for start, stop, style in self._looks(cell.look or row_look, column, end):
            if text:
                self._add_look(cell.runs, style, (first, last, start, stop))
            elif style.fill:
                self._empty.append((first, last, start, stop, self._number_of(style)))

    def _add_words(self, text: str, rows: tuple[int, int], columns: tuple[int, int]) -> None:
        high = rows[1] - rows[0] + 1
        self.filled += high * (columns[1] - columns[0] + 1)
        self._last_row = rows[1]
        if self.filled > MOST_CELLS:
            raise too_wide(self.name, rows[1], columns[1], self.filled, MOST_CELLS)
        for place in range(columns[0], columns[1] + 1):
            numbers, texts = self._cells.setdefault(place, (array("i"), []))
            numbers.extend(range(rows[0], rows[1] + 1))
            texts.extend([text] * high)

    def _add_look(self, runs: list[Run], style: Look, area: tuple[int, int, int, int]) -> None:
        look, left = style, None
        if any(run.struck is not None or run.ink is not None for run in runs):
            look, left = look_of_runs(_resolved(runs, style), style)
        if left is not None:
            first, last, start, stop = area
            self.marks.partly += [
                (row, at, left) for row in range(first, last + 1) for at in range(start, stop + 1)
            ]
        if not look.is_plain:
            self._styled.append((*area, self._number_of(look)))

    def _looks(self, look: Look | None, first: int, last: int) -> list[tuple[int, int, Look]]:
        """Return the looks of cells side by side: their own, or their columns'."""
        if look is not None:
            return [(first, last, look)]
        found = [
            (max(first, start), min(last, stop), one)
            for start, stop, one in self.column_looks
            if start <= last and stop >= first
        ]
        return found or [(first, last, Look())]

    def _number_of(self, look: Look) -> int:
        return self._numbers.setdefault(look, len(self._numbers))

    def frame(self) -> pl.DataFrame:
        """Return the sheet's cells, and complete its marks.

        Raises:
            SourceUnreadableError: the cells lie too far apart to be laid out.
        """
        if not self._cells:
            return pl.DataFrame(schema={"row": pl.Int32})
        first, last = min(self._cells), max(self._cells)
        if self._last_row * (last - first + 1) > MOST_CELLS:
            raise too_wide(self.name, self._last_row, last, self.filled, MOST_CELLS)
        empty = pl.Series([None] * self._last_row, dtype=pl.String)
        columns = []
        for place in range(first, last + 1):
            column = empty.alias(str(place))
            if place in self._cells:
                rows, texts = self._cells[place]
                column = column.scatter(pl.Series(rows, dtype=pl.Int32) - 1, pl.Series(texts))
            columns.append(column)
        cells = without_empty_end(numbered(pl.DataFrame(columns), first))
        if cells.height:
            self.marks.looks = {number: look for look, number in self._numbers.items()}
            self.marks.styled = pl.concat([_spread(self._styled), self._empty_cells(cells)])
            cells = set_in(cells, self.marks.looks, self.marks.styled.iter_rows())
        return cells

    def _empty_cells(self, cells: pl.DataFrame) -> pl.DataFrame:
        """Return coloured cells without words, as far as the table reaches."""
        last_row, last_column = cells.height, int(cells.columns[-1])
        spans = [
            (row, min(end, last_row), column, min(stop, last_column), look)
            for row, end, column, stop, look in self._empty
            if row <= last_row and column <= last_column
        ]
        area = sum((end - row + 1) * (stop - column + 1) for row, end, column, stop, _ in spans)
        return _spread(spans if area <= MOST_EMPTY_FILLS else [])


def _spread(areas: list[_Area]) -> pl.DataFrame:
    """Return the cells of areas that have a look, one a row."""
    names = ["row", "end", "column", "stop", "look"]
    frame = pl.DataFrame(areas, dict.fromkeys(names, pl.Int32), orient="row")
    rows = pl.int_ranges("row", pl.col("end") + 1, dtype=pl.Int32)
    columns = pl.int_ranges("column", pl.col("stop") + 1, dtype=pl.Int32)
    return (
        frame.select(rows.alias("row"), columns.alias("column"), "look")
        .explode("row")
        .explode("column")
        .select(list(STYLED))
    )


def _resolved(runs: list[Run], style: Look) -> list[Run]:
    """Return runs that leave nothing to the cell's style; ink of empty text is none."""
    return [
        Run(
            run.text,
            style.struck if run.struck is None else run.struck,
            style.ink if run.ink is None else run.ink or None,
        )
        for run in runs
    ]


def _number(text: str) -> str:
    if _WHOLE.fullmatch(text):
        return text
    try:
        return number_words(float(text))
    except ValueError:
        return text


def repeated(attributes: Mapping[str, str], name: str) -> int:
    """Return how often something is repeated; nonsense counts once."""
    text = attributes.get(name)
    if text is None:
        return 1
    return max(1, min(int(text), 1 << 24)) if text.isdigit() else 1

"""Workbooks (.xlsx, .xlsm) to grids: values by calamine, what it leaves out from the XML."""

from __future__ import annotations

from typing import TYPE_CHECKING

import fastexcel
import polars as pl

from partmuster.plugin_api import Grid, NotData, SourceFile

from .cells import iso_dates, numbered, set_in, without_empty_end
from .limits import MOST_CELLS
from .looks import Look, look_of_runs
from .notes import sheet_comments, sheet_drawings
from .package import Package, SheetPart, open_package
from .sheet_marks import STYLED, SheetMarks, marks_frame
from .sheet_scan import SheetScan, Wanted, first_filled_column, scan_sheet
from .words import clean
from .zipped import damaged, too_wide

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import Batch


def read_workbook(source: SourceFile) -> Iterator[Batch]:
    """Yield one grid a sheet, hidden ones too, or why a sheet has none; then what is drawn on it.

    Dates become ISO text (a time follows where there is one), whole numbers have no point,
    yes/no values are TRUE and FALSE, errors are their signs (``#REF!``), a formula is its stored
    value. Merged cells stand as they do in the file: words in the first, the others empty. A
    hidden column is marked with no row, a hidden sheet with neither row nor column.

    Raises:
        SourceUnreadableError: damaged, locked or over-large.
    """
    with open_package(source) as package:
        scans = [(part, _scan(package, part)) for part in package.sheets]
        reader = _reader(source)
        for index, (part, scan) in enumerate(scans):
            name = clean(part.name)
            if part.path is None or scan is None:
                yield NotData("a sheet of another kind: a chart, or a macro", sheet=name)
                continue
            comments = sheet_comments(package, part.path)
            cells = _cells(reader, index, package, part, scan)
            if cells.height == 0:
                said = "\n".join(clean(words) for _, _, words in sorted(comments))
                yield NotData("the sheet is empty", sheet=name, words=said)
            else:
                marks = _marks(package, part, scan, comments)
                frame = marks_frame(marks, cells)
                yield Grid(cells, sheet=name, marks=frame, saved_on=package.saved_on)
            drawn = sheet_drawings(package, part.path).told(name)
            if drawn is not None:
                yield drawn


def _reader(source: SourceFile) -> fastexcel.ExcelReader:
    try:
        # As bytes: by a path, the ending of its name would decide what is read.
        return fastexcel.read_excel(source.path.read_bytes())
    except fastexcel.FastExcelError as fault:
        raise damaged(_words(fault)) from fault


def _words(fault: Exception) -> str:
    """Return what a reader says is wrong, without where the file lies now."""
    return " ".join(str(fault).partition("Context:")[0].split())[:120]


def _scan(package: Package, part: SheetPart) -> SheetScan | None:
    """Return what a sheet's XML holds beside values, refusing one too large to lay out."""
    if part.path is None:
        return None
    wanted = Wanted(frozenset(package.looks), package.rich, package.colours)
    with package.zipped.stream(part.path) as stream:
        scan = scan_sheet(stream, wanted)
    if scan.last_row * scan.width > MOST_CELLS:
        raise too_wide(part.name, scan.last_row, scan.last_column, scan.filled, MOST_CELLS)
    return scan


def _cells(
    reader: fastexcel.ExcelReader, index: int, package: Package, part: SheetPart, scan: SheetScan
) -> pl.DataFrame:
    try:
        sheet = reader.load_sheet(index, header_row=None, skip_rows=0, dtypes="string")
        frame = sheet.to_polars()
    except fastexcel.FastExcelError as fault:
        raise damaged(f"sheet '{part.name}': {_words(fault)}") from fault
    first = scan.first_column
    if frame.width and (first is None or frame.width != scan.width):
        assert part.path is not None
        with package.zipped.stream(part.path) as stream:
            first = first_filled_column(stream)
    frame = frame.rename({name: str(number) for number, name in enumerate(frame.columns)})
    cells = _with_signs(iso_dates(numbered(frame, first or 1)), scan)
    return without_empty_end(set_in(cells, package.looks, scan.styled))


def _with_signs(cells: pl.DataFrame, scan: SheetScan) -> pl.DataFrame:
    """Return cells with the texts calamine leaves out (errors) or writes its own way (yes/no)."""
    if not scan.signs:
        return cells
    signs = pl.DataFrame(
        scan.signs, schema={"row": pl.Int32, "column": pl.String, "sign": pl.String}, orient="row"
    )
    last = max(row for row, _, _ in scan.signs)
    if last > cells.height:
        more = pl.DataFrame({"row": range(cells.height + 1, last + 1)}, {"row": pl.Int32})
        cells = pl.concat([cells, more], how="diagonal")
    empty = pl.Series([None] * cells.height, dtype=pl.String)
    for (column,), found in signs.group_by("column"):
        name = str(column)
        before = cells[name] if name in cells.columns else empty.clone()
        texts = before.scatter(found["row"] - 1, found["sign"])
        cells = cells.with_columns(texts.alias(name))
    columns = sorted((name for name in cells.columns if name != "row"), key=int)
    return cells.select("row", *columns)


def _marks(
    package: Package, part: SheetPart, scan: SheetScan, comments: list[tuple[int, int, str]]
) -> SheetMarks:
    marks = SheetMarks(
        hidden=part.hidden,
        hidden_columns=scan.hidden_columns,
        hidden_rows=[(row, row) for row in scan.hidden_rows],
        looks=dict(package.looks),
        comments=comments,
        formulas=scan.formulas,
        merged=scan.merged,
    )
    styled = pl.DataFrame(scan.styled, schema=STYLED, orient="row")
    more: list[tuple[int, int, int]] = []
    numbers: dict[Look, int] = {}
    next_number = max(marks.looks, default=0) + 1
    for row, column, style, runs in scan.rich:
        look, left = look_of_runs(runs, package.looks.get(style, Look()))
        number = numbers.setdefault(look, next_number + len(numbers))
        more.append((row, column, number))
        if left is not None:
            marks.partly.append((row, column, left))
    marks.looks |= {number: look for look, number in numbers.items()}
    runs_styled = pl.DataFrame(more, schema=STYLED, orient="row")
    styled = styled.join(runs_styled, on=["row", "column"], how="anti")
    marks.styled = pl.concat([styled, runs_styled])
    return marks

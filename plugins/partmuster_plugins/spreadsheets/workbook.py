"""Workbooks (.xlsx) to grids: values by calamine, what it leaves out from the XML."""

from __future__ import annotations

from typing import TYPE_CHECKING

import fastexcel
import polars as pl

from partmuster.plugin_api import Grid, NotData, SourceFile, SourceUnreadableError

from .cells import numbered, without_empty_end
from .package import Package, SheetPart, open_package
from .sheet_scan import SheetScan, first_filled_column, scan_sheet

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import Batch

#: Largest rectangle of cells laid out for one sheet; the reader keeps it all in memory, at some
#: 100 bytes a cell. A sheet of all possible rows and 19 columns fits.
MOST_CELLS = 20_000_000

#: How calamine writes a day without a time, and a time without a day.
_MIDNIGHT = r"^(\d{4}-\d\d-\d\d)[ T]00:00:00(?:\.0+)?$"
_DAY_NOUGHT = r"^1899-12-3[01] (\d\d:\d\d:\d\d)"

_MARKS = {"row": pl.Int32(), "column": pl.Int32(), "mark": pl.String(), "value": pl.String()}


def read_workbook(source: SourceFile) -> Iterator[Batch]:
    """Yield one grid a sheet, hidden ones too, or why a sheet has none.

    Dates become ISO text (a time follows where there is one), whole numbers have no point,
    yes/no values are TRUE and FALSE, errors are their signs (``#REF!``). Merged cells stand as
    they do in the file: words in the first, the others empty. A hidden column is marked with no
    row, a hidden sheet with neither row nor column.

    Raises:
        SourceUnreadableError: damaged, locked or over-large.
    """
    with open_package(source) as package:
        scans = [(part, _scan(package, part)) for part in package.sheets]
        saved_on = package.saved_on
        reader = _reader(source)
        for index, (part, scan) in enumerate(scans):
            if scan is None:
                yield NotData("a sheet of another kind: a chart, or a macro", sheet=part.name)
                continue
            cells = _cells(reader, index, package, part, scan)
            if cells.height == 0:
                yield NotData("the sheet is empty", sheet=part.name)
                continue
            yield Grid(cells, sheet=part.name, marks=_marks(part, scan, cells), saved_on=saved_on)


def _reader(source: SourceFile) -> fastexcel.ExcelReader:
    try:
        return fastexcel.read_excel(source.path)
    except fastexcel.FastExcelError as fault:
        raise _damaged(str(fault)) from fault


def _damaged(words: str) -> SourceUnreadableError:
    return SourceUnreadableError(
        f"the workbook is damaged ({' '.join(words.split())[:120]}). "
        "Open it in a spreadsheet program, save it as .xlsx again and import that."
    )


def _scan(package: Package, part: SheetPart) -> SheetScan | None:
    """Return what a sheet's XML holds beside values, refusing one too large to lay out."""
    if part.path is None:
        return None
    with package.stream(part.path) as stream:
        scan = scan_sheet(stream, package.struck_styles)
    if scan.last_row * scan.width > MOST_CELLS:
        raise SourceUnreadableError(
            f"sheet '{part.name}' reaches to row {scan.last_row:,}, column {scan.last_column:,}, "
            f"with {scan.filled:,} cells; at most {MOST_CELLS:,} places are laid out. Delete "
            "what stands far outside the table, or split the sheet, and save the file again."
        )
    return scan


def _cells(
    reader: fastexcel.ExcelReader, index: int, package: Package, part: SheetPart, scan: SheetScan
) -> pl.DataFrame:
    try:
        sheet = reader.load_sheet(index, header_row=None, skip_rows=0, dtypes="string")
        frame = sheet.to_polars()
    except fastexcel.FastExcelError as fault:
        raise _damaged(f"sheet '{part.name}': {fault}") from fault
    first = scan.first_column
    if frame.width and (first is None or frame.width != scan.width):
        assert part.path is not None
        with package.stream(part.path) as stream:
            first = first_filled_column(stream)
    frame = frame.rename({name: str(number) for number, name in enumerate(frame.columns)})
    cells = _with_signs(_iso_dates(numbered(frame, first or 1)), scan)
    return without_empty_end(cells)


def _iso_dates(cells: pl.DataFrame) -> pl.DataFrame:
    dated = [
        name
        for name in cells.columns
        if name != "row" and cells[name].str.contains(f"{_MIDNIGHT}|{_DAY_NOUGHT}").any()
    ]
    return cells.with_columns(
        pl.col(name).str.replace(_MIDNIGHT, "${1}").str.replace(_DAY_NOUGHT, "${1}")
        for name in dated
    )


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


def _marks(part: SheetPart, scan: SheetScan, cells: pl.DataFrame) -> pl.DataFrame:
    last_row, last_column = cells.height, int(cells.columns[-1])
    marks: list[tuple[int | None, int | None, str, str | None]] = []
    if part.hidden:
        marks.append((None, None, "hidden", "sheet"))
    marks += [
        (None, column, "hidden", "column")
        for first, last in scan.hidden_columns
        for column in range(first, min(last, last_column) + 1)
    ]
    marks += [(row, None, "hidden", "row") for row in scan.hidden_rows if row <= last_row]
    marks += [(row, column, "struck", None) for row, column in scan.struck]
    frame = pl.DataFrame(marks, schema=_MARKS, orient="row")
    whole = _struck_rows(frame, cells)
    return pl.concat([frame, whole]) if whole.height else frame


def _struck_rows(marks: pl.DataFrame, cells: pl.DataFrame) -> pl.DataFrame:
    """Return a mark for each row all of whose filled cells are struck."""
    struck = marks.filter(pl.col("mark") == "struck").group_by("row").len("struck")
    if struck.height == 0:
        return struck.select("row").clear().match_to_schema(_MARKS, missing_columns="insert")
    filled = cells.select(
        "row", filled=pl.sum_horizontal(pl.exclude("row").is_not_null().cast(pl.UInt32))
    )
    rows = filled.join(struck, on="row").filter(pl.col("filled") == pl.col("struck"))
    return rows.select(
        "row",
        column=pl.lit(None, pl.Int32),
        mark=pl.lit("struck"),
        value=pl.lit("row"),
    ).sort("row")

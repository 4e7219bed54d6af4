"""Workbooks of the old kind (.xls) to grids, by xlrd: one reading gives values and marks."""

from __future__ import annotations

import datetime as dt
import io
from typing import TYPE_CHECKING, Any

import polars as pl
import xlrd  # type: ignore[import-untyped]
from xlrd.compdoc import CompDoc  # type: ignore[import-untyped]

from partmuster.plugin_api import Grid, NotData, SourceFile, SourceUnreadableError

from .cells import numbered, without_empty_end
from .limits import MOST_OLD_BYTES
from .looks import Look, Run, colour, look_of_runs
from .notes import without_author
from .old_records import OldSheet, old_sheets, saved_on
from .sheet_marks import STYLED, SheetMarks, marks_frame
from .words import clean, number_words
from .zipped import locked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import Batch

_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
#: The stream that a newer workbook with a password is wrapped in.
_LOCKED = "EncryptedPackage".encode("utf-16-le")
_AUTOMATIC = 0x7FFF
_SOLID = 1


def read_old_workbook(source: SourceFile) -> Iterator[Batch]:
    """Yield one grid a sheet, as :func:`.workbook.read_workbook` does; formulas have values.

    Raises:
        SourceUnreadableError: locked, damaged, over-large, or no workbook.
    """
    if source.size > MOST_OLD_BYTES:
        raise SourceUnreadableError(
            f"the workbook is larger than {MOST_OLD_BYTES:,} bytes. Split it into smaller files."
        )
    data = source.path.read_bytes()
    listed, saved = _passed_over(data)
    book = _book(data)
    left = list(book.sheets())
    for sheet in listed or [OldSheet(one.name, cells=True) for one in left]:
        name = clean(sheet.name)
        if not sheet.cells or not left:
            yield NotData("a sheet of another kind: a chart, or a macro", sheet=name)
            continue
        yield _grid(book, left.pop(0), name, saved)
        drawn = sheet.drawings.told(name)
        if drawn is not None:
            yield drawn


def _passed_over(data: bytes) -> tuple[list[OldSheet], dt.date | None]:
    """Return all sheets that are listed, and the day of saving, where the file tells them."""
    if not data.startswith(_OLE):
        return [], None
    if _LOCKED in data:
        raise locked()
    try:
        parts = CompDoc(data, logfile=io.StringIO())
        stream = parts.get_named_stream("Workbook")
        summary = parts.get_named_stream("\x05SummaryInformation")
        return old_sheets(stream or b""), saved_on(summary)
    except Exception as fault:
        raise _damaged(fault) from fault


def _book(data: bytes) -> Any:
    try:
        return xlrd.open_workbook(
            file_contents=data, formatting_info=True, ragged_rows=True, logfile=io.StringIO()
        )
    except xlrd.XLRDError as fault:
        if "encrypted" in str(fault).lower():
            raise locked() from fault
        raise SourceUnreadableError(
            f"the file is no workbook that can be read ({_words(fault)}). If it opens in a "
            "spreadsheet program, save it as .xlsx there and import that."
        ) from fault
    except Exception as fault:
        raise _damaged(fault) from fault


def _damaged(fault: Exception) -> SourceUnreadableError:
    return SourceUnreadableError(
        f"the old workbook is damaged or incomplete ({_words(fault)}). Ask for the file again, or "
        "open it in a spreadsheet program and save it as .xlsx."
    )


def _words(fault: Exception) -> str:
    return " ".join(f"{type(fault).__name__} {fault}".split())[:120]


def _grid(book: Any, sheet: Any, name: str, saved: dt.date | None) -> Batch:
    marks = _marks(book, sheet)
    columns: dict[int, list[str | None]] = {}
    styled: list[tuple[int, int, int]] = []
    for at in range(sheet.nrows):
        styles = sheet._cell_xf_indexes[at]  # noqa: SLF001 - by cell it takes three times as long
        row = zip(sheet.row_types(at), sheet.row_values(at), styles, strict=True)
        for place, (kind, value, style) in enumerate(row):
            if style in marks.looks:
                styled.append((at + 1, place + 1, style))
            text = _text(kind, value, book.datemode)
            if text:
                if place not in columns:
                    columns[place] = [None] * sheet.nrows
                columns[place][at] = text
    if not columns:
        said = "\n".join(clean(words) for _, _, words in sorted(marks.comments))
        return NotData("the sheet is empty", sheet=name, words=said)
    first = min(columns)
    empty = [None] * sheet.nrows
    frame = pl.DataFrame(
        [
            pl.Series(str(place), columns.get(place, empty), dtype=pl.String)
            for place in range(first, max(columns) + 1)
        ]
    )
    cells = without_empty_end(numbered(frame, first + 1))
    if cells.height == 0:
        return NotData("the sheet is empty", sheet=name)
    _add_looks(book, sheet, marks, styled)
    return Grid(cells, sheet=name, marks=marks_frame(marks, cells), saved_on=saved)


def _text(kind: int, value: Any, datemode: int) -> str | None:
    """Return a cell's value as text, in the forms that other workbooks' values have."""
    if kind == xlrd.XL_CELL_TEXT:
        return str(value)
    if kind == xlrd.XL_CELL_NUMBER:
        return number_words(value)
    if kind == xlrd.XL_CELL_DATE:
        return _date(value, datemode)
    if kind == xlrd.XL_CELL_BOOLEAN:
        return "TRUE" if value else "FALSE"
    if kind == xlrd.XL_CELL_ERROR:
        return str(xlrd.error_text_from_code.get(value, "#ERROR!"))
    return None


def _date(value: float, datemode: int) -> str:
    try:
        moment = xlrd.xldate.xldate_as_datetime(value, datemode) + dt.timedelta(milliseconds=500)
    except (OverflowError, ValueError):
        return number_words(value)
    if 0 <= value < 1:
        return f"{moment:%H:%M:%S}"
    day = moment.date().isoformat()
    time = f"{moment:%H:%M:%S}"
    return day if time == "00:00:00" else f"{day} {time}"


def _marks(book: Any, sheet: Any) -> SheetMarks:
    looks = {number: _look(book, form) for number, form in enumerate(book.xf_list)}
    return SheetMarks(
        hidden=bool(sheet.visibility),
        hidden_columns=[(at + 1, at + 1) for at, one in sheet.colinfo_map.items() if one.hidden],
        hidden_rows=[(at + 1, at + 1) for at, one in sheet.rowinfo_map.items() if one.hidden],
        looks={number: look for number, look in looks.items() if not look.is_plain},
        comments=[
            (row + 1, column + 1, words)
            for (row, column), note in sheet.cell_note_map.items()
            if (words := without_author(note.text, note.author))
        ],
        merged=[
            (top + 1, left + 1, bottom - top, right - left)
            for top, bottom, left, right in sheet.merged_cells
        ],
    )


def _look(book: Any, form: Any) -> Look:
    struck, ink = _font(book, form.font_index)
    fill = None
    if form.background.fill_pattern:
        fill = _colour(book, form.background.pattern_colour_index)
        if fill is None and form.background.fill_pattern != _SOLID:
            fill = _colour(book, form.background.background_colour_index)
    return Look(struck, fill, ink)


def _font(book: Any, number: int) -> tuple[bool, str | None]:
    """Return whether a font is struck, and its ink; one that is not listed is plain."""
    if number >= len(book.font_list):
        return False, None
    font = book.font_list[number]
    return bool(font.struck_out), _colour(book, font.colour_index)


def _colour(book: Any, number: int) -> str | None:
    parts = None if number == _AUTOMATIC else book.colour_map.get(number)
    return colour("".join(f"{part:02x}" for part in parts)) if parts else None


def _add_looks(
    book: Any, sheet: Any, marks: SheetMarks, styled: list[tuple[int, int, int]]
) -> None:
    """Set the looks of cells, those of texts in runs by their runs."""
    own: dict[tuple[int, int], int] = {}
    numbers: dict[Look, int] = {}
    for (row, column), fonts in sheet.rich_text_runlist_map.items():
        text = sheet.cell_value(row, column)
        style = marks.looks.get(sheet.cell_xf_index(row, column), Look())
        look, left = look_of_runs(list(_runs(book, text, fonts)), style)
        own[row + 1, column + 1] = numbers.setdefault(look, len(book.xf_list) + len(numbers))
        if left is not None:
            marks.partly.append((row + 1, column + 1, left))
    marks.looks |= {number: look for look, number in numbers.items()}
    cells = [one for one in styled if one[:2] not in own]
    cells += [(*place, number) for place, number in own.items()]
    marks.styled = pl.DataFrame(cells, schema=STYLED, orient="row")


def _runs(book: Any, text: str, fonts: list[tuple[int, int]]) -> Iterator[Run]:
    yield Run(text[: fonts[0][0]] if fonts else text)
    ends = [start for start, _ in fonts[1:]] + [len(text)]
    for (start, number), end in zip(fonts, ends, strict=True):
        yield Run(text[start:end], *_font(book, number))

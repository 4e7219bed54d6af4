"""Reads the table in a club's vocabulary file, CSV or the first sheet of a workbook, as text."""

from __future__ import annotations

import csv
import io
import warnings
import zipfile
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from partmuster_trade.problems import Problem

if TYPE_CHECKING:
    from pathlib import Path

_WORKBOOKS: Final = (".xlsx", ".xlsm")
#: Sheets that are not read here; a club is told so, lest its words be missed in silence.
_OTHER_SHEETS: Final = (".xls", ".xlsb", ".ods", ".numbers", ".tsv")
#: What is more is no list of words, and would take long to unpack (a measure against bad files).
_MOST_BYTES: Final = 50_000_000
_MOST_ROWS: Final = 20_000
_MOST_COLUMNS: Final = 100
_SEPARATORS: Final = ",;\t"
#: In a club's vocabulary folder: how its members say things in prose. No words for parts.
SAYINGS: Final = "sayings.csv"


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of stripped text cells; the first is row 1 of the file (or of the sheet)."""

    file: str
    rows: list[list[str]]
    sheet: str = ""


def vocabulary_files(folder: Path) -> list[Path]:
    """Return the files of a club's vocabulary folder that hold words for parts, by name."""
    endings = {".csv", *_WORKBOOKS, *_OTHER_SHEETS}
    files = folder.iterdir() if folder.is_dir() else ()
    # "~$" begins the lock that a spreadsheet program keeps beside an open workbook.
    return sorted(one for one in files
                  if one.suffix.lower() in endings and not one.name.startswith(("~$", "."))
                  and one.name.lower() != SAYINGS
                  )  # fmt: skip


def read_table(path: Path) -> Table | Problem:
    """Return the table of a file, or why it cannot be read."""
    if path.suffix.lower() in _OTHER_SHEETS:
        message = "is not read here: save it as .xlsx or as CSV UTF-8"
        return Problem(path.name, 0, "", "other-file-type", message)
    try:
        if path.suffix.lower() in _WORKBOOKS:
            return _workbook(path)
        return _text(path)
    except OSError as error:
        message = f"cannot be opened: {error.strerror or error}"
        return Problem(path.name, 0, "", "unreadable-file", message)


def _text(path: Path) -> Table | Problem:
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError:
        message = "is not UTF-8 text: save it again as CSV UTF-8"
        return Problem(path.name, 0, "", "not-utf-8", message)
    # Programs of other countries part cells by semicolons; no heading holds one.
    heading = text.partition("\n")[0]
    separator = max(_SEPARATORS, key=heading.count)
    try:
        rows = list(csv.reader(io.StringIO(text), delimiter=separator, strict=True))
    except csv.Error as error:
        message = f"cannot be read as CSV ({error}): save it again as comma-separated text"
        return Problem(path.name, 0, "", "not-csv", message)
    return Table(path.name, [[cell.strip() for cell in row] for row in rows])


def _workbook(path: Path) -> Table | Problem:
    from openpyxl import load_workbook  # noqa: PLC0415 - heavy, and most clubs have no such file

    unreadable = Problem(
        path.name, 0, "", "not-a-workbook",
        "cannot be read as a workbook: open it, save it as .xlsx without a password, or as CSV",
    )  # fmt: skip
    try:
        with zipfile.ZipFile(path) as package:
            if sum(entry.file_size for entry in package.infolist()) > _MOST_BYTES:
                message = "is too large for a list of words: keep nothing else in this workbook"
                return Problem(path.name, 0, "", "too-large", message)
        with warnings.catch_warnings():  # what openpyxl leaves out (styles, drawings) is no word
            warnings.simplefilter("ignore")
            book = load_workbook(path, read_only=True, data_only=True)
            try:
                sheet = book.worksheets[0]
                cells = sheet.iter_rows(
                    max_row=_MOST_ROWS + 1, max_col=_MOST_COLUMNS, values_only=True
                )
                rows = [["" if cell is None else str(cell).strip() for cell in row]
                        for row in cells]  # fmt: skip
            finally:
                book.close()
    except OSError:
        raise
    except Exception:  # noqa: BLE001 - a damaged package makes openpyxl raise anything
        return unreadable
    if len(rows) > _MOST_ROWS:
        message = f"has more than {_MOST_ROWS} rows: this is no list of words"
        return Problem(path.name, 0, "", "too-large", message, sheet.title)
    return Table(path.name, rows, sheet.title)

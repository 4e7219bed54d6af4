"""Reading a form that was filled in, in whatever spreadsheet program."""

from __future__ import annotations

import datetime as dt
import warnings
import zipfile
from typing import TYPE_CHECKING, Any

from partmuster.model import PartmusterError

from .kinds import (
    ID_HEADING,
    MARKER,
    NAME_LABEL,
    Entry,
    FilledForm,
    FilledRow,
    Stamp,
    column_letter,
)

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence
    from pathlib import Path

    from .kinds import FormKind

#: So many bytes of a workbook are taken in once unpacked; a form of 100,000 rows has fewer.
_LARGEST = 200_000_000
_MOST_ROWS = 200_000
_MOST_COLUMNS = 24
_STAMP = 4


def read_form(path: Path, name: str, known: Mapping[str, FormKind]) -> FilledForm:
    """Return what was filled in.

    Raises:
        PartmusterError: it cannot be read, is of a kind or version that is not known, or its
            table is gone; the text says what to do.
    """
    from openpyxl import load_workbook  # noqa: PLC0415 - heavy, and only for forms

    try:
        _check_size(path, name)
        with warnings.catch_warnings():
            # of parts that other programs add, and which do not matter here
            warnings.simplefilter("ignore")
            book = load_workbook(path, read_only=True, data_only=False)
            try:
                sheets = {sheet.title: list(_cells(sheet)) for sheet in book.worksheets}
                told = book.custom_doc_props
                properties = {one.name: one.value for one in told.props}
            finally:
                book.close()
    except PartmusterError:
        raise
    except Exception as error:
        raise PartmusterError(
            f"{name}: this form cannot be read ({type(error).__name__}: {error}). Open it in a "
            "spreadsheet program, save it as .xlsx, and import it again"
        ) from error
    stamp = _stamp(name, sheets, properties)
    kind = known.get(stamp.form)
    if kind is None or stamp.version > kind.version:
        raise PartmusterError(
            f"{name}: this form was made by a newer partmuster (form '{stamp.form}', version "
            f"{stamp.version}); update partmuster, or make the form anew here"
        )
    if stamp.version < kind.version:
        raise PartmusterError(
            f"{name}: this form is of an older make (version {stamp.version}) that is no longer "
            "read: make it anew, and copy over what was filled in"
        )
    return _filled(name, kind, stamp, sheets)


def _check_size(path: Path, name: str) -> None:
    """Refuse what would not fit into memory, or is no workbook.

    Raises:
        PartmusterError: says which.
    """
    with zipfile.ZipFile(path) as archive:
        parts = archive.infolist()
    if not any(part.filename == "xl/workbook.xml" for part in parts):
        raise PartmusterError(
            f"{name}: this form was saved in another format: save it as .xlsx and import that"
        )
    if sum(part.file_size for part in parts) > _LARGEST:
        raise PartmusterError(f"{name}: this is far too large for a form")


def _cells(sheet: Any) -> Iterator[Sequence[Any]]:
    """Yield the rows of a sheet with something in them, as far as a form may reach."""
    for row in sheet.iter_rows(max_row=_MOST_ROWS, max_col=_MOST_COLUMNS):
        filled = [cell for cell in row if cell.value is not None]
        if filled:
            yield filled


def _stamp(
    name: str, sheets: Mapping[str, list[Sequence[Any]]], properties: Mapping[str, Any]
) -> Stamp:
    told = {}
    for row in sheets.get(MARKER, ()):
        if row[0].column == 1:
            told[str(row[0].value)] = next((str(c.value) for c in row if c.column == 2), "")  # noqa: PLR2004 - the second column
    values = [told.get(one, "") for one in ("form", "version", "club", "club name")]
    if not values[0]:
        values = str(properties.get(MARKER, "")).split("|", _STAMP - 1)
    if len(values) != _STAMP or not values[1].isdigit():
        raise PartmusterError(
            f"{name}: this form no longer tells what it is: make it anew, and copy over what was "
            "filled in"
        )
    return Stamp(values[0], int(values[1]), values[2], values[3])


def _filled(
    name: str, kind: FormKind, stamp: Stamp, sheets: Mapping[str, list[Sequence[Any]]]
) -> FilledForm:
    headings = {column.heading: column for column in kind.columns if column.filled}
    for sheet, rows in sheets.items():
        for at, row in enumerate(rows):
            named = {str(cell.value).strip(): cell.column for cell in row}
            if not {*headings, ID_HEADING} <= named.keys():
                continue
            places = {column.key: named[text] for text, column in headings.items()}
            body = [_filled_row(cells, places, named[ID_HEADING]) for cells in rows[at + 1 :]]
            filled_by, name_cell = _name(rows[:at])
            return FilledForm(
                stamp, sheet, filled_by, name_cell, tuple(row for row in body if row is not None)
            )
    wanted = ", ".join(f"'{heading}'" for heading in (*headings, ID_HEADING))
    raise PartmusterError(
        f"{name}: the headings of the form are gone ({wanted}): put them back, or make it anew"
    )


def _filled_row(
    cells: Sequence[Any], places: Mapping[str, int], id_column: int
) -> FilledRow | None:
    """Return what was filled in in a row, or None where nothing was."""
    row = cells[0].row
    at = {cell.column: cell for cell in cells}
    entries = {}
    for key, column in places.items():
        cell = at.get(column)
        text = None if cell is None else _text(cell.value)
        is_formula = cell is not None and cell.data_type == "f"
        entries[key] = Entry(f"{column_letter(column)}{row}", text, is_formula)
    if not any(entry.text for entry in entries.values()):
        return None
    row_id = at.get(id_column)
    return FilledRow(row, None if row_id is None else _text(row_id.value), entries)


def _name(rows: Sequence[Sequence[Any]]) -> tuple[str | None, str]:
    """Return the name of who filled the form in, and the cell it belongs in."""
    for row in rows:
        for place, cell in enumerate(row):
            if not str(cell.value).strip().casefold().startswith(NAME_LABEL.casefold()):
                continue
            beside = str(cell.value).partition(":")[2].strip()
            name = _text(row[place + 1].value) if place + 1 < len(row) else beside or None
            return name, f"{column_letter(cell.column + 1)}{cell.row}"
    return None, "B3"


def _text(value: Any) -> str | None:
    """Return a cell's value as a person would write it; None where nothing stands."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.10g}"
    if isinstance(value, dt.datetime) and value.time() == dt.time():
        return value.date().isoformat()
    if isinstance(value, dt.datetime):
        return value.isoformat(" ", "minutes")
    return " ".join(str(value).split()) or None if value is not None else None

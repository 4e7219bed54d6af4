"""Writing a form: a sheet to fill in, a sheet that explains it, and a hidden one that tells it."""

from __future__ import annotations

from copy import copy
from itertools import groupby
from typing import TYPE_CHECKING, Any

from partmuster.model import PartmusterError
from partmuster.store.disk import swap_in

from .kinds import ID_HEADING, MARKER, NAME_LABEL, column_letter

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from openpyxl.worksheet.worksheet import Worksheet

    from .kinds import FormKind, FormRow, Stamp

_TITLE_ROW, _LEAD_ROW, _NAME_ROW, _HEAD_ROW = 1, 2, 3, 5
_LEGEND_SHEET = "How to fill this in"
#: A cell holds 32,767 characters at most; nobody reads so many.
_LONGEST = 2000
#: A list of choices within a rule holds so many characters (the format's own limit).
_LONGEST_LIST = 255
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "'")
_HEAD_FILL, _FILL_IN = "D9E2EC", "FFF8DC"
_A4 = 9


def write_form(path: Path, kind: FormKind, rows: Sequence[FormRow], stamp: Stamp) -> None:
    """Write a form with a row for each thing asked.

    Raises:
        OSError: the file cannot be written.
    """
    from openpyxl import Workbook  # noqa: PLC0415 - heavy, and only for forms
    from openpyxl.packaging.custom import StringProperty  # noqa: PLC0415

    book = Workbook()
    book.properties.creator = "partmuster"
    told = (stamp.form, str(stamp.version), stamp.club, stamp.club_name)
    book.custom_doc_props.append(StringProperty(name=MARKER, value="|".join(told)))
    sheet = book.active
    sheet.title = kind.sheet
    _write_table(sheet, kind, rows)
    _write_legend(book.create_sheet(_LEGEND_SHEET), kind)
    hidden = book.create_sheet(MARKER)
    hidden.sheet_state = "hidden"
    for row, (name, value) in enumerate(
        zip(("form", "version", "club", "club name"), told, strict=True), 1
    ):
        _put(hidden, row, 1, name)
        _put(hidden, row, 2, value)
    _write_choices(sheet, hidden, kind, rows)
    book.save(path)


def write_new_form(file: Path, kind: FormKind, rows: Sequence[FormRow], stamp: Stamp) -> None:
    """Write a form into a new file, whole or not at all.

    Raises:
        PartmusterError: there is such a file already, or it cannot be written.
    """
    if file.exists():
        raise PartmusterError(
            f"there is already a file {file}: it may have been filled in. Name another"
        )
    made = file.with_name(f".{file.name}.making")
    try:
        write_form(made, kind, rows, stamp)
        swap_in(made, file)
    except OSError as error:
        raise PartmusterError(f"{file} cannot be written ({error.strerror})") from error
    finally:
        made.unlink(missing_ok=True)


def _write_table(sheet: Worksheet, kind: FormKind, rows: Sequence[FormRow]) -> None:
    from openpyxl.styles import Alignment, Border, Font, PatternFill, Side  # noqa: PLC0415

    wrapped = Alignment(wrap_text=True, vertical="top")
    line = Side(style="thin", color="B0B0B0")
    box = Border(left=line, right=line, top=line, bottom=line)
    to_fill = PatternFill("solid", start_color=_FILL_IN)
    _put(sheet, _TITLE_ROW, 1, kind.title).font = Font(bold=True, size=14)
    _put(sheet, _LEAD_ROW, 1, kind.lead)
    _put(sheet, _NAME_ROW, 1, f"{NAME_LABEL}:").font = Font(bold=True)
    name = sheet.cell(_NAME_ROW, 2)
    name.fill, name.border, name.number_format = to_fill, box, "@"
    headings = [*(column.heading for column in kind.columns), ID_HEADING]
    for number, heading in enumerate(headings, 1):
        cell = _put(sheet, _HEAD_ROW, number, heading)
        cell.font, cell.alignment, cell.border = Font(bold=True), wrapped, box
        cell.fill = PatternFill("solid", start_color=_HEAD_FILL)
    # A style is made once and copied: making one for each cell took most of the time.
    styles: dict[tuple[bool, bool], Any] = {}
    for at, row in enumerate(rows, _HEAD_ROW + 1):
        for number, column in enumerate(kind.columns, 1):
            cell = _put(sheet, at, number, row.cells.get(column.key))
            style = styles.get((column.filled, cell.quotePrefix))
            if style is None:
                cell.alignment, cell.border = wrapped, box
                if column.filled:
                    # as text: "3-4" stays what was typed, and becomes no date
                    cell.fill, cell.number_format = to_fill, "@"
                styles[column.filled, cell.quotePrefix] = cell._style  # noqa: SLF001 - the usual way to copy one
            else:
                cell._style = copy(style)  # noqa: SLF001 - as above
        _put(sheet, at, len(headings), row.row_id)
    for number, column in enumerate(kind.columns, 1):
        sheet.column_dimensions[column_letter(number)].width = column.width
    last = column_letter(len(headings))
    sheet.column_dimensions[last].hidden = True
    sheet.auto_filter.ref = f"A{_HEAD_ROW}:{last}{_HEAD_ROW + len(rows)}"
    sheet.freeze_panes = f"A{_HEAD_ROW + 1}"
    _set_up_page(sheet)
    sheet.print_title_rows = f"{_HEAD_ROW}:{_HEAD_ROW}"


def _write_legend(sheet: Worksheet, kind: FormKind) -> None:
    from openpyxl.styles import Alignment, Font  # noqa: PLC0415

    _put(sheet, 1, 1, _LEGEND_SHEET).font = Font(bold=True, size=14)
    for row, (word, meaning) in enumerate(kind.legend, 3):
        _put(sheet, row, 1, word).font = Font(bold=True)
        _put(sheet, row, 2, meaning)
        for column in (1, 2):
            sheet.cell(row, column).alignment = Alignment(wrap_text=True, vertical="top")
    sheet.column_dimensions["A"].width = 24
    sheet.column_dimensions["B"].width = 96
    _set_up_page(sheet)


def _set_up_page(sheet: Worksheet) -> None:
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = _A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.oddFooter.center.text = "&A, page &P of &N"


def _write_choices(
    sheet: Worksheet, hidden: Worksheet, kind: FormKind, rows: Sequence[FormRow]
) -> None:
    """Give each cell its choices as a drop-down list; anything else may be typed there as well."""
    from openpyxl.worksheet.datavalidation import DataValidation  # noqa: PLC0415

    cells: dict[tuple[str, ...], list[str]] = {}
    for number, column in enumerate(kind.columns, 1):
        letter, at = column_letter(number), _HEAD_ROW + 1
        offered = [row.choices.get(column.key, column.choices) for row in rows]
        for choices, alike in groupby(offered):
            last = at + len(list(alike)) - 1
            if choices:
                cells.setdefault(choices, []).append(f"{letter}{at}:{letter}{last}")
            at = last + 1
    for number, (choices, places) in enumerate(cells.items(), 3):
        listed = ",".join(choices)
        if len(listed) <= _LONGEST_LIST and not any(set(',"') & set(one) for one in choices):
            source = f'"{listed}"'
        else:
            for at, choice in enumerate(choices, 1):
                _put(hidden, at, number, choice)
            letter = column_letter(number)
            source = f"'{MARKER}'!${letter}$1:${letter}${len(choices)}"
        # all places at once: one added after another is looked for among those before it
        rule = DataValidation(
            type="list", formula1=source, allow_blank=True, sqref=" ".join(places)
        )
        rule.showErrorMessage = False
        sheet.add_data_validation(rule)


def _put(sheet: Worksheet, row: int, column: int, value: str | int | None) -> Any:
    """Write a cell; text stays text, whatever it begins with."""
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE  # noqa: PLC0415

    cell = sheet.cell(row, column)
    if not isinstance(value, str):
        cell.value = value
        return cell
    text = ILLEGAL_CHARACTERS_RE.sub("\ufffd", value)
    if len(text) > _LONGEST:
        text = f"{text[:_LONGEST]} ..."
    cell.value = text
    cell.data_type = "s"  # after the value: from that, a formula or an error would be guessed
    if text.startswith(_FORMULA_SIGNS):
        cell.quotePrefix = True
    return cell

"""Tables of text with the marks that members put on their sheets, and the workbooks made of them.

One line a row, cells parted by ``|``. What a line or a cell carries besides its words stands in it:

- ``(struck)``, ``(hidden)`` or ``(yellow)`` before a row: the whole row is;
- ``~words~``: these words are struck through, the whole cell or a part of it;
- ``words {comment}``: a comment on the cell;
- ``=SUM(B3:B9) -> 14``: a formula with the value the program stored; ``=B9*2``: one without.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import zipfile
from dataclasses import dataclass, field
from pathlib import Path
from xml.sax.saxutils import escape

from openpyxl import Workbook
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill

SHEETS = Path(__file__).parents[1] / "ashmere"
SAVED = dt.datetime(2026, 3, 21, 12, 0, 0)  # noqa: DTZ001 - a workbook's dates carry no zone
ZIP_DATE = (2026, 3, 21, 12, 0, 0)
COLOURS = {"yellow": "FFFF00"}
_ROW_MARK = re.compile(r"\((struck|hidden|yellow)\) ")
_COMMENT = re.compile(r"\s*\{([^}]*)\}$")
_FORMULA = re.compile(r"(=.+?)(?: -> (\d+))?")


@dataclass
class Sheet:
    """One sheet: its rows of marked text, and what belongs to the whole of it."""

    title: str
    rows: list[str]
    merged: list[str] = field(default_factory=list)  # such as "A1:H1"
    hidden_columns: str = ""
    hidden: bool = False


@dataclass
class Cell:
    """One cell, its marks taken apart; ``runs``: its words, and whether each run is struck."""

    text: str
    runs: list[tuple[str, bool]]
    comment: str | None
    formula: str | None

    @property
    def value(self) -> str | int | float | None:
        """Give numbers as a spreadsheet stores them, blanks as empty cells."""
        try:
            return int(self.text) if self.text.isdigit() else float(self.text)
        except ValueError:
            return self.text or None


def read_row(line: str) -> tuple[set[str], list[Cell]]:
    """Return the marks of a whole row, and its cells."""
    marks = set()
    while mark := _ROW_MARK.match(line):
        marks.add(mark[1])
        line = line[mark.end() :]
    return marks, [_cell(text) for text in line.split("|")]


def _cell(text: str) -> Cell:
    comment = _COMMENT.search(text)
    if comment:
        text = text[: comment.start()]
    if formula := _FORMULA.fullmatch(text):
        return Cell(formula[2] or "", [], comment and comment[1], formula[1])
    pieces = text.split("~")  # every second piece stood between two signs
    runs = [(piece, number % 2 == 1) for number, piece in enumerate(pieces) if piece]
    return Cell("".join(pieces), runs, comment and comment[1], None)


def write_workbook(name: str, sheets: list[Sheet]) -> None:
    """Write an .xlsx or .xlsm, packed with fixed dates so that it can be committed."""
    book = Workbook()
    book.remove(book.worksheets[0])
    stored: dict[str, dict[str, str]] = {}
    for number, sheet in enumerate(sheets, start=1):
        stored[f"xl/worksheets/sheet{number}.xml"] = _fill(book.create_sheet(sheet.title), sheet)
    book.properties.creator = "Vale of Ashmere Vehicle Club"
    book.properties.created = book.properties.modified = SAVED
    packed = io.BytesIO()
    book.save(packed)
    with (
        zipfile.ZipFile(packed) as made,
        zipfile.ZipFile(SHEETS / name, "w", zipfile.ZIP_DEFLATED) as out,
    ):
        for entry in made.namelist():
            content = made.read(entry).decode() if entry.endswith(("xml", "rels")) else ""
            for address, value in stored.get(entry, {}).items():  # openpyxl stores no values
                content = re.sub(
                    rf'(<c r="{address}"[^>]*><f>[^<]*</f>)<v ?/?>(?:</v>)?',
                    rf"\1<v>{value}</v>", content,
                )  # fmt: skip
            if entry == "docProps/core.xml":  # saving stamps the hour of the run
                stamp = SAVED.strftime("%Y-%m-%dT%H:%M:%SZ")
                content = re.sub(r"(<dcterms:modified[^>]*>)[^<]*", rf"\g<1>{stamp}", content)
            if entry == "[Content_Types].xml" and name.endswith(".xlsm"):
                plain = "vnd.openxmlformats-officedocument.spreadsheetml.sheet.main"
                content = content.replace(plain, "vnd.ms-excel.sheet.macroEnabled.main")
            data = content.encode() or made.read(entry)
            out.writestr(zipfile.ZipInfo(entry, ZIP_DATE), data, zipfile.ZIP_DEFLATED)


def _fill(page, sheet: Sheet) -> dict[str, str]:  # noqa: ANN001 - openpyxl has no types
    """Put rows and marks into a sheet; return the values stored for formulas, by address."""
    stored = {}
    for number, line in enumerate(sheet.rows, start=1):
        marks, cells = read_row(line)
        page.row_dimensions[number].hidden = "hidden" in marks
        for column, cell in enumerate(cells, start=1):
            place = page.cell(number, column)
            _fill_cell(place, cell, marks)
            if cell.formula and cell.text:
                stored[place.coordinate] = cell.text
    for area in sheet.merged:
        page.merge_cells(area)
    for letter in sheet.hidden_columns:
        page.column_dimensions[letter].hidden = True
    if sheet.hidden:
        page.sheet_state = "hidden"
    return stored


def _fill_cell(place, cell: Cell, marks: set[str]) -> None:  # noqa: ANN001 - as above
    struck = any(cut for _, cut in cell.runs)
    if struck and len(cell.runs) > 1:
        blocks = [TextBlock(InlineFont(strike=cut), words) for words, cut in cell.runs]
        place.value = CellRichText(*blocks)
    else:
        place.value = cell.formula or cell.value
        if struck or "struck" in marks:
            place.font = Font(strike=True)
    for colour in marks & set(COLOURS):
        place.fill = PatternFill("solid", fgColor=COLOURS[colour])
    if cell.comment:
        place.comment = Comment(cell.comment, "Wilfred")


_SPACES = " ".join(
    f'xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{prefix}:1.0"'
    for prefix in ("office", "table", "text", "style", "meta")
)
_ODS_TYPE = "application/vnd.oasis.opendocument.spreadsheet"
_MANIFEST = (
    '<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0" '
    f'manifest:version="1.2"><manifest:file-entry manifest:full-path="/" '
    f'manifest:media-type="{_ODS_TYPE}"/><manifest:file-entry '
    'manifest:full-path="content.xml" manifest:media-type="text/xml"/></manifest:manifest>'
)
_STRUCK = (
    '<style:style style:name="struck" style:family="table-cell"><style:text-properties '
    'style:text-line-through-style="solid"/></style:style>'
)


def write_ods(name: str, sheet: Sheet) -> None:
    """Write one sheet as an OpenDocument spreadsheet, with the same bytes each time."""
    rows = "".join(_ods_row(line) for line in sheet.rows)
    content = (
        f'<office:document-content {_SPACES} office:version="1.2"><office:automatic-styles>'
        f"{_STRUCK}</office:automatic-styles><office:body><office:spreadsheet>"
        f'<table:table table:name="{sheet.title}">{rows}</table:table>'
        "</office:spreadsheet></office:body></office:document-content>"
    )
    with zipfile.ZipFile(SHEETS / name, "w") as out:
        for entry, data, packing in (
            ("mimetype", _ODS_TYPE, zipfile.ZIP_STORED),
            ("content.xml", content, zipfile.ZIP_DEFLATED),
            ("META-INF/manifest.xml", _MANIFEST, zipfile.ZIP_DEFLATED),
        ):
            out.writestr(zipfile.ZipInfo(entry, ZIP_DATE), data, packing)


def _ods_row(line: str) -> str:
    marks, cells = read_row(line)
    shown = ' table:visibility="collapse"' if "hidden" in marks else ""
    style = ' table:style-name="struck"' if "struck" in marks else ""
    return (
        f"<table:table-row{shown}>{''.join(_ods_cell(c, style) for c in cells)}</table:table-row>"
    )


def _ods_cell(cell: Cell, style: str) -> str:
    value = cell.value
    if value is None:
        return "<table:table-cell/>"
    kind = "string" if isinstance(value, str) else f'float" office:value="{value}'
    words = f"<text:p>{escape(cell.text)}</text:p>"
    return f'<table:table-cell{style} office:value-type="{kind}">{words}</table:table-cell>'

"""Write the marked sheets of ``tests/golden/sheets``: the same list as .xlsx, .ods and .xls.

``python -m tests.golden.make_marked_sheets FOLDER``. The .xls needs ``xlwt``, which nothing else
does; without it the other two are written. What each must give stands beside it, by hand.
``mixed.xls``, with cells of every kind, belongs to ``tests/golden/old_workbooks``.
"""

from __future__ import annotations

import datetime as dt
import io
import re
import struct
import sys
import zipfile
import zlib
from pathlib import Path

ROWS = [
    ["Spares of the club", None, None, None, None, None],
    ["Part", "Qty", "State", "Remarks", "Price", "Seen"],
    ["Brake band", 2, "good", "Regal B", 12.5, dt.date(2026, 3, 5)],
    ["Dynamo", 1, "u/s", None, None, None],
    ["Hinge, LH and RH", 1, None, None, None, True],
    ["Lamp", 1, None, None, None, None],
    ["Horn", 1, "fair", None, 3, None],
    ["Mirror", 3, None, None, None, None],
    ["Jack", None, None, "ask Al", None, dt.datetime(2026, 3, 5, 14, 30)],  # noqa: DTZ001 - sheets have none
]
NOTE = "two more at the farm"
SAVED = dt.datetime(2026, 3, 6, 9, 0)  # noqa: DTZ001 - sheets have none
GREY, YELLOW, GREEN, RED = "D9D9D9", "FFFF00", "92D050", "FF0000"


def picture() -> bytes:
    """Return one red point as a PNG."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        check = zlib.crc32(kind + data)
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", check)

    head = struct.pack(">IIBBBBB", 1, 1, 8, 2, 0, 0, 0)
    body = zlib.compress(b"\0\xff\0\0")
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", body) + chunk(b"IEND", b"")


def write_xlsx(path: Path) -> None:
    import openpyxl
    from openpyxl.cell.rich_text import CellRichText, TextBlock
    from openpyxl.cell.text import InlineFont
    from openpyxl.comments import Comment
    from openpyxl.styles import Font, PatternFill

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Stock"
    for row in ROWS:
        sheet.append(row)
    sheet["A10"], sheet["B10"] = "Sum", "=SUM(B3:B9)"
    sheet.merge_cells("A1:D1")
    sheet.merge_cells("C7:C8")
    for cell in sheet[2]:
        cell.fill = PatternFill("solid", fgColor=GREY)
    for cell in sheet[7]:
        cell.fill = PatternFill("solid", fgColor=YELLOW)
    sheet["B9"].fill = PatternFill("solid", fgColor=GREEN)
    sheet["A3"].fill = PatternFill("solid", fgColor="FFFFFF")
    sheet["A3"].comment = Comment(f"Bert:\n{NOTE}", "Bert")
    for cell in sheet[4]:
        cell.font = Font(strike=True)
    sheet["A5"] = CellRichText(
        TextBlock(InlineFont(), "Hinge, "),
        TextBlock(InlineFont(strike=True), "LH and "),
        TextBlock(InlineFont(), "RH"),
    )
    sheet["B8"].font = Font(color=RED)
    sheet["A8"].font = Font(color="000000")
    sheet.row_dimensions[6].hidden = True
    sheet.column_dimensions["E"].hidden = True
    sheet["D5"] = "=1/0"
    old = book.create_sheet("Old")
    old["A1"] = "gone"
    old.sheet_state = "hidden"
    photos = book.create_sheet("Photographs")
    photos["A1"] = "Seen at the farm"
    out = io.BytesIO()
    book.save(out)
    # A picture and a text box by hand: openpyxl needs an imaging library to write one.
    with zipfile.ZipFile(out) as made, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for info in made.infolist():
            data = made.read(info)
            if info.filename == "xl/worksheets/sheet1.xml":
                data = data.replace(
                    b'<c r="D5"><f>1/0</f><v></v></c>',
                    b'<c r="D5" t="e"><f>1/0</f><v>#DIV/0!</v></c>',
                ).replace(
                    b'<c r="D5"><f>1/0</f><v /></c>',
                    b'<c r="D5" t="e"><f>1/0</f><v>#DIV/0!</v></c>',
                )
                assert b"#DIV/0!" in data
            if info.filename == "xl/worksheets/sheet3.xml":
                data = data.replace(b"</worksheet>", DRAWING_LINK + b"</worksheet>")
            if info.filename == "docProps/core.xml":
                # openpyxl states the hour of writing, whatever it is told.
                data = re.sub(
                    rb"(<dcterms:modified[^>]*>)[^<]*", rb"\g<1>2026-03-06T09:00:00Z", data
                )
            new.writestr(info.filename, data)
        new.writestr("xl/worksheets/_rels/sheet3.xml.rels", SHEET_LINKS)
        new.writestr("xl/drawings/drawing1.xml", DRAWING)
        new.writestr("xl/media/image1.png", picture())


OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
DRAWING_LINK = f'<drawing xmlns:r="{OFFICE}" r:id="rId1"/>'.encode()
SHEET_LINKS = (
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Id="rId1" Type="{OFFICE}/drawing" Target="../drawings/drawing1.xml"/>'
    "</Relationships>"
)
DRAWING = (
    '<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing" '
    'xmlns:a="http://schemas.openxmlformats.org/drawingml/2006/main">'
    "<xdr:oneCellAnchor><xdr:pic/><xdr:clientData/></xdr:oneCellAnchor>"
    "<xdr:oneCellAnchor><xdr:pic/><xdr:clientData/></xdr:oneCellAnchor>"
    '<xdr:oneCellAnchor><xdr:sp><xdr:nvSpPr><xdr:cNvSpPr txBox="1"/></xdr:nvSpPr><xdr:txBody>'
    "<a:p><a:r><a:t>Left gate, </a:t></a:r><a:r><a:t>by the shed</a:t></a:r></a:p>"
    "</xdr:txBody></xdr:sp><xdr:clientData/></xdr:oneCellAnchor></xdr:wsDr>"
)

SPACES = (
    " ".join(
        f'xmlns:{prefix}="urn:oasis:names:tc:opendocument:xmlns:{name}:1.0"'
        for prefix, name in {
            "office": "office",
            "table": "table",
            "text": "text",
            "style": "style",
            "draw": "drawing",
            "fo": "xsl-fo-compatible",
        }.items()
    )
    + ' xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:xlink="http://www.w3.org/1999/xlink"'
)


def _cell_style(name: str, fill: str = "", ink: str = "", struck: str = "") -> str:
    box = f'<style:table-cell-properties fo:background-color="#{fill.lower()}"/>' if fill else ""
    text = f'fo:color="#{ink.lower()}"' if ink else ""
    text += ' style:text-line-through-style="solid"' if struck else ""
    return (
        f'<style:style style:name="{name}" style:family="table-cell" '
        f'style:parent-style-name="Default">{box}<style:text-properties {text}/></style:style>'
    )


def _ods_cell(value: object, style: str = "", extra: str = "", inside: str = "") -> str:
    named = f' table:style-name="{style}"' if style else ""
    start = f"<table:table-cell{named} {extra}"
    if inside:
        return f'{start} office:value-type="string">{inside}</table:table-cell>'
    if value is None:
        return f"{start}/>"
    if isinstance(value, bool):
        kind, said = "boolean", f'office:boolean-value="{str(value).lower()}"'
    elif isinstance(value, dt.date):
        kind, said = "date", f'office:date-value="{value.isoformat()}"'
    elif isinstance(value, (int, float)):
        kind, said = "float", f'office:value="{value}"'
    else:
        kind, said = "string", ""
    shown = f"<text:p>{value}</text:p>"
    return f'{start} office:value-type="{kind}" {said}>{shown}</table:table-cell>'


def write_ods(path: Path) -> None:
    styles = (
        _cell_style("head", fill=GREY) + _cell_style("sold", fill=YELLOW)
        + _cell_style("got", fill=GREEN) + _cell_style("red", ink=RED)
        + _cell_style("gone", struck="yes") + _cell_style("plain", fill="FFFFFF")
        + '<style:style style:name="cut" style:family="text"><style:text-properties '
        'style:text-line-through-style="solid"/></style:style>'
        '<style:style style:name="away" style:family="table"><style:table-properties '
        'table:display="false"/></style:style>'
    )  # fmt: skip
    looks = {2: "head", 4: "gone", 7: "sold"}
    rows = []
    for number, values in enumerate(ROWS, start=1):
        cells = [_ods_cell(value, looks.get(number, "")) for value in values]
        if number == 1:
            cells[:4] = [
                _ods_cell(values[0], extra='table:number-columns-spanned="4"'),
                '<table:covered-table-cell table:number-columns-repeated="3"/>',
            ]
        if number == 3:
            note = (
                "<office:annotation><dc:creator>Bert</dc:creator><dc:date>2026-03-01T00:00:00"
                f"</dc:date><text:p>{NOTE}</text:p></office:annotation>"
            )
            cells[0] = _ods_cell(None, "plain", inside=f"{note}<text:p>Brake band</text:p>")
            cells[3] = _ods_cell(None, inside='<text:p>Regal<text:s text:c="1"/>B</text:p>')
        if number == 5:
            words = '<text:p>Hinge, <text:span text:style-name="cut">LH and </text:span>RH</text:p>'
            cells[0] = _ods_cell(None, inside=words)
            cells[3] = _ods_cell("#DIV/0!", extra='table:formula="of:=1/0"')
        if number == 7:
            cells[2] = _ods_cell("fair", "sold", extra='table:number-rows-spanned="2"')
        if number == 8:
            cells[1] = _ods_cell(3, "red")
            cells[2] = "<table:covered-table-cell/>"
        if number == 9:
            cells[1] = _ods_cell(None, "got")
        hidden = ' table:visibility="filter"' if number == 6 else ""
        rows.append(f"<table:table-row{hidden}>{''.join(cells)}</table:table-row>")
    total = _ods_cell("Sum") + '<table:table-cell table:formula="of:=SUM([.B3:.B9])"/>'
    rows.append(f"<table:table-row>{total}</table:table-row>")
    rest = 1_048_576 - len(rows)
    rows.append(
        f'<table:table-row table:number-rows-repeated="{rest}">'
        '<table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    )
    columns = (
        '<table:table-column table:number-columns-repeated="4"/>'
        '<table:table-column table:visibility="collapse"/><table:table-column/>'
    )
    frame = '<draw:frame><draw:image xlink:href="Pictures/1.png"/></draw:frame>'
    box = (
        "<draw:frame><draw:text-box><text:p>Left gate, <text:span>by the shed</text:span></text:p>"
        "</draw:text-box></draw:frame>"
    )
    sheets = (
        f'<table:table table:name="Stock">{columns}{"".join(rows)}</table:table>'
        '<table:table table:name="Old" table:style-name="away"><table:table-column/>'
        f"<table:table-row>{_ods_cell('gone')}</table:table-row></table:table>"
        f'<table:table table:name="Photographs"><table:shapes>{frame}{box}</table:shapes>'
        f"<table:table-column/><table:table-row>"
        f"{_ods_cell(None, inside=f'<text:p>Seen at the farm</text:p>{frame}')}"
        "</table:table-row></table:table>"
    )
    content = (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<office:document-content {SPACES}>\n'
        f"<office:automatic-styles>{styles}</office:automatic-styles>\n<office:body>"
        f"<office:spreadsheet>\n{sheets}\n</office:spreadsheet></office:body>"
        "</office:document-content>"
    )
    meta = (
        f"<office:document-meta {SPACES}><office:meta><dc:date>{SAVED.isoformat()}</dc:date>"
        "</office:meta></office:document-meta>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        kind = "application/vnd.oasis.opendocument.spreadsheet"
        archive.writestr("mimetype", kind, zipfile.ZIP_STORED)
        archive.writestr("content.xml", content)
        archive.writestr("meta.xml", meta)
        archive.writestr("Pictures/1.png", picture())


def _record(kind: int, data: bytes) -> bytes:
    return struct.pack("<HH", kind, len(data)) + data


def _object(kind: int, number: int) -> bytes:
    """Return an OBJ record: 8 is a picture, 6 a text box, 0x19 a note."""
    return _record(0x5D, struct.pack("<HHHHH12xHH", 0x15, 18, kind, number, 0x4011, 0, 0))


def _text(words: str) -> bytes:
    """Return a TXO record with its words and one run, in two CONTINUE records."""
    head = struct.pack("<HH6xHHHH2x", 0x212, 0, len(words), 16, 0, 0)
    runs = struct.pack("<HH4xHH4x", 0, 0, len(words), 0)
    return _record(0x1B6, head) + _record(0x3C, b"\0" + words.encode()) + _record(0x3C, runs)


def _note(row: int, column: int, number: int, author: str) -> bytes:
    start = struct.pack("<HHHHHB", row, column, 0, number, len(author), 0)
    return _record(0x1C, start + author.encode() + b"\0")


def write_xls(path: Path) -> None:  # noqa: C901 - a list of cells, one after another
    import xlwt

    book = xlwt.Workbook()
    book.set_colour_RGB(0x21, 0x92, 0xD0, 0x50)
    book.set_colour_RGB(0x22, 0xD9, 0xD9, 0xD9)
    xlwt.add_palette_colour("own_green", 0x21)
    xlwt.add_palette_colour("own_grey", 0x22)
    sheet = book.add_sheet("Stock")

    def style(words: str, form: str = "General") -> object:
        return xlwt.easyxf(words, num_format_str=form)

    looks = {
        2: "pattern: pattern solid, fore_colour own_grey",
        4: "font: struck_out on",
        7: "pattern: pattern solid, fore_colour yellow",
    }
    for number, values in enumerate(ROWS, start=1):
        for column, value in enumerate(values):
            form = "General"
            if isinstance(value, dt.datetime):
                form = "YYYY-MM-DD HH:MM"
            elif isinstance(value, dt.date):
                form = "YYYY-MM-DD"
            look = looks.get(number, "")
            if (number, column) == (8, 1):
                look = "font: colour red"
            if (number, column) == (9, 1):
                look = "pattern: pattern solid, fore_colour own_green"
            if (number, column) == (3, 0):
                look = "pattern: pattern solid, fore_colour white"
            if number == 1 or (number, column) in {(5, 0), (5, 3), (7, 2), (8, 2)}:
                continue
            if value is not None or look:
                sheet.write(number - 1, column, value, style(look, form))
    sheet.write_merge(0, 0, 0, 3, ROWS[0][0])
    sheet.write_merge(6, 7, 2, 2, "fair", style(looks[7]))
    struck = xlwt.Font()
    struck.struck_out = True
    plain = xlwt.Font()
    sheet.write_rich_text(4, 0, ["Hinge, ", ("LH and ", struck), ("RH", plain)])
    sheet.row(4).set_cell_error(3, "#DIV/0!")
    sheet.write(9, 0, "Sum")
    sheet.row(5).hidden = True
    sheet.col(4).hidden = True
    old = book.add_sheet("Old")
    old.write(0, 0, "gone")
    old.visibility = 1
    photos = book.add_sheet("Photographs")
    photos.write(0, 0, "Seen at the farm")
    # xlwt has neither notes nor the drawings of this version of the format: by hand.
    sheet._Worksheet__bmp_rec = (
        _object(0x19, 1) + _text(f"Bert:\n{NOTE}") + _note(row=2, column=0, number=1, author="Bert")
    )
    photos._Worksheet__bmp_rec = (
        _object(8, 1) + _object(8, 2) + _object(6, 3) + _text("Left gate, by the shed")
    )
    book.save(str(path))


def write_mixed_xls(path: Path) -> None:
    """Write cells of every kind at random from a fixed seed, to be counted by another reader."""
    import random

    import xlwt

    rng = random.Random(1987)
    book = xlwt.Workbook(encoding="utf-8")
    day = xlwt.easyxf(num_format_str="DD/MM/YY")
    moment = xlwt.easyxf(num_format_str="DD/MM/YYYY HH:MM:SS")
    clock = xlwt.easyxf(num_format_str="HH:MM:SS")
    grey = xlwt.easyxf("pattern: pattern solid, fore_colour gray25")
    for name in ("Spares", "Räder ½", "Прочее"):
        sheet = book.add_sheet(name)
        makers = (
            lambda: (rng.choice(["Lamp", "Hinge, LH", "Kühler", "½ set", "болт М8", "00123"]),),
            lambda: (rng.choice([0, 1, -7, 2.5, 0.1, 1e-7, 123456789012, 3.14159]),),
            lambda: (dt.date(2026, 3, 1) + dt.timedelta(days=rng.randrange(-20000, 300)), day),
            lambda: (dt.datetime(1987, 5, 6, 7, 8, 9) + dt.timedelta(hours=rng.random()), moment),  # noqa: DTZ001 - sheets have none
            lambda: (dt.time(rng.randrange(24), rng.randrange(60), 30), clock),
            lambda: (rng.random() < 0.5,),
            lambda: ("x" * rng.choice([1, 300, 9000]) + "\nend",),
            lambda: (None, grey),
        )
        for row in range(4, 124):
            for column in range(2, 12):
                if rng.random() < 0.8:
                    sheet.write(row, column, *rng.choice(makers)())
    book.save(str(path))


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    for name, write in (
        ("marked_xlsx.xlsx", write_xlsx),
        ("marked_ods.ods", write_ods),
        ("marked_xls.xls", write_xls),
        ("mixed.xls", write_mixed_xls),
    ):
        try:
            write(folder / name)
        except ImportError as fault:
            print(f"{name} is not written: {fault}")  # noqa: T201 - a script's word to its caller

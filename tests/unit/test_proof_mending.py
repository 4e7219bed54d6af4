"""What cannot be read on a page goes into the form for mending, with its place on the page."""

from __future__ import annotations

import openpyxl
import pytest
from reportlab.pdfgen.canvas import Canvas

from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE
from tests.unit.proof_club import call, write_list

SHOWN = ("File", "Page", "Row", "Box on the page", "Cell", "Column", "The line's words",
         "What stands there")  # fmt: skip


@pytest.fixture
def club(tmp_path):
    call(tmp_path / "club", "init", "--country", "GB")
    call(tmp_path / "club", "import", write_list(tmp_path / "list.pdf"))
    return tmp_path / "club"


def form_of(club):
    path = club.parent / "mend.xlsx"
    code, said = call(club, "mending", "--workbook", path)
    assert code == 0, said
    book = openpyxl.load_workbook(path)
    sheet = book["Mending"]
    [top] = [row for row in sheet.iter_rows() if "Put instead" in [cell.value for cell in row]]
    return path, book, {cell.value: cell.column for cell in top}, top[0].row


def test_a_fault_of_a_page_is_in_the_form_with_page_row_box_and_words(club):
    _, book, columns, top = form_of(club)
    sheet = book["Mending"]
    assert sheet.max_row == top + 1
    found = {name: sheet.cell(top + 1, columns[name]).value for name in SHOWN}
    box = found.pop("Box on the page")
    assert found == {
        "File": "list.pdf", "Page": 1, "Row": 6, "Cell": None, "Column": "No. off",
        "The line's words": "4 | H-104-1 | WASHER, spring, <script>alert(1)</script> & more | "
                            "umpteen",
        "What stands there": "umpteen",
    }  # fmt: skip
    x0, y0, x1, y1 = map(float, box.split(","))
    assert 57 <= x0 < 60
    assert 490 < x1 < 545
    assert 110 + 4 * 19 - 12 < y0 < y1 < 110 + 4 * 19 + 6
    legend = " ".join(str(cell.value) for row in book["How to fill this in"].iter_rows()
                      for cell in row if cell.value)  # fmt: skip
    assert "partmuster proof" in legend


def test_what_is_filled_in_is_loaded(club):
    path, book, columns, top = form_of(club)
    sheet = book["Mending"]
    sheet.cell(top + 1, columns["Put instead"]).value = 4
    sheet.cell(3, 2).value = "Ann Ash"
    book.save(path)
    code, said = call(club, "import", path)
    assert (code, "mending form: 1 mended\n" in said) == (0, True), said
    assert call(club, "mending")[1].strip() == "nothing needs mending"


def test_a_form_of_sheets_alone_has_no_columns_for_pages(tmp_path):
    (tmp_path / "spares.csv").write_text(
        "What,How many,Whose\nDynamo,lots of them,Ann Ash\n", encoding="utf-8"
    )
    call(tmp_path / "club", "init", "--country", "GB")
    call(tmp_path / "club", "import", tmp_path / "spares.csv")
    _, _, columns, _ = form_of(tmp_path / "club")
    assert not {"Page", "Box on the page"} & set(columns)


def test_what_needs_mending_is_listed_with_its_page(club):
    code, said = call(club, "mending", "--format", "csv")
    assert code == 0
    heads, row = said.splitlines()[:2]
    assert dict(zip(heads.split(","), row.split(","), strict=False))["page"] == "1"
    code, said = call(club, "import", club.parent / "list.pdf", "--again")
    assert "list.pdf, page 1, row 6, quantity: 'umpteen'" in said


def write_alike(path):
    """Write a PDF of a list of which two numbers are alike but for O and 0."""
    canvas = Canvas(str(path), pagesize=(595, 842))
    canvas.setFont("Helvetica", 10)
    canvas.drawString(58, 790, TITLE)
    rows = [HEADINGS, *ROWS[:3], ("4", "H-1O2-2", "DYNAMO", "1")]
    for n, row in enumerate(rows):
        for cell, place in zip(row, PLACES, strict=True):
            canvas.drawString(place * 72, 760 - 20 * n, cell)
    canvas.showPage()
    canvas.save()
    return path


def test_lines_read_with_doubt_are_told_of_with_the_command_that_shows_them(tmp_path):
    club = tmp_path / "club"
    call(club, "init", "--country", "GB")
    call(club, "import", write_alike(tmp_path / "alike.pdf"))
    told = "1 line of alike.pdf waits for a look at the page: partmuster proof alike.pdf"
    assert told in call(club, "mending")[1]
    assert told in call(club, "mending", "--source", "alike.pdf")[1]
    assert "for a look" not in call(club, "mending", "--format", "csv")[1]


def test_no_line_that_waits_for_something_else_is_said_to_wait_for_a_look(club):
    assert "for a look" not in call(club, "mending")[1]

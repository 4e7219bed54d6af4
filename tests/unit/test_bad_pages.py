"""Pages and pictures that cannot be read: each is told with its reason, and the others are read."""

from __future__ import annotations

import io

import pytest
from PIL import Image
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen.canvas import Canvas

from tests.pages.drawing import draw_page
from tests.pages.lists import HEADINGS, PLACES, ROWS

from .test_cli_deciding import call

SHEET = "Otter parts list\nPart No,Description,Qty\nOT 1,Dynamo,1\n"


def jpeg(picture):
    held = io.BytesIO()
    picture.convert("L").save(held, "JPEG")
    return held.getvalue()


def locked():
    held = io.BytesIO()
    canvas = Canvas(held, encrypt=StandardEncryption("secret"))
    canvas.drawString(50, 700, "OTTER PARTS LIST")
    canvas.save()
    return held.getvalue()


def empty_pages(count):
    held = io.BytesIO()
    canvas = Canvas(held)
    for _ in range(count):
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def bomb():
    held = io.BytesIO()
    Image.new("1", (40_000, 40_000)).save(held, "PNG")
    return held.getvalue()


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    """What the command says of a folder of pages that cannot be read, and of one good sheet."""
    folder = tmp_path_factory.mktemp("pages")
    listed = jpeg(draw_page([HEADINGS, *ROWS[:3]], PLACES))
    files = {
        "bomb.png": bomb(),
        "corrupt.jpg": listed[:300] + bytes(len(listed) - 300),
        "cut.jpg": listed[: len(listed) // 3],
        "empty pages.pdf": empty_pages(2000),
        "locked.pdf": locked(),
        "nothing.png": b"",
        "parts list.csv": SHEET.encode(),
    }
    for name, content in files.items():
        (folder / name).write_bytes(content)
    club = folder.parent / "club"
    call(club, "init", "--country", "GB")
    result = call(club, "import", str(folder))
    lines = {line.split(":")[0]: line for line in result.stdout.splitlines()}
    return result, lines


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("bomb.png", "too large: 40,000 by 40,000 pixels"),
        ("corrupt.jpg", "damaged"),
        ("cut.jpg", "damaged"),
        ("empty pages.pdf", "the page is empty (pages 1, 2, 3 and 1,997 more)"),
        ("locked.pdf", "locked with a password"),
        ("nothing.png", "the file is empty"),
    ],
)
def test_the_line_of_a_file_says_why_it_could_not_be_read(imported, name, words):
    _, lines = imported
    assert words in lines[name]


def test_a_page_that_cannot_be_read_stops_no_other_file(imported):
    result, lines = imported
    assert "1 requirement" in lines["parts list.csv"]
    assert result.exit_code == 1  # the locked one is named


def test_a_sheet_beside_what_could_be_read_is_no_reason_to_say_more(imported):
    _, lines = imported
    assert lines["parts list.csv"].endswith("not data")

"""Pages and pictures that cannot be read: each is told with its reason, and the others are read."""

from __future__ import annotations

import io
import re

import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont
from reportlab.lib.pdfencrypt import StandardEncryption
from reportlab.pdfgen.canvas import Canvas

from tests.pages.drawing import Look, draw_page
from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE

from .test_cli_deciding import call
from .test_pieces_not_read import script_page

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


def png(picture):
    held = io.BytesIO()
    picture.save(held, "PNG")
    return held.getvalue()


def photograph():
    """Light and shade, as of a vehicle in a field, and no text."""
    chance = np.random.default_rng(11)
    small = chance.normal(128, 60, (40, 60)).clip(0, 255).astype(np.uint8)
    return jpeg(Image.fromarray(small).resize((1500, 1000), Image.Resampling.BICUBIC))


def wide():
    """A picture of 30,000 pixels across, with a row of text."""
    page = Image.new("L", (30_000, 300), 250)
    ImageDraw.Draw(page).text((200, 100), "OTTER PARTS LIST", 20, ImageFont.load_default(60))
    return png(page)


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
        "blank.png": png(Image.new("L", (1654, 2338), 250)),
        "photograph.jpg": photograph(),
        "wide.png": wide(),
        "otter script parts list.png": png(script_page(3, titles=(TITLE,))),
        "otter upside down parts list.png": png(
            draw_page([HEADINGS, *ROWS], PLACES, Look(quarters=2), (TITLE,))
        ),
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
        ("blank.png", "no text was found on this page"),
        ("otter script parts list.png", "3 pieces of text could not be read"),
    ],
)
def test_the_line_of_a_file_says_why_it_could_not_be_read(imported, name, words):
    _, lines = imported
    assert words in lines[name]


def test_a_page_that_cannot_be_read_stops_no_other_file(imported):
    result, lines = imported
    assert "1 requirement" in lines["parts list.csv"]
    assert result.exit_code == 1  # the locked one is named


def test_a_page_upside_down_is_read_like_any_other(imported):
    _, lines = imported
    assert "(10 requirement)" in lines["otter upside down parts list.png"]


@pytest.mark.parametrize("name", ["photograph.jpg", "wide.png", "blank.png"])
def test_of_what_is_no_page_no_line_is_loaded(imported, name):
    _, lines = imported
    assert not re.search(r"[1-9]\d* loaded", lines[name])


def test_a_sheet_beside_what_could_be_read_is_no_reason_to_say_more(imported):
    _, lines = imported
    assert lines["parts list.csv"].endswith("not data")

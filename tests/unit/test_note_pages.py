"""Pages of prose become paragraphs with their places on the page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PIL import Image, ImageDraw, ImageFont
from reportlab.pdfgen.canvas import Canvas

from partmuster_plugins.hand_notes.pages import lines_of_page
from partmuster_plugins.parts_lists.page_reader import ReadPage
from partmuster_plugins.parts_lists.pieces import Piece
from partmuster_plugins.parts_lists.reading import PageText
from tests.unit.note_files import read, texts

if TYPE_CHECKING:
    from pathlib import Path

LINES = [
    ["Went up to the quarry with Ivo on Saturday. Somebody has", "had the carbs off it and the",
     "dynamo is gone as well."],
    ["Both track guards are there."],
]  # fmt: skip
SAID = [" ".join(lines) for lines in LINES]


def test_a_pdf_that_carries_its_text_gives_paragraphs_with_boxes(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "drawn.pdf"), pagesize=(595, 842))
    for _ in range(2):
        y = 760.0
        for lines in LINES:
            for line in lines:
                canvas.drawString(70, y, line)
                y -= 15
            y -= 15
        canvas.showPage()
    canvas.save()
    (note,) = read(tmp_path, "n.pdf", (tmp_path / "drawn.pdf").read_bytes())
    assert texts(note) == SAID * 2
    assert [one.page for one in note.paragraphs] == [1, 1, 2, 2]
    first = note.paragraphs[0]
    assert (first.place, first.row, first.unsure) == ("page 1, line 1", 1, ())
    assert first.box is not None
    left, top, right, bottom = map(float, first.box.split(","))
    assert 65 < left < 75
    assert 65 < top < 85
    assert 330 < right < 420
    assert 108 < bottom < 122


def test_a_picture_of_a_page_gives_paragraphs_with_boxes(tmp_path: Path) -> None:
    page = Image.new("L", (1200, 500), 250)
    pen, font = ImageDraw.Draw(page), ImageFont.load_default(28)
    y = 60
    for lines in LINES:
        for line in lines:
            pen.text((100, y), line, 20, font)
            y += 48
        y += 48
    page.save(tmp_path / "drawn.png")
    (note,) = read(tmp_path, "n.png", (tmp_path / "drawn.png").read_bytes())
    assert texts(note) == SAID
    second = note.paragraphs[1]
    assert second.box is not None
    left, top, right, bottom = map(float, second.box.split(","))
    assert 80 < left < 110
    assert 225 < top < 265 < bottom < 310
    assert 400 < right < 700


def test_an_empty_page_says_so(tmp_path: Path) -> None:
    canvas = Canvas(str(tmp_path / "drawn.pdf"), pagesize=(595, 842))
    canvas.showPage()
    canvas.save()
    (note,) = read(tmp_path, "n.pdf", (tmp_path / "drawn.pdf").read_bytes())
    assert note.paragraphs == ()
    assert note.not_read[0][0] == "page 1"


def test_a_wide_blank_that_a_reading_lost_parts_the_words_again() -> None:
    text = "11/4/26OTTER 2(wet)"
    wide = {7, 14}  # a letter has a wide blank before it
    places, x = [], 100.0
    for at in range(len(text)):
        x += 46 if at in wide else 16
        places.append(x)
    piece = Piece(95, 100, x + 8, 128, text, (1.0,) * len(text), tuple(places))
    page = ReadPage(1, PageText([piece], 20.0, 800.0, 1.0, 0, 0.0, (300, 800)))
    assert [line.text for line in lines_of_page(page, [])] == ["11/4/26 OTTER 2 (wet)"]

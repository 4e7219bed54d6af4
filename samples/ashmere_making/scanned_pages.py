"""Type pages of a parts list and scan them: a little askew, worn and specked, always the same.

The letters are those that a reader of PDFs has for Courier: no font file is needed.
"""

from __future__ import annotations

import io
import math
from typing import TYPE_CHECKING

import numpy as np
import otter_scan_rows
import pypdfium2
from marked_tables import SHEETS
from PIL import Image
from reportlab.pdfgen.canvas import Canvas

if TYPE_CHECKING:
    from collections.abc import Sequence

#: A page, where its first row stands, the step to the next and the letters, in points.
_WIDE, _HIGH, _TOP, _ROW, _LETTER = 595, 440, 44, 18, 9
#: Where each column begins; what is typed across the page begins with the third.
_PLACES = (36, 74, 136, 352, 408, 524)
#: Dots an inch, and the slant of each page in degrees.
_DOTS, _SLANTS = 300, (0.7, -0.5, 0.4)
#: The share of dots that are specks; how uneven the ink is, and how dark a dot must be to be black.
_SPECKS, _WEAR, _BLACK_BELOW = 0.0001, 25.0, 160


def type_page(canvas: Canvas, lines: Sequence[str]) -> None:
    """Type the running head, the lines and the foot of a page."""
    canvas.setFont("Courier", _LETTER)
    left, right = otter_scan_rows.RUNNING_HEAD
    *body, foot = lines
    title, *rows = body
    y = _HIGH - _TOP
    canvas.drawString(_PLACES[0], y, left)
    canvas.drawRightString(_WIDE - _PLACES[0], y, right)
    for line in ("", title, otter_scan_rows.HEADINGS, *rows):
        y -= _ROW
        cells = line.split("|")
        if len(cells) == 1:
            is_note = line.startswith("* ")
            canvas.drawString(_PLACES[0 if is_note else 2], y, line)
            continue
        for cell, place in zip(cells, _PLACES, strict=True):
            canvas.drawString(place, y, cell)
    canvas.drawCentredString(_WIDE / 2, y - 1.5 * _ROW, foot)
    canvas.showPage()


def scan(page: Image.Image, slant: float, chance: np.random.Generator) -> Image.Image:
    """Return a page as a scanner for black and white gives it."""
    page = page.rotate(slant, Image.Resampling.BICUBIC, fillcolor=255)
    grey = np.asarray(page, np.float32)
    grey = grey + chance.normal(0, _WEAR, grey.shape)
    black = (grey < _BLACK_BELOW) ^ (chance.random(grey.shape) < _SPECKS)
    return Image.fromarray(np.where(black, 0, 255).astype(np.uint8)).convert("1")


def place_on_page(page: int, row: int, column: int) -> tuple[float, float]:
    """Return where a cell begins, in dots: page and column from 1, and the row as it is read.

    The running head is row 1, the figure's title 2, the headings 3.
    """
    steps = 0 if row == 1 else row
    wide, high = _WIDE * _DOTS / 72, _HIGH * _DOTS / 72
    x = _PLACES[column - 1] * _DOTS / 72 - wide / 2
    y = (_TOP + steps * _ROW - _LETTER / 3) * _DOTS / 72 - high / 2
    turn = math.radians(_SLANTS[page - 1])
    return (
        x * math.cos(turn) + y * math.sin(turn) + wide / 2,
        y * math.cos(turn) - x * math.sin(turn) + high / 2,
    )


def write_scan() -> None:
    """Write the pages as one picture file of several pages."""
    typed = io.BytesIO()
    canvas = Canvas(typed, pagesize=(_WIDE, _HIGH), invariant=True)
    for text in otter_scan_rows.PAGES:
        type_page(canvas, text.strip().split("\n"))
    canvas.save()
    chance = np.random.default_rng(1952)
    with pypdfium2.PdfDocument(typed.getvalue()) as document:
        drawn = [page.render(scale=_DOTS / 72, grayscale=True).to_pil() for page in document]
    first, *others = [scan(page, slant, chance) for page, slant in zip(drawn, _SLANTS, strict=True)]
    first.save(
        SHEETS / otter_scan_rows.NAME, save_all=True, append_images=others,
        compression="group4", dpi=(_DOTS, _DOTS),
    )  # fmt: skip


if __name__ == "__main__":
    write_scan()

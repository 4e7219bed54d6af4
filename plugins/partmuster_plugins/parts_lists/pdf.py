"""The pages of a PDF: the text that a page carries, or else its picture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from partmuster.plugin_api import SourceUnreadableError

from .page_reader import ReadPage
from .pages import MOST_PIXELS, NoPage, Picture
from .reading import PageText
from .text_layer import pieces_of_text

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

#: A page with fewer letters in its text layer, and a picture on it, is read as a picture: a
#: scanner's stamp or a page number is no text layer.
_FEWEST_LETTERS = 40
#: Pages without text are drawn at so many dots an inch.
_DOTS = 300
_POINTS = 72


def pdf_pages(file: Path | bytes) -> Iterator[Picture | ReadPage | NoPage]:
    """Yield the pages of a PDF, which lies somewhere or is given whole.

    Raises:
        SourceUnreadableError: it is locked or damaged.
    """
    import pypdfium2  # noqa: PLC0415 - heavy

    try:
        document = pypdfium2.PdfDocument(file)
    except pypdfium2.PdfiumError as fault:
        if "password" in str(fault).lower():
            raise SourceUnreadableError(
                "the PDF is locked with a password. Open it in the program that you read PDFs "
                "with, save it without a password and import that."
            ) from fault
        raise SourceUnreadableError(
            "the PDF cannot be opened: it is damaged, or none. Open it in the program that you "
            "read PDFs with, save or print it to a new PDF and import that."
        ) from fault
    try:
        for at in range(len(document)):
            try:
                page = document[at]
            except pypdfium2.PdfiumError as fault:
                yield NoPage(at + 1, f"the page is damaged ({fault})")
                continue
            try:
                yield _page(page, at + 1)
            finally:
                page.close()
    finally:
        document.close()


def _page(page: Any, number: int) -> Picture | ReadPage | NoPage:
    import pypdfium2.raw as pdfium_raw  # noqa: PLC0415 - heavy

    pieces, height = pieces_of_text(page)
    letters = sum(len(piece.text) for piece in pieces)
    width, high = page.get_size()
    if letters >= _FEWEST_LETTERS:
        text = PageText(pieces, height, width, 1.0, 0, 0.0, (high, width))
        return ReadPage(number, text)
    if not pdfium_raw.FPDFPage_CountObjects(page):
        return NoPage(number, "the page is empty")
    scale = _DOTS / _POINTS
    if width * high * scale**2 > MOST_PIXELS:
        scale = (MOST_PIXELS / (width * high)) ** 0.5
    bitmap = page.render(scale=scale, grayscale=True)
    grey = np.array(bitmap.to_numpy(), np.uint8).reshape(bitmap.height, bitmap.width)
    bitmap.close()
    return Picture(number, grey, scale)

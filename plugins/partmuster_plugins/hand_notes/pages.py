"""Pages of prose, in pictures and PDFs: lines from top to bottom, with their places."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from statistics import fmean, median
from typing import TYPE_CHECKING

from partmuster.plugin_api import Lines, NotData
from partmuster_plugins.parts_lists.columns import rows_of
from partmuster_plugins.parts_lists.page_reader import PageReader
from partmuster_plugins.parts_lists.pages import NoPage, picture_pages
from partmuster_plugins.parts_lists.pdf import pdf_pages

from .decoding import readable
from .documents import Note
from .expressions import expression
from .importer import batches_of
from .lines import BLANK, Line, NotRead, kept_short
from .marked_text import marked
from .paragraphs import paragraphs_of
from .unsure_words import SURE_ENOUGH, UNREAD

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from partmuster.plugin_api import Batch, SourceFile
    from partmuster_plugins.parts_lists.columns import Row
    from partmuster_plugins.parts_lists.page_reader import ReadPage
    from partmuster_plugins.parts_lists.pieces import Piece

#: Lines further apart than so many usual steps are of different paragraphs.
_APART = 1.45
#: A page's own number.
_PAGE_NUMBER = expression(
    r"\W*(?:page|p\.|seite)?\s*\d{1,3}(?:\s*(?:of|/|von)\s*\d{1,3})?\W*", re.IGNORECASE
)
#: Middles of letters so many heights apart have a blank between them; in a word 1.7 at most.
_BLANK = 1.9
#: Signs that tell as much as a letter: of doubt, and of what could not be read.
_TELLING = frozenset({"?", UNREAD})
_WORD = expression(r"\S+")
_NOTHING = "this page states nothing of vehicles and parts that could be read"
#: Of a page that states nothing so much is kept with the reason.
_WORDS_KEPT = 2000


def page_note(file: SourceFile | Path | bytes, name: str | None, cache: Path | None) -> Note:
    """Return the note on the pages of a picture file or a PDF; a PDF is given as path or bytes.

    Raises:
        SourceUnreadableError: a locked or damaged file.
    """
    pages = pdf_pages(file) if isinstance(file, (Path, bytes)) else picture_pages(file)
    with PageReader(cache) as reader:
        return _note(reader.texts(pages), name)


def statements_on(pages: Sequence[ReadPage], source: SourceFile) -> Iterator[Batch]:
    """Yield what the pages of one note state; of a page that states nothing, its words."""
    told: set[int] = set()
    for batch in batches_of([_note(pages, None)], source):
        if isinstance(batch, Lines):
            told.update(batch.frame["page"])
        yield batch
    for page in pages:
        if page.number not in told:
            words = " | ".join(line.text for line in lines_of_page(page, []) if line.text)
            yield NotData(_NOTHING, page=page.number, words=words[:_WORDS_KEPT])


def _note(pages: Iterable[ReadPage | NoPage], name: str | None) -> Note:
    not_read: NotRead = []
    lines = marked(list(_lines(pages, not_read)), not_read, titled=True)
    return Note(name, None, paragraphs_of(lines), None, tuple(not_read))


def _lines(pages: Iterable[ReadPage | NoPage], not_read: NotRead) -> Iterator[Line]:
    for page in pages:
        if isinstance(page, NoPage):
            not_read.append((f"page {page.number}", page.reason))
        elif not page.text.pieces:
            not_read.append((f"page {page.number}", "no text was found on this page"))
        elif not page.text.is_readable:
            not_read.append((f"page {page.number}", "hardly anything on this page could be read"))
        else:
            yield from lines_of_page(page, not_read)
        yield BLANK


def lines_of_page(page: ReadPage, not_read: NotRead) -> Iterator[Line]:
    """Yield the lines of a page; wide spaces between them part paragraphs."""
    text = page.text
    rows = rows_of(text.pieces, text.height)
    middles = [fmean(piece.middle for piece in row) for row in rows]
    steps = [low - high for high, low in pairwise(middles)]
    usual = median(sorted(steps)[: len(steps) // 2 + 1]) if steps else 0.0
    last = len(rows) - 1
    for at, row in enumerate(rows):
        if at and steps[at - 1] > _APART * usual:
            yield BLANK
        line = _line(page, row, at + 1, not_read)
        if at in {0, last} and last and _PAGE_NUMBER.fullmatch(line.text):
            not_read.append((line.place, f"'{line.text}' is the page's number"))
        else:
            yield line


def _line(page: ReadPage, row: Row, number: int, not_read: NotRead) -> Line:
    boxes = [page.text.on_page(piece) for piece in row]
    around = (
        min(box[0] for box in boxes), min(box[1] for box in boxes),
        max(box[2] for box in boxes), max(box[3] for box in boxes),
    )  # fmt: skip
    place = f"page {page.number}, line {number}"
    row = [_with_blanks(piece, page.text.height) for piece in row]
    text = " ".join(readable(" ".join(piece.text for piece in row)).split())
    return Line(
        kept_short(text, place, not_read), number, place, page=page.number,
        box=",".join(f"{edge:.0f}" for edge in around),
        unsure=tuple(word for piece in row for word in _unsure_words(piece)),
    )  # fmt: skip


def _with_blanks(piece: Piece, height: float) -> Piece:
    """Return a piece with the wide blanks that its reading lost between signs of two sorts."""
    text = piece.text
    if len(piece.at) != len(text) or len(piece.sure) != len(text):
        return piece
    lost = [
        at + 1
        for at, (one, other) in enumerate(pairwise(text))
        if piece.at[at + 1] - piece.at[at] >= _BLANK * height
        and not (one.isspace() or other.isspace())
        and not (one.isalpha() and other.isalpha())
        and not (one.isdecimal() and other.isdecimal())
    ]
    sure = list(piece.sure)
    for at in reversed(lost):
        text = f"{text[:at]} {text[at:]}"
        sure.insert(at, 1.0)
    return replace(piece, text=text, sure=tuple(sure), at=(), of_kind=()) if lost else piece


def _unsure_words(piece: Piece) -> Iterator[str]:
    """Yield the words of a piece with a letter that may be another, or was not read at all."""
    if len(piece.sure) != len(piece.text) or piece.least_sure >= SURE_ENOUGH:
        return
    for word in _WORD.finditer(piece.text):
        letters = zip(word.group(), piece.sure[slice(*word.span())], strict=True)
        if any(sure < SURE_ENOUGH and (one.isalnum() or one in _TELLING) for one, sure in letters):
            yield readable(word.group())

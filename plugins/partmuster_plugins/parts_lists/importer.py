"""The importer of parts lists on pages: which files are its own, and how they are read."""

from __future__ import annotations

from itertools import chain
from typing import TYPE_CHECKING

from partmuster.plugin_api import Claim, NotData, SourceFile, SourceUnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from partmuster.plugin_api import Batch, PageDrawing

    from .page_reader import ReadPage
    from .reading import PageText

_PICTURES = {
    b"\x89PNG\r\n\x1a\n": frozenset({".png"}),
    b"\xff\xd8\xff": frozenset({".jpg", ".jpeg", ".jpe"}),
    b"II*\x00": frozenset({".tif", ".tiff"}),
    b"MM\x00*": frozenset({".tif", ".tiff"}),
}
_PDF = b"%PDF-"
#: Readers look for it so far into a file.
_PDF_START = 1024
#: Of what could hardly be read so much is kept with the reason.
_WORDS_KEPT = 2000
_SUFFIXES = frozenset({".pdf"}).union(*_PICTURES.values())


class PartsLists:
    """Reads page pictures (.png, .jpg, .tif of one or more pages) and PDFs."""

    name = "parts_lists"
    version = "1"
    #: A page may take seconds.
    slow_batches = True

    def sniff(self, source: SourceFile) -> Claim | None:
        """Claim pictures and PDFs by how they begin."""
        if _PDF in source.head[:_PDF_START]:
            return Claim(0.9 if source.suffix == ".pdf" else 0.8, "a PDF")
        for start, suffixes in _PICTURES.items():
            if source.head.startswith(start):
                return Claim(0.9 if source.suffix in suffixes else 0.8, "a picture of pages")
        if source.suffix in _SUFFIXES:
            return Claim(0.1, "named like a picture or a PDF, and is none")
        return None

    def read(self, source: SourceFile) -> Iterator[Batch]:
        """Yield one grid a page, or why a page has none; of a note of pages what it states.

        Raises:
            SourceUnreadableError: a file that is no picture, or a damaged one.
        """
        if source.size == 0:
            yield NotData("the file is empty")
            return
        is_pdf = _PDF in source.head[:_PDF_START]
        if not is_pdf and not source.head.startswith(tuple(_PICTURES)):
            raise SourceUnreadableError(
                "the file is named like a picture or a PDF, but is none. If it opens in a program "
                "for pictures, save it there as .png and import that."
            )
        # Imported late: the engine and its libraries are heavy.
        from .grids import grids_of  # noqa: PLC0415
        from .page_reader import PageReader  # noqa: PLC0415
        from .pages import NoPage, picture_pages  # noqa: PLC0415
        from .pdf import pdf_pages  # noqa: PLC0415
        from .prose import up_to_a_table  # noqa: PLC0415

        of_note: list[ReadPage] = []
        texts: dict[int, PageText] = {}
        with PageReader(source.cache) as reader:
            pages = reader.texts(pdf_pages(source.path) if is_pdf else picture_pages(source))
            looked_at, is_note = up_to_a_table(pages)
            for page in chain(looked_at, pages):
                if isinstance(page, NoPage):
                    yield NotData(page.reason, page=page.number)
                elif not page.text.pieces:
                    yield NotData("no text was found on this page", page=page.number)
                elif page.text.is_unknown_script:
                    yield NotData(
                        "most of this page could not be read: it is in a script the reader does "
                        "not know, or a picture",
                        page=page.number,
                    )
                elif not page.text.is_readable:
                    yield NotData(
                        "hardly anything on this page could be read: it is a photograph, too faint "
                        "or blurred, or in a script that is not known here",
                        page=page.number,
                        words=" | ".join(piece.text for piece in page.text.pieces)[:_WORDS_KEPT],
                    )
                elif is_note:
                    texts[page.number] = page.text
                    of_note.append(page)
                else:
                    text = texts[page.number] = page.text
                    yield from grids_of(
                        text.pieces, text.height, text.width, page.number, text.on_page
                    )
        if of_note:
            from partmuster_plugins.hand_notes.pages import statements_on  # noqa: PLC0415

            yield from statements_on(of_note, source)
        yield from _not_read(texts)

    def draw(self, source: SourceFile, page: int) -> PageDrawing:
        """Return the picture of a page, and its size in the units of its boxes.

        Raises:
            SourceUnreadableError: the file has no such page, or it is damaged.
        """
        from .drawing import draw_page  # noqa: PLC0415 - heavy

        return draw_page(source, page, is_pdf=_PDF in source.head[:_PDF_START])


def _not_read(texts: Mapping[int, PageText]) -> Iterator[NotData]:
    """Yield for each page of which pieces could not be read how many there are in all."""
    count = sum(text.unread for text in texts.values())
    said = "1 piece of text" if count == 1 else f"{count:,} pieces of text"
    for page, text in texts.items():
        if text.unread:
            why = ", being in a script that is not known here" if text.other_script else ""
            yield NotData(f"{said} could not be read{why}: see 'partmuster proof'", page=page)

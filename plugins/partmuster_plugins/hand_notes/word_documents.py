"""Documents of word processors (.docx): paragraphs and tables in their order.

Parts and elements are as ECMA-376 (Office Open XML) names them (FROM-MEMORY). The text is read as
a stream and no part but those named here is opened; macros never run, nothing linked is fetched.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from contextlib import contextmanager
from typing import IO, TYPE_CHECKING
from xml.parsers import expat

from partmuster.plugin_api import SourceUnreadableError

from .decoding import readable
from .documents import Note
from .limits import LARGE, MOST_RATIO, MOST_UNPACKED
from .lines import BLANK, Line, NotRead, kept_short
from .marked_text import marked
from .paragraphs import paragraphs_of
from .word_elements import Elements, Styles

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

_TEXT, _STYLES, _LINKS = "word/document.xml", "word/styles.xml", "_rels/.rels"
_LOCKED_FLAG = 0x1
_AT_ONCE = 1 << 16
#: Parts outside the text, by the start of their names.
_OUTSIDE = {
    "word/header": "headers of pages", "word/footer": "footers of pages",
    "word/comments.xml": "comments in the margin",
}  # fmt: skip


def document_note(data: bytes, name: str | None) -> Note:
    """Return the note of a document.

    Raises:
        SourceUnreadableError: locked, damaged, with macros, or unpacking to too much.
    """
    not_read: NotRead = []
    with _opened(data) as archive:
        names = archive.namelist()
        if any("vbaproject" in one.lower() for one in names):
            raise SourceUnreadableError(
                "the document holds macros and is not read. Open it in a word processor, save it "
                "as .docx without them and import that."
            )
        main = _main_part(archive, names)
        styles = Styles()
        if _STYLES in names:
            _parse(archive, _STYLES, styles.start, styles.end, lambda _: None)
        elements = Elements(styles)
        _parse(archive, main, elements.start, elements.end, elements.words)
        outside = {
            what for start, what in _OUTSIDE.items() for one in names if one.startswith(start)
        }
    not_read += elements.not_read
    lines: list[Line] = []
    for line in elements.lines:
        text = kept_short(readable(line.text).strip(), line.place, not_read)
        cells = line.cells and tuple(readable(cell) for cell in line.cells)
        lines += [_with(line, text, cells), BLANK]
    not_read += [(what, "they stand outside the text") for what in sorted(outside)]
    return Note(name, None, paragraphs_of(marked(lines, not_read)), None, tuple(not_read))


def _with(line: Line, text: str, cells: tuple[str, ...] | None) -> Line:
    from dataclasses import replace  # noqa: PLC0415

    return replace(line, text=text, cells=cells)


@contextmanager
def _opened(data: bytes) -> Iterator[zipfile.ZipFile]:
    """Open a document's zip, its stated sizes and locks looked at first."""
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            infos = archive.infolist()
            if any(info.flag_bits & _LOCKED_FLAG for info in infos):
                raise SourceUnreadableError(
                    "the document is locked with a password. Open it with the password, take it "
                    "off, save it and import it again."
                )
            if len({info.filename for info in infos}) < len(infos):
                raise _damaged("a part stands in it twice")
            yield archive
    except (
        zipfile.BadZipFile, zlib.error, EOFError, ValueError, KeyError, NotImplementedError,
        RuntimeError, OSError,
    ) as fault:  # fmt: skip
        raise _damaged("it is cut off, or no complete zip") from fault


def _main_part(archive: zipfile.ZipFile, names: list[str]) -> str:
    """Return the name of the part that holds the text."""
    if _TEXT in names:
        return _TEXT
    linked: list[str] = []

    def link(tag: str, attributes: dict[str, str]) -> None:
        if _local(tag) == "Relationship" and attributes.get("Type", "").endswith("/officeDocument"):
            linked.append(attributes.get("Target", "").lstrip("/"))

    if _LINKS in names:
        _parse(archive, _LINKS, link, lambda _: None, lambda _: None)
    if not linked or linked[0] not in names:
        raise SourceUnreadableError(
            "the file is named like a document, but has no text part of a kind that is read. Open "
            "it in a word processor and save it as .docx."
        )
    return linked[0]


def _parse(
    archive: zipfile.ZipFile,
    part: str,
    start: Callable[[str, dict[str, str]], None],
    end: Callable[[str], None],
    words: Callable[[str], None],
) -> None:
    """Read a part as a stream; what comes out of the zip is counted, not what it states."""

    def declared(*_: object) -> None:
        raise SourceUnreadableError(
            f"part {part} of the document declares a document type of its own, as no word "
            "processor does; it is not read. Open the file in one and save it anew."
        )

    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = words
    parser.StartDoctypeDeclHandler = declared
    info = archive.getinfo(part)
    most = MOST_UNPACKED
    if info.compress_size:
        most = min(most, max(LARGE, info.compress_size * MOST_RATIO))
    info.file_size = 2 * MOST_UNPACKED  # a size stated too small would end the reading early
    try:
        with archive.open(info) as stream:
            _feed(parser, stream, most)
    except expat.ExpatError as fault:
        raise _damaged(f"part {part}: {fault}") from fault


def _feed(parser: expat.XMLParserType, stream: IO[bytes], most: int) -> None:
    unpacked = 0
    while data := stream.read(_AT_ONCE):
        unpacked += len(data)
        if unpacked > most:
            raise SourceUnreadableError(
                f"the document unpacks to more than {most:,} bytes, far beyond its own size or "
                "that of any note. Save the part you need as a document of its own."
            )
        parser.Parse(data, False)  # noqa: FBT003 - expat takes no names
    parser.Parse(b"", True)  # noqa: FBT003


def _local(tag: str) -> str:
    return tag.rpartition(" ")[2]


def _damaged(what: str) -> SourceUnreadableError:
    return SourceUnreadableError(
        f"the document is damaged or incomplete ({what}). Ask for the file again, or open it in a "
        "word processor and save it anew."
    )

"""The importer of spreadsheets: which files are its own, and who reads which sort."""

from __future__ import annotations

import zipfile
import zlib
from typing import TYPE_CHECKING, Literal, TypeAlias

from partmuster.plugin_api import Claim, NotData, SourceFile, SourceUnreadableError

from .encodings import decode_head, is_text
from .separators import find_separator

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import Batch

_ZIP = b"PK\x03\x04"
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
#: How workbooks of the versions before OLE begin.
_OLDEST = (b"\x09\x00\x04\x00", b"\x09\x02\x06\x00", b"\x09\x04\x06\x00", b"\x09\x08\x08\x00")
_WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xltx", ".xltm", ".xlsb", ".ods", ".ots"})
_OLD_SUFFIXES = frozenset({".xls", ".xlt"})
_TEXT_SUFFIXES = frozenset({".csv", ".tsv", ".tab", ".psv"})
_PLAIN_SUFFIXES = frozenset({".txt", ".text", ".asc", ".dat", ".lst", ""})

#: A claim made only to say clearly why a file cannot be read; any real reader's is stronger.
_TO_EXPLAIN = 0.1

#: What opening a file as a zip raises where it is none, or not whole.
_NO_ZIP = (zipfile.BadZipFile, OSError, ValueError, NotImplementedError, RuntimeError, zlib.error)
_LONGEST_KIND = 100

_Reader: TypeAlias = Literal["workbook", "open document", "binary workbook"]


class Spreadsheets:
    """Reads every sheet of a workbook (.xlsx, .xlsm, .ods, .xls), and tables as separated text."""

    name = "spreadsheets"
    version = "2"

    def sniff(self, source: SourceFile) -> Claim | None:
        """Claim workbooks by their parts, text by a consistent separator."""
        if source.head.startswith(_ZIP):
            return _sniff_zip(source)
        if source.head.startswith((_OLE, *_OLDEST)):
            return _sniff_old(source)
        if source.suffix in _WORKBOOK_SUFFIXES:
            return Claim(_TO_EXPLAIN, "named like a workbook, and is none")
        claim = _sniff_text(source)
        if claim is None and source.suffix in _OLD_SUFFIXES:
            return Claim(_TO_EXPLAIN, "named like an old workbook, and is none")
        return claim

    def read(self, source: SourceFile) -> Iterator[Batch]:
        """Yield one grid a sheet, or why a sheet has none.

        Raises:
            SourceUnreadableError: locked, damaged, wrongly named or over-large files.
        """
        # Imported late: polars and the readers are heavy.
        if source.size == 0:
            yield NotData("the file is empty")
        elif source.head.startswith(_ZIP):
            yield from _read_zip(source)
        elif source.head.startswith((_OLE, *_OLDEST)):
            from .old_workbook import read_old_workbook  # noqa: PLC0415

            yield from read_old_workbook(source)
        elif source.suffix in _WORKBOOK_SUFFIXES or (
            source.suffix in _OLD_SUFFIXES and _sniff_text(source) is None
        ):
            raise SourceUnreadableError(_none_words(source))
        else:
            from .separated import read_separated  # noqa: PLC0415

            yield from read_separated(source)


def _reader_of(source: SourceFile) -> _Reader | None:
    """Return which reader a zip's parts ask for.

    Raises:
        BadZipFile, OSError, ValueError, NotImplementedError: no whole zip.
    """
    with zipfile.ZipFile(source.path) as archive:
        names = set(archive.namelist())
        if "xl/workbook.xml" in names:
            return "workbook"
        if "xl/workbook.bin" in names:
            return "binary workbook"
        kind = archive.open("mimetype").read(_LONGEST_KIND) if "mimetype" in names else b""
        if "content.xml" in names and b"opendocument.spreadsheet" in kind:
            return "open document"
    return None


def _read_zip(source: SourceFile) -> Iterator[Batch]:
    try:
        reader = _reader_of(source)
    except _NO_ZIP:
        reader = None  # the workbook's reader says what is wrong
    if reader == "binary workbook":
        raise SourceUnreadableError(
            "this is a workbook of the binary kind (.xlsb), which is not read. "
            "Open it in a spreadsheet program and save it as .xlsx."
        )
    if reader == "open document" or (reader is None and source.suffix in {".ods", ".ots"}):
        from .open_document import read_open_document  # noqa: PLC0415

        yield from read_open_document(source)
    else:
        from .workbook import read_workbook  # noqa: PLC0415

        yield from read_workbook(source)


def _sniff_zip(source: SourceFile) -> Claim | None:
    named = source.suffix in _WORKBOOK_SUFFIXES | _OLD_SUFFIXES
    try:
        reader = _reader_of(source)
    except _NO_ZIP:
        return Claim(0.5, "named like a workbook, and damaged") if named else None
    if reader == "binary workbook":
        return Claim(_TO_EXPLAIN, "a binary workbook")
    if reader is not None:
        return Claim(0.9 if named else 0.8, f"a zip that holds a {reader}")
    return Claim(_TO_EXPLAIN, "named like a spreadsheet, and no workbook") if named else None


def _sniff_old(source: SourceFile) -> Claim | None:
    named = source.suffix in _OLD_SUFFIXES
    if not source.head.startswith(_OLE):
        return Claim(0.8, "a workbook of the oldest kind") if named else None
    with source.path.open("rb") as stream:
        start = stream.read(1 << 20)
        stream.seek(max(0, source.size - (1 << 20)))
        both = start + stream.read()
    # Names of streams; a letter of the same make has others.
    if any(f"{name}\0".encode("utf-16-le") in both for name in ("Workbook", "Book")):
        return Claim(0.9 if named else 0.8, "an old workbook")
    if named or source.suffix in _WORKBOOK_SUFFIXES:
        return Claim(_TO_EXPLAIN, "an old or locked workbook, or none")
    return None


def _sniff_text(source: SourceFile) -> Claim | None:
    named = source.suffix in _TEXT_SUFFIXES
    if not named and source.suffix not in _PLAIN_SUFFIXES | _OLD_SUFFIXES:
        return None
    if source.size == 0:
        return Claim(0.5, "an empty file named like a table") if named else None
    text = decode_head(source.head)
    if text is None or not is_text(text) or text.lstrip().startswith(("<", "{", "[", "%PDF")):
        return None
    found = find_separator(text, cut=source.size > len(source.head))
    if found is not None and named:
        return Claim(0.9, f"text separated by {found.word}")
    if found is not None and found.is_table:
        return Claim(0.6, f"text separated by {found.word}")
    return Claim(0.5, "named like a table") if named else None


def _none_words(source: SourceFile) -> str:
    if source.head.startswith(b"%PDF"):
        return (
            "the file is named like a workbook, but is none: it is a PDF. Rename it to .pdf, or "
            "ask for the workbook it was made from."
        )
    start = (decode_head(source.head) or "").lstrip().lower()
    if start.startswith("<"):
        return (
            "the file is named like a workbook, but is none: it is a web page or other marked-up "
            "text. Open it in a spreadsheet program, save it as .xlsx and import that."
        )
    return (
        "the file is named like a workbook, but is none. If it opens in a spreadsheet "
        "program, save it there as .xlsx; if it is a text table, rename it to .csv."
    )

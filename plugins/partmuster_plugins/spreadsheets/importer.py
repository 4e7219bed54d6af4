"""The importer of spreadsheets: which files are its own, and who reads which sort."""

from __future__ import annotations

import zipfile
from typing import TYPE_CHECKING

from partmuster.plugin_api import Claim, NotData, SourceFile, SourceUnreadableError

from .encodings import decode_head, is_text
from .separators import find_separator

if TYPE_CHECKING:
    from collections.abc import Iterator

    from partmuster.plugin_api import Batch

_WORKBOOK_PART = "xl/workbook.xml"
_ZIP = b"PK\x03\x04"
_OLE = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_WORKBOOK_SUFFIXES = frozenset({".xlsx", ".xlsm", ".xltx"})
_TEXT_SUFFIXES = frozenset({".csv", ".tsv", ".tab", ".psv"})
_PLAIN_SUFFIXES = frozenset({".txt", ".text", ".asc", ".dat", ".lst", ""})

#: A claim made only to say clearly why a file cannot be read; any real reader's is stronger.
_TO_EXPLAIN = 0.1


class Spreadsheets:
    """Reads every sheet of a workbook, and tables written as separated text."""

    name = "spreadsheets"
    version = "2"

    def sniff(self, source: SourceFile) -> Claim | None:
        """Claim workbooks by their parts, text by a consistent separator."""
        if source.head.startswith(_ZIP):
            return _sniff_zip(source)
        if source.head.startswith(_OLE):
            old = source.suffix in _WORKBOOK_SUFFIXES | {".xls"}
            return Claim(_TO_EXPLAIN, "an old or locked workbook") if old else None
        if source.suffix in _WORKBOOK_SUFFIXES:
            return Claim(_TO_EXPLAIN, "named like a workbook, and is none")
        return _sniff_text(source)

    def read(self, source: SourceFile) -> Iterator[Batch]:
        """Yield one grid a sheet, or why a sheet has none.

        Raises:
            SourceUnreadableError: old, locked, damaged, wrongly named or over-large files.
        """
        if source.size == 0:
            yield NotData("the file is empty")
        elif source.head.startswith(_ZIP):
            from .workbook import read_workbook  # noqa: PLC0415 - polars and the reader are heavy

            yield from read_workbook(source)
        elif source.head.startswith(_OLE):
            raise SourceUnreadableError(_ole_words(source))
        elif source.suffix in _WORKBOOK_SUFFIXES:
            raise SourceUnreadableError(
                "the file is named like a workbook, but is none. If it opens in a spreadsheet "
                "program, save it there as .xlsx; if it is a text table, rename it to .csv."
            )
        else:
            from .separated import read_separated  # noqa: PLC0415 - polars is heavy

            yield from read_separated(source)


def _sniff_zip(source: SourceFile) -> Claim | None:
    named = source.suffix in _WORKBOOK_SUFFIXES
    try:
        with zipfile.ZipFile(source.path) as archive:
            inside = _WORKBOOK_PART in archive.namelist()
    except (zipfile.BadZipFile, OSError, ValueError, NotImplementedError):
        return Claim(0.5, "named like a workbook, and damaged") if named else None
    if inside:
        return Claim(0.9 if named else 0.8, "a workbook")
    if named or source.suffix == ".ods":
        return Claim(_TO_EXPLAIN, "named like a spreadsheet, and no workbook")
    return None


def _sniff_text(source: SourceFile) -> Claim | None:
    named = source.suffix in _TEXT_SUFFIXES
    if not named and source.suffix not in _PLAIN_SUFFIXES:
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


def _ole_words(source: SourceFile) -> str:
    with source.path.open("rb") as stream:
        start = stream.read(1 << 20)
        stream.seek(max(0, source.size - (1 << 20)))
        both = start + stream.read()
    if "EncryptedPackage".encode("utf-16-le") in both:
        return (
            "the workbook is locked with a password. Open it with the password, take the "
            "password off, save it and import it again."
        )
    return (
        "this is a workbook of the old kind (.xls), which is not read. "
        "Open it in a spreadsheet program and save it as .xlsx."
    )

"""Whether a file is a copy that partmuster made of what a club knows, and so is no source.

Imported, it would count everything twice. Told from a few bytes, without a library.
"""

from __future__ import annotations

import csv
import zipfile
import zlib
from functools import cache
from typing import TYPE_CHECKING, Final

from partmuster_schemas.columns import AUDIENCES, described
from partmuster_schemas.report import SECTIONS
from partmuster_schemas.vehicle_file import VEHICLE_FILE, YARD_LIST

if TYPE_CHECKING:
    from pathlib import Path

NOT_A_SOURCE: Final = (
    "this is a copy that partmuster made of what a club knows, and no source: it would count "
    "everything twice. Import the lists themselves, or a form that was filled in (--workbook)"
)
#: What the publishers leave in what they write.
_IN_WORKBOOKS: Final = b"<cp:category>partmuster document</cp:category>"
_IN_PAGES: Final = b'<meta name="generator" content="partmuster">'
_IN_PDFS: Final = b"/Creator (partmuster)"
_HEAD, _LARGEST = 4096, 100_000_000
_CONTENTS: Final = ("what", "words", "file", "rows")


def is_own_document(path: Path) -> bool:
    """Tell whether a file was published from a club, whatever its name; no file makes this raise.

    A workbook, page or PDF is known by what stands in it, a table by its headings: all columns of
    a section, for one of the audiences.
    """
    try:
        with path.open("rb") as stream:
            head = stream.read(_HEAD)
            if head.startswith(b"%PDF"):
                return path.stat().st_size <= _LARGEST and _IN_PDFS in head + stream.read()
        if head.startswith(b"PK\x03\x04"):
            with zipfile.ZipFile(path) as archive:
                about = archive.getinfo("docProps/core.xml")
                return about.file_size <= _LARGEST and _IN_WORKBOOKS in archive.read(about)
        return _IN_PAGES in head or _headings(head) in _own_headings()
    except (OSError, ValueError, KeyError, RuntimeError, NotImplementedError, EOFError,
            zipfile.BadZipFile, zlib.error, csv.Error):  # fmt: skip
        return False  # damaged, or something else: whoever reads such files will say so


def _headings(head: bytes) -> tuple[str, ...]:
    lines = head.decode("utf-8-sig", "ignore").splitlines()
    return tuple(next(csv.reader(lines[:1]), []))


@cache
def _own_headings() -> frozenset[tuple[str, ...]]:
    """Return the headings of every published table that is told from a member's list by them."""
    found: set[tuple[str, ...]] = {_CONTENTS}
    for section in (*SECTIONS.values(), *VEHICLE_FILE.values(), *YARD_LIST.values()):
        about = described(section.model)
        for rank in range(len(AUDIENCES)):
            found.add(tuple(
                name for name, one in about.items()
                if AUDIENCES.index(one["audience"]) >= rank
            ))  # fmt: skip
    return frozenset(one for one in found if len(one) >= len(_CONTENTS))

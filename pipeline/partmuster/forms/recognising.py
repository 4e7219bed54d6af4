"""Whether a file is a form: told from a few bytes of it, without a spreadsheet library."""

from __future__ import annotations

import zipfile
import zlib
from typing import TYPE_CHECKING

from .kinds import MARKER

if TYPE_CHECKING:
    from pathlib import Path

_SIGNATURE = b"PK\x03\x04"
#: Parts that name document properties or sheets: of a workbook, and of an OpenDocument file.
_PARTS = ("docProps/custom.xml", "xl/workbook.xml", "meta.xml")
_LARGEST = 4_000_000


def is_form(path: Path) -> bool:
    """Tell whether a file was made as a form, whatever its name; no file makes this raise."""
    try:
        with path.open("rb") as stream:
            if stream.read(len(_SIGNATURE)) != _SIGNATURE:
                return False
        with zipfile.ZipFile(path) as archive:
            parts = (part for part in archive.infolist() if part.filename in _PARTS)
            return any(
                f'"{MARKER}"'.encode() in archive.read(part)
                for part in parts
                if part.file_size <= _LARGEST
            )
    except (OSError, ValueError, RuntimeError, NotImplementedError, EOFError, zipfile.BadZipFile,
            zlib.error):  # fmt: skip
        return False  # damaged: whoever reads such files will say so

"""Whether a file names a person: as it stands, and inside what it packs."""

from __future__ import annotations

import html
import re
import zipfile
import zlib
from typing import TYPE_CHECKING

from .whole import CHUNK

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path
    from typing import IO

    from .person import Person

#: So much of one piece is looked at again with the next: no name is longer.
_OVERLAP = 4096
_TAG = re.compile(r"<[^<>]{0,4096}>")
_BROKEN = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, ValueError)


def file_names(path: Path, person: Person) -> bool:
    """Tell whether a file names a person: in its bytes as text, or in the files of a ZIP.

    Text is tried as UTF-8, Windows-1252 and UTF-16, and without the tags of XML, between which a
    workbook may cut a name. Pictures and what is packed otherwise (PDF) are not looked into.
    """
    with path.open("rb") as stream:
        if any(person.is_named(text) for text in _texts(stream)):
            return True
    if not zipfile.is_zipfile(path):
        return False
    try:
        with zipfile.ZipFile(path) as archive:
            for name in archive.namelist():
                if person.is_named(name):
                    return True
                with archive.open(name) as stream:
                    if any(person.is_named(text) for text in _texts(stream)):
                        return True
    except _BROKEN:
        return False  # what cannot be unpacked nobody reads either
    return False


def _texts(stream: IO[bytes]) -> Iterator[str]:
    """Yield what a stream says, piece by piece, in each way it may be read."""
    before = b""
    while chunk := stream.read(CHUNK):
        piece = before + chunk
        yield from _readings(piece)
        before = piece[-_OVERLAP:]


def _readings(piece: bytes) -> Iterator[str]:
    plain = piece.decode("utf-8", "ignore")
    yield plain
    if not piece.isascii():
        yield piece.decode("cp1252", "ignore")
    if b"\0" in piece:
        yield piece.decode("utf-16-le", "ignore")
        yield piece[1:].decode("utf-16-le", "ignore")
    if "<" in plain or "&" in plain:
        yield html.unescape(_TAG.sub("", plain))

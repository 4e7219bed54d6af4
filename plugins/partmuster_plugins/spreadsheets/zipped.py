"""A zip of XML parts (.xlsx, .ods), opened with an eye on how much really comes out of it."""

from __future__ import annotations

import zipfile
import zlib
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO, TYPE_CHECKING, cast
from xml.etree import ElementTree as ET
from xml.parsers import expat

from partmuster.plugin_api import SourceFile, SourceUnreadableError

from .limits import LARGE, LARGEST_SMALL_PART, MOST_RATIO, MOST_UNPACKED

if TYPE_CHECKING:
    from collections.abc import Iterator

_LOCKED_FLAG = 0x1
_BEYOND = 1 << 24  # more than one read, so that the count ends it and not the end of the part


@dataclass(slots=True)
class Zipped:
    """An opened zip. ``unpacked`` counts the bytes that came out."""

    archive: zipfile.ZipFile
    names: frozenset[str]
    unpacked: int = 0

    @contextmanager
    def stream(self, path: str) -> Iterator[IO[bytes]]:
        """Open a part; its bytes count towards the real size.

        Raises:
            SourceUnreadableError: the part is missing, damaged, or too much in all.
        """
        try:
            info = self.archive.getinfo(path)
            # A size stated too small would end the reading early; what comes out is counted.
            info.file_size = MOST_UNPACKED + _BEYOND
            with self.archive.open(info) as stream:
                yield cast("IO[bytes]", _Counted(stream, self))
        except (
            KeyError, zipfile.BadZipFile, zlib.error, EOFError, ET.ParseError, expat.ExpatError,
            NotImplementedError, RuntimeError,
        ) as fault:  # fmt: skip
            raise damaged(f"part {path}") from fault

    def count(self, size: int) -> None:
        """Add bytes unpacked, and stop where they are too many."""
        self.unpacked += size
        if self.unpacked > MOST_UNPACKED:
            raise too_large()

    def tree(self, path: str) -> ET.Element:
        """Return a small part's XML; refuses a large one, and one that declares its own type."""
        with self.stream(path) as stream:
            data = stream.read(LARGEST_SMALL_PART + 1)
            if len(data) > LARGEST_SMALL_PART:
                raise too_large()
            if b"<!DOCTYPE" in data:
                raise declared(path)
            return ET.fromstring(data)  # noqa: S314 - size is limited, no entities are declared


class _Counted:
    """A part's stream that tells how much came out."""

    def __init__(self, stream: IO[bytes], zipped: Zipped) -> None:
        self._stream = stream
        self._zipped = zipped

    def read(self, size: int = -1) -> bytes:
        data = self._stream.read(size)
        self._zipped.count(len(data))
        return data


@contextmanager
def open_zip(source: SourceFile) -> Iterator[Zipped]:
    """Open a file's zip, its stated sizes and locks looked at first.

    Raises:
        SourceUnreadableError: cut off, damaged, locked, or too large unpacked.
    """
    try:
        archive = zipfile.ZipFile(source.path)
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as fault:
        raise damaged("it is cut off, or no complete zip") from fault
    with archive:
        infos = archive.infolist()
        if any(info.flag_bits & _LOCKED_FLAG for info in infos):
            raise locked()
        stated = sum(info.file_size for info in infos)
        if stated > MOST_UNPACKED or (stated > LARGE and stated > MOST_RATIO * source.size):
            raise too_large()
        names = frozenset(archive.namelist())
        if len(names) < len(infos):
            # Two readers might take different ones, and only one of them be looked at first.
            raise damaged("a part stands in it twice")
        yield Zipped(archive, names)


def local(tag: str) -> str:
    """Return an element's name without its namespace."""
    return tag.rpartition("}")[2]


def damaged(what: str) -> SourceUnreadableError:
    """Return the error for a workbook that is not whole."""
    return SourceUnreadableError(
        f"the workbook is damaged or incomplete ({what}). Ask for the file again, or open it in "
        "a spreadsheet program and save it anew."
    )


def locked() -> SourceUnreadableError:
    """Return the error for a workbook that wants a password."""
    return SourceUnreadableError(
        "the workbook is locked with a password. Open it with the password, take the password "
        "off, save it and import it again."
    )


def declared(path: str) -> SourceUnreadableError:
    """Return the error for XML with a document type, which no spreadsheet program writes."""
    return SourceUnreadableError(
        f"part {path} of the workbook declares a document type of its own, as no spreadsheet "
        "program does; it is not read. Open the file in a spreadsheet program and save it anew."
    )


def too_large() -> SourceUnreadableError:
    """Return the error for a workbook that unpacks to too much."""
    return SourceUnreadableError(
        f"the workbook unpacks to more than {MOST_UNPACKED:,} bytes, or far beyond its own size. "
        "Split it into smaller files, or save the sheet you need as .csv."
    )


def too_wide(sheet: str, row: int, column: int, filled: int, most: int) -> SourceUnreadableError:
    """Return the error for a sheet whose cells lie too far apart to be laid out."""
    return SourceUnreadableError(
        f"sheet '{sheet}' reaches to row {row:,}, column {column:,}, "
        f"with {filled:,} cells; at most {most:,} places are laid out. Delete "
        "what stands far outside the table, or split the sheet, and save the file again."
    )

"""A workbook's zip package: its sheets, styles and date, opened with an eye on its real size.

Parts are as ECMA-376 (Office Open XML) names them (FROM-MEMORY).
"""

from __future__ import annotations

import datetime as dt
import zipfile
import zlib
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import PurePosixPath
from typing import IO, TYPE_CHECKING, cast
from xml.etree import ElementTree as ET

from partmuster.plugin_api import SourceFile, SourceUnreadableError

if TYPE_CHECKING:
    from collections.abc import Iterator

#: Largest sum of unpacked parts, in bytes, and how many times the file's size it may be once it
#: is large at all (sheets of repeated rows reach some 50).
MOST_UNPACKED = 1_000_000_000
MOST_RATIO = 200
_LARGE = 100_000_000
_LARGEST_SMALL_PART = 50_000_000

_LOCKED_FLAG = 0x1
_BEYOND = 1 << 24  # more than one read, so that the count ends it and not the end of the part


@dataclass(frozen=True, slots=True)
class SheetPart:
    """One sheet of a workbook; ``path`` is None where it has no cells by nature."""

    name: str
    path: str | None
    hidden: bool


@dataclass(slots=True)
class Package:
    """An opened workbook. ``struck_styles``: cell style numbers whose font is struck through."""

    archive: zipfile.ZipFile
    sheets: list[SheetPart] = field(default_factory=list)
    struck_styles: frozenset[int] = frozenset()
    saved_on: dt.date | None = None
    unpacked: int = 0

    @contextmanager
    def stream(self, path: str) -> Iterator[IO[bytes]]:
        """Open a part; its bytes count towards the package's real size.

        Raises:
            SourceUnreadableError: the part is missing, damaged, or too much in all.
        """
        try:
            info = self.archive.getinfo(path)
            # A size stated too small would end the reading early; what comes out is counted.
            info.file_size = MOST_UNPACKED + _BEYOND
            with self.archive.open(info) as stream:
                yield cast("IO[bytes]", _Counted(stream, self))
        except (KeyError, zipfile.BadZipFile, zlib.error, EOFError, ET.ParseError) as fault:
            raise _damaged(f"part {path}") from fault

    def count(self, size: int) -> None:
        """Add bytes unpacked, and stop where they are too many."""
        self.unpacked += size
        if self.unpacked > MOST_UNPACKED:
            raise _too_large()

    def tree(self, path: str) -> ET.Element:
        """Return a small part's XML; refuses a large one."""
        with self.stream(path) as stream:
            data = stream.read(_LARGEST_SMALL_PART + 1)
            if len(data) > _LARGEST_SMALL_PART:
                raise _too_large()
            return ET.fromstring(data)  # noqa: S314 - size is limited, expat refuses entity bombs


class _Counted:
    """A part's stream that tells the package how much came out."""

    def __init__(self, stream: IO[bytes], package: Package) -> None:
        self._stream = stream
        self._package = package

    def read(self, size: int = -1) -> bytes:
        data = self._stream.read(size)
        self._package.count(len(data))
        return data


@contextmanager
def open_package(source: SourceFile) -> Iterator[Package]:
    """Open a workbook, its size and parts looked at first.

    Raises:
        SourceUnreadableError: damaged, locked, no workbook, or too large unpacked.
    """
    try:
        archive = zipfile.ZipFile(source.path)
    except (zipfile.BadZipFile, ValueError, NotImplementedError) as fault:
        raise _damaged("it is cut off, or no complete zip") from fault
    with archive:
        _refuse(archive, source.size)
        package = Package(archive)
        names = set(archive.namelist())
        package.sheets = list(_sheets(package))
        if "xl/styles.xml" in names:
            package.struck_styles = _struck_styles(package.tree("xl/styles.xml"))
        if "docProps/core.xml" in names:
            package.saved_on = _saved_on(package.tree("docProps/core.xml"))
        if "xl/sharedStrings.xml" in names:
            with package.stream("xl/sharedStrings.xml") as stream:
                while stream.read(1 << 20):
                    pass
        yield package


def _refuse(archive: zipfile.ZipFile, size: int) -> None:
    infos = archive.infolist()
    if any(info.flag_bits & _LOCKED_FLAG for info in infos):
        raise SourceUnreadableError(
            "the workbook is locked with a password. Take the password off, save it and "
            "import it again."
        )
    if "xl/workbook.xml" not in archive.namelist():
        raise SourceUnreadableError(
            "the file is named like a spreadsheet, but holds no workbook of the .xlsx kind. "
            "Open it in a spreadsheet program and save it as .xlsx."
        )
    stated = sum(info.file_size for info in infos)
    if stated > MOST_UNPACKED or (stated > _LARGE and stated > MOST_RATIO * size):
        raise _too_large()


def _sheets(package: Package) -> Iterator[SheetPart]:
    links = {
        link.get("Id", ""): link
        for link in package.tree("xl/_rels/workbook.xml.rels").iter()
        if _local(link.tag) == "Relationship"
    }
    for sheet in package.tree("xl/workbook.xml").iter():
        if _local(sheet.tag) != "sheet":
            continue
        link_id = next((text for name, text in sheet.items() if name.endswith("}id")), "")
        link = links.get(link_id)
        if link is None:
            raise _damaged(f"sheet '{sheet.get('name')}' is missing")
        cells = link.get("Type", "").endswith("/worksheet")
        path = str(PurePosixPath("xl") / link.get("Target", "")).lstrip("/")
        hidden = sheet.get("state", "visible") != "visible"
        yield SheetPart(sheet.get("name", ""), path if cells else None, hidden)


def _struck_styles(styles: ET.Element) -> frozenset[int]:
    fonts = [
        any(_local(one.tag) == "strike" and one.get("val", "1") in ("1", "true") for one in font)
        for font in styles.findall("{*}fonts/{*}font")
    ]
    formats = styles.findall("{*}cellXfs/{*}xf")
    numbers = [int(one.get("fontId", "0")) for one in formats]
    return frozenset(
        style for style, font in enumerate(numbers) if font < len(fonts) and fonts[font]
    )


def _saved_on(properties: ET.Element) -> dt.date | None:
    text = properties.findtext("{*}modified") or ""
    try:
        return dt.date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None


def _local(tag: str) -> str:
    return tag.rpartition("}")[2]


def _damaged(what: str) -> SourceUnreadableError:
    return SourceUnreadableError(
        f"the workbook is damaged or incomplete ({what}). Ask for the file again, or open it in "
        "a spreadsheet program and save it as .xlsx."
    )


def _too_large() -> SourceUnreadableError:
    return SourceUnreadableError(
        f"the workbook unpacks to more than {MOST_UNPACKED:,} bytes, or far beyond its own size. "
        "Split it into smaller files, or save the sheet you need as .csv."
    )

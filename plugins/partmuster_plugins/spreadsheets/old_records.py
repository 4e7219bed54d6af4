"""Records of an old workbook (.xls) that its reader passes over: other sheets, drawings, the date.

Records and numbers are as in the published binary format of 1997 ([MS-XLS] 2.4.28 BoundSheet8,
2.4.181 Obj, 2.4.329 TxO; [MS-OLEPS] 2.21; FROM-MEMORY).
"""

from __future__ import annotations

import datetime as dt
import struct
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from .drawings import Drawings

if TYPE_CHECKING:
    from collections.abc import Iterator

_BOUNDSHEET, _BOF, _EOF = 0x85, 0x809, 0x0A
_OBJECT, _TEXT, _CONTINUE = 0x5D, 0x1B6, 0x3C
_COMMON_OBJECT = 0x15
_PICTURE, _CHART, _BOX, _NOTE = 8, 5, 6, 0x19
#: Form controls and drop-down arrows of filters carry nothing of the list.
_CONTROLS = frozenset(range(0x0B, 0x19))

_SAVED_AT, _FILETIME = 0x0D, 0x40
_FILETIME_START = dt.datetime(1601, 1, 1, tzinfo=dt.UTC)


@dataclass(slots=True)
class OldSheet:
    """A sheet as the workbook lists it; ``cells`` is false for charts and macros."""

    name: str
    cells: bool
    drawings: Drawings = field(default_factory=Drawings)


def old_sheets(stream: bytes) -> list[OldSheet]:
    """Return the sheets of a workbook's stream in order, with what is drawn on each.

    An older stream, which lists them otherwise, gives none.
    """
    sheets = []
    for kind, _, data in _records(stream, 0):
        if kind == _BOF and data[:2] != b"\x00\x06":
            return []
        if kind == _EOF:
            break
        if kind == _BOUNDSHEET and len(data) > 8:  # noqa: PLR2004 - place, state, kind, length, width
            start, what = struct.unpack_from("<IxB", data)
            size, wide = data[6], data[7] & 1
            name = data[8 : 8 + size * (1 + wide)].decode("utf-16-le" if wide else "latin-1")
            sheet = OldSheet(name, what == 0)
            if sheet.cells:
                _count(stream, start, sheet.drawings)
            sheets.append(sheet)
    return sheets


def _records(stream: bytes, at: int) -> Iterator[tuple[int, int, bytes]]:
    """Yield kind, end and data of each record from a place on."""
    while at + 4 <= len(stream):
        kind, size = struct.unpack_from("<HH", stream, at)
        at += 4 + size
        yield kind, at, stream[at - size : at]


def _count(stream: bytes, start: int, drawn: Drawings) -> None:
    depth = 0
    last = None
    for kind, end, data in _records(stream, start):
        depth += (kind == _BOF) - (kind == _EOF)
        if depth == 0:
            return
        if depth == 1 and kind == _OBJECT and data[:2] == struct.pack("<H", _COMMON_OBJECT):
            last = struct.unpack_from("<H", data, 4)[0]
            drawn.pictures += last == _PICTURE
            drawn.charts += last == _CHART
            drawn.boxes += last == _BOX
            drawn.shapes += last not in {_PICTURE, _CHART, _BOX, _NOTE} | _CONTROLS
        elif depth == 1 and kind == _TEXT and last not in {None, _NOTE} | _CONTROLS:
            words = _words(stream, end, struct.unpack_from("<H", data, 10)[0])
            if words.strip():
                drawn.words.append(words.strip())


def _words(stream: bytes, at: int, size: int) -> str:
    """Return a drawing's words, which stand in the records that follow."""
    words = ""
    for kind, _, data in _records(stream, at):
        if kind != _CONTINUE or len(words) >= size:
            break
        words += data[1:].decode("utf-16-le" if data[:1] == b"\x01" else "latin-1", "replace")
    return words[:size]


def saved_on(summary: bytes | None) -> dt.date | None:
    """Return the day of last saving from the stream of a file's summary, if it tells one."""
    try:
        if not summary or summary[:2] != b"\xfe\xff":
            return None
        start = struct.unpack_from("<I", summary, 44)[0]
        count = struct.unpack_from("<I", summary, start + 4)[0]
        for number in range(min(count, 100)):
            kind, place = struct.unpack_from("<II", summary, start + 8 + 8 * number)
            if kind == _SAVED_AT:
                form, ticks = struct.unpack_from("<IQ", summary, start + place)
                if form == _FILETIME and ticks:
                    return (_FILETIME_START + dt.timedelta(microseconds=ticks // 10)).date()
    except (struct.error, OverflowError):
        return None
    return None

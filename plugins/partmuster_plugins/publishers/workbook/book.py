"""Making the workbook: its frame by a library, its rows beside, packed without a clock."""

from __future__ import annotations

import datetime as dt
import re
import zipfile
from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING, Any

from partmuster_plugins.publishers.values import clean

from . import sheet as section_sheet
from .cells import rows_written
from .cover import write_cover, write_meanings
from .names import SheetNames
from .pictures import drawable, write_pictures
from .sheet import FIRST, Filled, write_section
from .style import Looks

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from partmuster.plugin_api import ClubView

_ZIP_DAY = (1980, 1, 1, 0, 0, 0)
_LONGEST_PROPERTY = 255
_MODELS = re.compile(
    rb'<row r="%d"[^>]*>(.*?)</row><row r="%d"[^>]*>(.*?)</row>' % (FIRST + 1, FIRST + 2)
)
_STYLE = re.compile(rb'<c r="[A-Z]+\d+" s="(\d+)"')
#: A bar is else a tenth of the cell for nothing, and nine tenths for all. What newer programs know
#: besides of bars is left out: others warn of it.
_BAR, _WHOLE_BAR = b"<dataBar>", b'<dataBar minLength="0" maxLength="100">'
_DIMENSION = re.compile(rb'(<dimension ref="A1:[A-Z]+)\d+"')


class Workbook:
    """Writes a workbook (.xlsx) with a cover, a sheet a section, and native charts."""

    name = "workbook"
    version = "1"

    def publish(self, club_view: ClubView, out_dir: Path) -> list[Path]:
        """Write one workbook, whole or not at all, and return its path."""
        path = out_dir / f"{club_view.file_name}.xlsx"
        making = out_dir / f".{club_view.file_name}.making"
        try:
            _write(club_view, making)
            making.replace(path)
        finally:
            making.unlink(missing_ok=True)
        return [path]


def _write(view: ClubView, path: Path) -> None:
    from xlsxwriter import Workbook as Book  # noqa: PLC0415 - only when publishing

    made = BytesIO()
    book = Book(made, {"in_memory": True})
    looks, names = Looks(book), SheetNames()
    cover = names.new("Cover")
    cover_sheet = book.add_worksheet(cover)
    kept = [names.new(word) for word in ("Charts", "Columns")]
    filled = list(_sections(book, view, looks, names, cover))
    drawn = [one for one in filled if drawable(one)]
    others = []
    if drawn:
        write_pictures(book, book.add_worksheet(kept[0]), view, drawn, looks, cover)
        others.append((kept[0], "charts of some of these sheets"))
    write_meanings(book.add_worksheet(kept[1]), view, filled, looks, cover)
    others.append((kept[1], "what the columns mean"))
    write_cover(cover_sheet, view, filled, others, looks)
    book.set_properties(_properties(view))
    book.close()
    _pack(made, path, {n: one for n, one in enumerate(filled, 2) if one.frame.height})


def _sections(
    book: Any, view: ClubView, looks: Looks, names: SheetNames, cover: str
) -> Iterator[Filled]:
    most = section_sheet.MOST_ROWS
    for section in view.sections():
        rows = view.ask(section.name)
        for start in range(0, max(rows.height, 1), most):
            sheet = book.add_worksheet(names.new(section.name))
            one = replace(section, chart=()) if start else section
            yield write_section(sheet, one, rows[start : start + most], view, looks, cover)


def _properties(view: ClubView) -> dict[str, Any]:
    """Return what the file tells of itself: nothing that the cover does not tell."""
    day = dt.datetime.combine(view.as_of, dt.time())
    words = {"author": view.club, "title": view.title, "subject": f"for: {view.audience}"}
    return {name: clean(text)[:_LONGEST_PROPERTY] for name, text in words.items()} | {
        "created": day,
        # by this an import knows that it is no source
        "category": "partmuster document",
    }


def _pack(made: BytesIO, path: Path, filled: dict[int, Filled]) -> None:
    """Write the parts of a workbook with the rows of its sections in their places."""
    sheets = {f"xl/worksheets/sheet{number}.xml": one for number, one in filled.items()}
    with zipfile.ZipFile(made) as parts, zipfile.ZipFile(path, "w") as packed:
        for name in parts.namelist():
            about = zipfile.ZipInfo(name, _ZIP_DAY)
            about.compress_type = zipfile.ZIP_DEFLATED
            about.create_system = 0  # the same wherever it is made
            with packed.open(about, "w") as part:
                content = parts.read(name).replace(_BAR, _WHOLE_BAR)
                for piece in _with_rows(content, sheets[name]) if name in sheets else [content]:
                    part.write(piece)


def _with_rows(content: bytes, one: Filled) -> Iterator[bytes]:
    """Yield a sheet with its rows in the place of their two models."""
    found = _MODELS.search(content)
    assert found is not None, one.name
    plain, quoted = ([style.decode() for style in _STYLE.findall(row)] for row in found.groups())
    last = b'\\g<1>%d"' % (FIRST + one.frame.height)
    yield _DIMENSION.sub(last, content[: found.start()], count=1)
    styles = list(zip(plain, quoted, strict=True))
    yield from rows_written(one.frame, one.columns, FIRST + 1, styles, one.wrapped)
    yield content[found.end() :]

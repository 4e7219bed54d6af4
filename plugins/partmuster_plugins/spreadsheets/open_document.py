"""Open documents (.ods) to grids: one streaming pass over the content gives values and marks.

Not by calamine: it loses tabs and line ends within a cell, times and errors, and refuses content
with white space between its tags (measured with version 0.21 of its binding).
"""

from __future__ import annotations

import datetime as dt
import re
from contextlib import suppress
from typing import TYPE_CHECKING
from xml.parsers import expat

from partmuster.plugin_api import Grid, NotData, SourceFile, SourceUnreadableError

from .looks import Look, Run
from .open_sheet import OpenCell, OpenSheet, repeated
from .open_styles import DRAW, OFFICE, STYLE, TABLE, TEXT, OpenStyles
from .sheet_marks import marks_frame
from .words import clean
from .zipped import Zipped, declared, locked, open_zip

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from partmuster.plugin_api import Batch

_CHUNK = 1 << 20
_SPACES = re.compile(r"[ \t\r\n]+")
_CELLS = frozenset({f"{TABLE}table-cell", f"{TABLE}covered-table-cell"})
_SHAPES = frozenset(
    f"{DRAW}{name}"
    for name in ("frame", "custom-shape", "rect", "ellipse", "circle", "line", "polyline",
                 "polygon", "path", "connector", "caption", "measure", "regular-polygon")
)  # fmt: skip
#: Attributes of values that are not simply called value.
_VALUES = {kind: f"{kind}-value" for kind in ("date", "time", "boolean", "string")}
_TABLE = f"{TABLE}table"
_HIDDEN = frozenset({"collapse", "filter"})


def read_open_document(source: SourceFile) -> Iterator[Batch]:
    """Yield one grid a sheet, as :func:`.workbook.read_workbook` does.

    Raises:
        SourceUnreadableError: damaged, locked, over-large, or no spreadsheet.
    """
    with open_zip(source) as zipped:
        content = _read(zipped)
        saved_on = _saved_on(zipped)
    if not content.is_spreadsheet:
        raise SourceUnreadableError(
            "the file is named like a spreadsheet, but holds another sort of document. "
            "Open it and save its table as .ods or .xlsx."
        )
    for sheet in content.sheets:
        name = clean(sheet.name)
        if sheet.outside:
            yield NotData("a copy of another file's sheet, kept for links", sheet=name)
            continue
        cells = sheet.frame()
        if cells.height == 0:
            said = "\n".join(clean(words) for _, _, words in sorted(sheet.marks.comments))
            yield NotData("the sheet is empty", sheet=name, words=said)
        else:
            marks = marks_frame(sheet.marks, cells)
            yield Grid(cells, sheet=name, marks=marks, saved_on=saved_on)
        drawn = sheet.drawings.told(name)
        if drawn is not None:
            yield drawn


def _read(zipped: Zipped) -> _Content:
    if "META-INF/manifest.xml" in zipped.names and any(
        one.tag.endswith("encryption-data") for one in zipped.tree("META-INF/manifest.xml").iter()
    ):
        raise locked()
    styles = OpenStyles()
    if "styles.xml" in zipped.names:
        _parse(zipped, "styles.xml", _Styles(styles))
    content = _Content(styles)
    _parse(zipped, "content.xml", content)
    return content


def _parse(zipped: Zipped, path: str, into: _Styles) -> None:
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    parser.buffer_size = 1 << 16
    parser.StartElementHandler = into.start
    parser.EndElementHandler = into.end
    parser.CharacterDataHandler = into.characters

    def refuse(*_: object) -> None:
        raise declared(path)

    parser.StartDoctypeDeclHandler = refuse
    with zipped.stream(path) as stream:
        while chunk := stream.read(_CHUNK):
            parser.Parse(chunk, False)  # noqa: FBT003 - takes no keywords
        parser.Parse(b"", True)  # noqa: FBT003 - takes no keywords


def _saved_on(zipped: Zipped) -> dt.date | None:
    if "meta.xml" in zipped.names:
        text = zipped.tree("meta.xml").findtext(".//{http://purl.org/dc/elements/1.1/}date") or ""
        with suppress(ValueError):
            return dt.date.fromisoformat(text.strip()[:10])
    return None


class _Styles:
    """Takes the styles out of a part."""

    def __init__(self, styles: OpenStyles) -> None:
        self.styles = styles

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if name.startswith(STYLE):
            self.styles.start(name, attributes)

    def end(self, name: str) -> None:
        pass

    def characters(self, text: str) -> None:
        pass


class _Content(_Styles):
    """Takes sheets, rows and cells out of the content.

    ``_into`` holds what paragraphs are added to, innermost last: a cell, a comment, a drawing.
    """

    def __init__(self, styles: OpenStyles) -> None:
        super().__init__(styles)
        self.sheets: list[OpenSheet] = []
        self.is_spreadsheet = False
        self._row: tuple[int, Look | None, bool] = (1, None, False)
        self._cells: list[OpenCell] = []
        self._into: list[list[Run]] = []
        self._drawn: list[set[str]] = []
        self._fonts: list[tuple[bool | None, str | None]] = [(None, None)]
        self._in_paragraph = 0
        self._after_space = False
        self._nested = 0

    def start(self, name: str, attributes: Mapping[str, str]) -> None:
        if self._nested or (name == _TABLE and self._into):
            # A table within a cell or a drawing: its words are words of that.
            self._nested += name == _TABLE
            if name.startswith(TEXT):
                self._start_text(name, attributes)
        elif name in _CELLS:
            self._start_cell(attributes)
        elif name.startswith(TEXT):
            self._start_text(name, attributes)
        elif name.startswith(TABLE):
            self._start_table(name, attributes)
        elif name.startswith(STYLE):
            self.styles.start(name, attributes)
        elif name.startswith(DRAW):
            self._start_drawing(name)
        elif name == f"{OFFICE}annotation":
            self._into.append([])
        elif name == f"{OFFICE}spreadsheet":
            self.is_spreadsheet = True

    def _start_drawing(self, name: str) -> None:
        if name in _SHAPES:
            self._drawn.append({name})
            self._into.append([])
        elif self._drawn:
            self._drawn[-1].add(name)

    def _start_table(self, name: str, attributes: Mapping[str, str]) -> None:
        look = attributes.get(f"{TABLE}default-cell-style-name")
        hidden = attributes.get(f"{TABLE}visibility") in _HIDDEN
        if name == _TABLE:
            sheet = OpenSheet(attributes.get(f"{TABLE}name", ""))
            sheet.marks.hidden = not self.styles.shows_table(attributes.get(f"{TABLE}style-name"))
            # Where cells of other files are linked to, a program keeps those files' sheets so.
            sheet.outside = sheet.name.startswith("'file:")
            self.sheets.append(sheet)
        elif name == f"{TABLE}table-column" and self.sheets:
            count = repeated(attributes, f"{TABLE}number-columns-repeated")
            self.sheets[-1].add_columns(count, self.styles.look(look), hidden=hidden)
        elif name == f"{TABLE}table-row":
            count = repeated(attributes, f"{TABLE}number-rows-repeated")
            self._row = (count, self.styles.look(look) if look else None, hidden)
            self._cells = []

    def _start_cell(self, attributes: Mapping[str, str]) -> None:
        style = attributes.get(f"{TABLE}style-name")
        kind = attributes.get(f"{OFFICE}value-type", "")
        cell = OpenCell(
            repeated=repeated(attributes, f"{TABLE}number-columns-repeated"),
            look=self.styles.look(style) if style else None,
            kind=kind,
            value=attributes.get(f"{OFFICE}{_VALUES.get(kind, 'value')}", ""),
            formula=attributes.get(f"{TABLE}formula"),
            spanned=(
                repeated(attributes, f"{TABLE}number-rows-spanned"),
                repeated(attributes, f"{TABLE}number-columns-spanned"),
            ),
        )
        self._cells.append(cell)
        self._into.append(cell.runs)

    def _start_text(self, name: str, attributes: Mapping[str, str]) -> None:
        if not self._into:
            return
        kind = name.removeprefix(TEXT)
        if kind in {"p", "h"}:
            if self._into[-1]:
                self._add("\n")
            self._in_paragraph += 1
            self._after_space = True
        elif kind == "span":
            struck, ink = self.styles.run(attributes.get(f"{TEXT}style-name"))
            before = self._fonts[-1]
            self._fonts.append(
                (before[0] if struck is None else struck, before[1] if ink is None else ink)
            )
        elif kind == "s":
            self._add(" " * min(repeated(attributes, f"{TEXT}c"), 1 << 16))
            self._after_space = False
        elif kind == "tab":
            self._add("\t")
        elif kind == "line-break":
            self._add("\n")

    def _add(self, text: str) -> None:
        struck, ink = self._fonts[-1]
        self._into[-1].append(Run(text, struck, ink))

    def characters(self, text: str) -> None:
        if self._in_paragraph and self._into:
            # White space is one space, and none at a paragraph's start (OpenDocument 1.2, 6.1.2).
            words = _SPACES.sub(" ", text)
            words = words.removeprefix(" ") if self._after_space else words
            self._after_space = words.endswith(" ") if words else self._after_space
            if words:
                self._add(words)

    def end(self, name: str) -> None:
        if name.startswith(TEXT):
            self._end_text(name)
        elif self._nested:
            self._nested -= name == _TABLE
        elif name in _CELLS:
            self._into.pop()
        elif name == f"{TABLE}table-row" and self.sheets:
            count, look, hidden = self._row
            self.sheets[-1].add_row(self._cells, count, look, hidden=hidden)
            self._cells = []
        elif name == f"{OFFICE}annotation":
            self._end_comment()
        elif name in _SHAPES:
            self._end_shape()

    def _end_text(self, name: str) -> None:
        if name in {f"{TEXT}p", f"{TEXT}h"} and self._into:
            self._in_paragraph -= 1
        elif name == f"{TEXT}span" and self._into:
            self._fonts.pop()

    def _end_comment(self) -> None:
        words = "".join(run.text for run in self._into.pop()).strip()
        if self._cells:
            self._cells[-1].comment = words

    def _end_shape(self) -> None:
        words = "".join(run.text for run in self._into.pop()).strip()
        kinds = self._drawn.pop()
        if not self.sheets:
            return
        drawn = self.sheets[-1].drawings
        if f"{DRAW}object" in kinds or f"{DRAW}object-ole" in kinds:
            drawn.charts += 1
        elif words or f"{DRAW}text-box" in kinds:
            drawn.boxes += 1
        elif f"{DRAW}image" in kinds:
            drawn.pictures += 1
        else:
            drawn.shapes += 1
        if words:
            drawn.words.append(words)

"""One streaming pass over a sheet's XML: how far it reaches, and what its values do not tell."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html import unescape
from typing import IO, TYPE_CHECKING

from .notes import place_of
from .rich_texts import runs_of
from .sheet_patterns import LAST_COLUMN, column_letters, column_number, patterns, styled_cell
from .zipped import declared

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from .colours import Colours
    from .looks import Run
    from .sheet_patterns import Patterns

_CHUNK = 1 << 22
_SIGN_KIND = re.compile(rb"""\bt\s*=\s*["'][eb]["']""")
_EMPTY_TEXT = re.compile(rb"""\bt\s*=\s*["']str["']""")
_STYLE = re.compile(rb"""\bs\s*=\s*["'](\d+)["']""")
_SHARED = re.compile(rb"""\bsi\s*=\s*["'](\d+)["']""")


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a workbook's other parts say to look for: cell styles, and texts in runs by number."""

    styles: frozenset[int]
    rich: Mapping[int, list[Run]]
    colours: Colours


@dataclass(slots=True)
class SheetScan:
    """What a sheet's XML holds. Rows and columns count from 1; 0 where there is no cell.

    ``first_column`` is None where cells without addresses leave it open. ``signs``: row, column
    as text, and the words of cells that hold an error or a yes/no value. ``styled``: row, column
    and style of cells with a wanted style, empty ones too. ``rich``: row, column, style and runs.
    ``formulas``: row, column and text where no value is stored. ``merged``: first row, first
    column, rows, columns.
    """

    last_row: int = 0
    first_column: int | None = None
    last_column: int = 0
    filled: int = 0
    hidden_rows: list[int] = field(default_factory=list)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    signs: list[tuple[int, str, str]] = field(default_factory=list)
    styled: list[tuple[int, int, int]] = field(default_factory=list)
    rich: list[tuple[int, int, int, list[Run]]] = field(default_factory=list)
    formulas: list[tuple[int, int, str]] = field(default_factory=list)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)

    @property
    def width(self) -> int:
        """How many columns lie between the first and the last with a cell."""
        return self.last_column - (self.first_column or 1) + 1 if self.last_column else 0


def scan_sheet(stream: IO[bytes], wanted: Wanted) -> SheetScan:
    """Return what a sheet's XML holds beside the values, reading it in pieces."""
    scan = SheetScan()
    columns: set[bytes] = set()
    without_address = False
    shared: dict[bytes, tuple[str, str]] = {}
    root = b""
    for found, part in _pieces(stream):
        piece = part
        root = root or _root(piece)
        if found.not_first.search(piece) and found.without_address.search(piece):
            without_address = True
            piece = _addressed(found, piece, scan.last_row)
        cells = found.filled.findall(piece)
        scan.filled += len(cells)
        columns.update({column for column, _ in cells})
        scan.last_row = max(scan.last_row, max(map(int, {row for _, row in cells}), default=0))
        scan.hidden_rows += map(int, found.hidden_row.findall(piece))
        scan.hidden_columns += _spans(found.hidden_column.findall(piece))
        if _SIGN_KIND.search(piece):  # a quick look spares most sheets the slow pattern
            scan.signs += _signs(found.sign.findall(piece))
        if wanted.styles:
            scan.styled += _styled(found, piece, wanted.styles)
        if b"<" + found.prefix + b"f" in piece:
            scan.formulas += _formulas(found, piece, shared)
        scan.rich += _rich(found, piece, root, wanted)
        if b"mergeCell" in piece:
            scan.merged += _merged(found, piece)
    numbers = sorted(column_number(column) for column in columns)
    if numbers:
        scan.first_column, scan.last_column = numbers[0], numbers[-1]
    if without_address:
        scan.first_column = None
    return scan


def first_filled_column(stream: IO[bytes]) -> int:
    """Return the first column with a value, cell by cell: where addresses alone do not tell."""
    first = LAST_COLUMN
    for found, piece in _pieces(stream):
        for row in found.whole_row.finditer(piece):
            place = 0
            for cell in found.cell.finditer(row[1]):
                attributes = cell[1] or b""
                stated = re.search(rb"""\br\s*=\s*["']([A-Za-z]+)""", attributes)
                place = column_number(stated[1]) if stated else place + 1
                if place >= first:
                    break
                if cell[2] is not None and _has_value(found, attributes, cell[2]):
                    first = place
                    break
        if first == 1:
            break
    return first


def _has_value(found: Patterns, attributes: bytes, inside: bytes) -> bool:
    """Return whether calamine counts a cell: typed ones even where their text is empty."""
    typed = re.search(rb"""\bt\s*=\s*["'](?!n["'])""", attributes) is not None
    return typed or found.value.search(inside) is not None


def _pieces(stream: IO[bytes]) -> Iterator[tuple[Patterns, bytes]]:
    """Yield the XML in pieces that end with a whole row, with the patterns for its prefix."""
    rest = stream.read(_CHUNK)
    root = re.search(rb"<(\w+:)?worksheet\b", rest)
    found = patterns((root[1] if root else None) or b"")
    while chunk := stream.read(_CHUNK):
        rest += chunk
        end = rest.rfind(found.row_end)
        if end > 0:
            yield found, rest[: end + len(found.row_end) + 1]
            rest = rest[end + len(found.row_end) + 1 :]
    yield found, rest


def _root(piece: bytes) -> bytes:
    if b"<!DOCTYPE" in piece:
        raise declared("with cells")
    start = re.search(rb"<(?:\w+:)?worksheet\b[^>]*>", piece)
    return start[0] if start else b""


def _addressed(found: Patterns, piece: bytes, last_row: int) -> bytes:
    """Return a piece in which every cell has its address."""
    row_number, place = last_row, 0

    def cell_with_address(cell: re.Match[bytes]) -> bytes:
        nonlocal place
        stated = re.search(rb"""\br\s*=\s*["']([A-Za-z]+)""", cell[1] or b"")
        place = column_number(stated[1]) if stated else place + 1
        if stated:
            return cell[0]
        start = b"<" + found.prefix + b"c"
        return start + b' r="%b%d"' % (column_letters(place), row_number) + cell[0][len(start) :]

    done = []
    end = 0
    for row in found.whole_row.finditer(piece):
        number = found.row.match(row[0])
        row_number = int(number[1]) if number else row_number + 1
        place = 0
        done += [piece[end : row.start(1)], found.cell.sub(cell_with_address, row[1])]
        end = row.end(1)
    return b"".join([*done, piece[end:]])


def _spans(columns: list[bytes]) -> Iterator[tuple[int, int]]:
    for tag in columns:
        first = re.search(rb"""\bmin\s*=\s*["'](\d+)""", tag)
        last = re.search(rb"""\bmax\s*=\s*["'](\d+)""", tag)
        if first and last:
            yield int(first[1]), min(int(last[1]), LAST_COLUMN)


def _signs(cells: list[tuple[bytes, bytes, bytes, bytes]]) -> Iterator[tuple[int, str, str]]:
    for column, row, kind, text in cells:
        words = unescape(text.decode(errors="replace"))
        if kind == b"b":
            words = "TRUE" if words.strip() in ("1", "true") else "FALSE"
        yield int(row), str(column_number(column)), words


def _styled(
    found: Patterns, piece: bytes, styles: frozenset[int]
) -> Iterator[tuple[int, int, int]]:
    for style, column, row in styled_cell(found.prefix, styles).findall(piece):
        if (number := int(style)) in styles:
            yield int(row), column_number(column), number


def _formulas(
    found: Patterns, piece: bytes, shared: dict[bytes, tuple[str, str]]
) -> Iterator[tuple[int, int, str]]:
    """Yield formulas without a stored value; ``shared``: the text and place of shared ones."""
    for column, row, cell, attributes, inside in found.formula.findall(piece):
        if _EMPTY_TEXT.search(cell):
            continue  # its value is the empty text
        text, place = "=" + unescape(inside.decode(errors="replace")), (column + row).decode()
        group = _SHARED.search(attributes)
        if group and inside:
            shared[group[1]] = (text, place)
        elif group and group[1] in shared:
            text = _moved(*shared[group[1]], place)
        yield int(row), column_number(column), text


def _moved(text: str, origin: str, place: str) -> str:
    from openpyxl.formula.translate import Translator  # noqa: PLC0415 - seldom needed, and heavy

    try:
        return str(Translator(text, origin=origin).translate_formula(place))
    except Exception:  # noqa: BLE001 - for show only, and a formula may be any text
        return text


def _rich(
    found: Patterns, piece: bytes, root: bytes, wanted: Wanted
) -> Iterator[tuple[int, int, int, list[Run]]]:
    if wanted.rich:
        for column, row, cell, _, _, number in found.shared_text.findall(piece):
            if (runs := wanted.rich.get(int(number))) is not None:
                yield int(row), column_number(column), _style(cell), runs
    if b"rPr" in piece and root:
        for column, row, cell, inside in found.inline_text.findall(piece):
            if b"rPr" in inside:
                runs = runs_of(inside, root, wanted.colours)
                yield int(row), column_number(column), _style(cell), runs


def _style(cell: bytes) -> int:
    style = _STYLE.search(cell)
    return int(style[1]) if style else 0


def _merged(found: Patterns, piece: bytes) -> Iterator[tuple[int, int, int, int]]:
    for area in found.merged.findall(piece):
        first, _, last = area.decode(errors="replace").partition(":")
        start, end = place_of(first), place_of(last or first)
        if start and end:
            yield *start, end[0] - start[0] + 1, end[1] - start[1] + 1

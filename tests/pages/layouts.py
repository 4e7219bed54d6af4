"""Pages of parts lists in many layouts, each drawn with what stands on it.

All parts and numbers are invented. A convention whose source is named in the table of conventions
("parts_list_conventions.csv") as from memory only is marked so here.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

import numpy as np
import reportlab
from PIL import Image, ImageDraw, ImageFont

if TYPE_CHECKING:
    from collections.abc import Sequence

Rows: TypeAlias = "list[tuple[str, ...]]"

#: Two open faces: the one that Pillow carries, and Bitstream Vera, which reportlab carries.
_VERA = Path(reportlab.__file__).parent / "fonts" / "Vera.ttf"
_INK, _PAPER = 25, 248


@dataclass
class Sheet:
    """A sheet of paper on which text is put at inches from its upper left corner."""

    dots: int = 200
    wide: float = 8.27
    high: float = 8.0
    vera: bool = False
    letter: float = 0.14
    picture: Image.Image = field(init=False)

    def __post_init__(self) -> None:
        size = (round(self.wide * self.dots), round(self.high * self.dots))
        self.picture = Image.new("L", size, _PAPER)
        self._pen = ImageDraw.Draw(self.picture)
        high = round(self.letter * self.dots)
        self._font = (
            ImageFont.truetype(str(_VERA), round(high * 0.85))
            if self.vera
            else ImageFont.load_default(high)
        )

    def text(self, x: float, y: float, words: str) -> float:
        """Put words there; return where they end, in inches."""
        self._pen.text((x * self.dots, y * self.dots), words, _INK, self._font)
        return x + self._pen.textlength(words, self._font) / self.dots

    def line(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """Rule a line."""
        edges = [edge * self.dots for edge in (x0, y0, x1, y1)]
        self._pen.line(edges, _INK, max(1, self.dots // 100))

    def rows(self, rows: Rows, places: Sequence[float], top: float, step: float = 0.27) -> float:
        """Put rows of cells at their places; return where the next row would stand."""
        for row in rows:
            for cell, place in zip(row, places, strict=True):
                self.text(place, top, cell)
            top += step
        return top

    def leaders(self, start: float, end: float, y: float) -> None:
        """Lead the eye with dots."""
        x = start + 0.1
        while x < end - 0.12:
            self.text(x, y, ".")
            x += 0.09

    def scanned(self, noise: float = 4.0) -> Image.Image:
        """Return the sheet as a scanner gives it."""
        chance = np.random.default_rng(11)
        grey = np.asarray(self.picture, np.float32)
        grey = grey + chance.normal(0, noise, grey.shape)
        return Image.fromarray(grey.clip(0, 255).astype(np.uint8))


@dataclass(frozen=True)
class Page:
    """A page as drawn, and the tables on it in the order in which they are read."""

    convention: str
    pictures: list[Image.Image]
    tables: list[Rows]


HEAD = ("Item", "Part No.", "Description", "No. off")
PARTS: Rows = [
    ("1", "H-101-2", "HOUSING, steering box", "1"),
    ("2", "H-102-2", "SHAFT, sector, upper", "1"),
    ("3", "H-103-1", "BOLT, hexagon, 3/8 in. BSF", "4"),
    ("4", "H-104-1", "WASHER, spring, 3/8 in.", "4"),
    ("5", "H-105-3", "ARM, drop, left", "1"),
    ("6", "H-105-4", "ARM, drop, right", "1"),
    ("7", "H-107-3", "LEVER, brake, hand", "2"),
    ("8", "H-118-6", "PLATE, cover, inspection", "12"),
    ("9", "H-120-1", "TUBE, column, outer", "1"),
    ("10", "H-131-8", "NUT, castle, 1/2 in. Whit.", "16"),
    ("11", "H-132-5", "BUSH, spindle, lower", "2"),
    ("12", "H-140-2", "GASKET, side cover", "1"),
    ("13", "H-141-7", "PIN, split, 1/8 in.", "6"),
    ("14", "H-152-9", "PEG, locating", "2"),
]
PLACES = (0.8, 1.5, 2.9, 6.9)


def _with(rows: Rows, cells: Sequence[str], head: str) -> Rows:
    """Return the heading and rows with one more column."""
    return [(*HEAD, head), *((*row, cell) for row, cell in zip(rows, cells, strict=True))]


def _plain(convention: str, rows: Rows, places: Sequence[float], **sheet: object) -> Page:
    drawn = Sheet(**sheet)  # type: ignore[arg-type]
    drawn.text(0.8, 0.6, "OTTER CARRIER - GROUP 3. STEERING")
    drawn.rows(rows, places, 1.0)
    return Page(convention, [drawn.scanned()], [rows])


def used_on() -> Page:
    """Draw codes that tie a part to models; blank means all."""
    codes = ["", "A", "A,B", "", "A", "B", "", "B-D", "", "C", "", "A,C", "", "D"]
    return _plain("used-on column", _with(PARTS, codes, "Used on"), (0.8, 1.5, 2.9, 5.9, 6.9))


def indenture() -> Page:
    """Draw dots before a description that tell its level."""
    levels = [0, 1, 2, 2, 1, 1, 2, 3, 3, 1, 2, 2, 3, 1]
    rows = [
        (item, number, "." * level + " " * bool(level) + words, count)
        for (item, number, words, count), level in zip(PARTS, levels, strict=True)
    ]
    return _plain("indenture dots", [HEAD, *rows], PLACES, vera=True)


def serials() -> Page:
    """Draw from which to which vehicle a part goes."""
    spans = ["1-250", "251 on", "1-400", "1-400", "", "", "401-612", "1-250", "251-612", "613 on",
             "", "1-88", "89 on", ""]  # fmt: skip
    return _plain("serial intervals", _with(PARTS, spans, "Serial Nos."), (0.8, 1.5, 2.9, 5.7, 6.6))


def continued() -> Page:
    """Draw a table that goes on over a second page with its headings."""
    first, second = Sheet(), Sheet()
    first.text(0.8, 0.6, "OTTER CARRIER - GROUP 3. STEERING")
    first.rows([HEAD, *PARTS[:8]], PLACES, 1.0)
    second.text(0.8, 0.6, "GROUP 3. STEERING (continued)")
    second.rows([HEAD, *PARTS[8:]], PLACES, 1.0)
    tables = [[HEAD, *PARTS[:8]], [HEAD, *PARTS[8:]]]
    return Page("table over two pages", [first.scanned(), second.scanned()], tables)


def continued_without_headings() -> Page:
    """Draw a table that goes on over a second page that has no headings."""
    first, second = Sheet(), Sheet()
    first.rows([HEAD, *PARTS[:7]], PLACES, 1.0)
    second.rows(PARTS[7:], PLACES, 1.0)
    return Page("second page without headings", [first.scanned(), second.scanned()],
                [[HEAD, *PARTS[:7]], PARTS[7:]])  # fmt: skip


def two_tables() -> Page:
    """Draw two halves side by side, their headings repeated, their rows not level."""
    sheet = Sheet(letter=0.12)
    sheet.text(0.4, 0.6, "OTTER CARRIER - GROUP 3. STEERING")
    head = ("Item", "Part No.", "Description", "Qty")
    left, right = [head, *PARTS[:7]], [head, *PARTS[7:]]
    sheet.rows(left, (0.4, 0.8, 1.6, 3.6), 1.0, 0.25)
    sheet.rows(right, (4.3, 4.7, 5.5, 7.5), 1.1, 0.25)
    return Page("two-column page", [sheet.scanned()], [left, right])


def two_tables_level() -> Page:
    """Draw two halves side by side on the same lines, with a rule between them."""
    sheet = Sheet(letter=0.12)
    head = ("Item", "Part No.", "Description", "Qty")
    left, right = [head, *PARTS[:8]], [head, *PARTS[8:]]
    sheet.rows(left, (0.4, 0.8, 1.6, 3.6), 1.0, 0.25)
    sheet.rows(right, (4.3, 4.7, 5.5, 7.5), 1.0, 0.25)
    sheet.line(4.1, 0.9, 4.1, 3.4)
    return Page("two-column page, rows level", [sheet.scanned()], [left, right])


def attaching() -> Page:
    """Draw blocks of parts that attach the one before them."""
    rows = [HEAD, *PARTS[:2], ("", "", "ATTACHING PARTS", ""), *PARTS[2:4],
            ("", "", "***", ""), *PARTS[4:8], ("", "", "(AP)", ""), PARTS[9], PARTS[12],
            ("", "", "***", ""), PARTS[13]]  # fmt: skip
    return _plain("attaching parts", rows, PLACES)


def wrapped() -> Page:
    """Draw remarks that go on in the next line."""
    sheet = Sheet(vera=True, letter=0.12)
    head = ("Item", "Part No.", "Description", "Qty", "Remarks")
    remarks = {"3": ("Replaced by H-603-1", "from vehicle 251"),
               "6": ("Supplied only as part", "of H-100-1"),
               "9": ("Not for hot climates",)}  # fmt: skip
    rows: Rows = [head]
    for row in PARTS[:10]:
        first, *more = remarks.get(row[0], ("",))
        rows.append((*row, first))
        rows += [("", "", "", "", words) for words in more]
    sheet.rows(rows, (0.5, 1.0, 2.0, 4.6, 5.2), 1.0, 0.24)
    return Page("remarks that wrap", [sheet.scanned()], [rows])


def sparse() -> Page:
    """Draw columns that few rows fill."""
    sheet = Sheet(letter=0.12)
    head = ("Item", "Part No.", "Old No.", "Description", "Qty", "Note")
    old = {"4": "7714", "11": "7802"}
    note = {"6": "A"}
    rows: Rows = [head]
    rows += [(r[0], r[1], old.get(r[0], ""), r[2], r[3], note.get(r[0], "")) for r in PARTS]
    sheet.rows(rows, (0.5, 1.0, 2.1, 3.0, 6.0, 6.8), 1.0)
    return Page("sparse columns", [sheet.scanned()], [rows])


def boxes() -> Page:
    """Draw cells in boxes with double lines."""
    sheet = Sheet()
    rows = [HEAD, *PARTS]
    sheet.rows(rows, PLACES, 1.0, 0.3)
    edges = [place - 0.12 for place in (*PLACES, 7.75)]
    for n in range(len(rows) + 1):
        y = 0.93 + 0.3 * n
        for off in (0.0, 0.03) if n in {0, 1, len(rows)} else (0.0,):
            sheet.line(edges[0], y + off, edges[-1], y + off)
    for x in edges:
        for off in (0.0, 0.03):
            sheet.line(x + off, 0.93, x + off, 0.93 + 0.3 * len(rows) + 0.03)
    return Page("boxes with double lines", [sheet.scanned()], [rows])


def heads_and_feet() -> Page:
    """Draw a running head, and a foot with the page's number."""
    sheet = Sheet(high=9.0)
    sheet.text(0.8, 0.3, "OTTER CARRIER")
    sheet.text(5.9, 0.3, "Amended March 1957")
    sheet.text(3.6, 0.7, "GROUP 3")
    rows = [HEAD, *PARTS]
    sheet.rows(rows, PLACES, 1.2)
    sheet.text(0.8, 8.4, "Parts List No. 61")
    sheet.text(4.0, 8.4, "- 27 -")
    return Page("running heads and feet", [sheet.scanned()], [rows])


def leaders() -> Page:
    """Draw dots that lead from the description, with used-on codes behind the quantity."""
    sheet = Sheet()
    codes = ["", "A", "A", "", "A", "B", "", "B", "", "C", "", "A", "", "D"]
    rows = _with(PARTS, codes, "Used on")
    places = (0.8, 1.5, 2.9, 6.0, 6.9)
    sheet.rows(rows, places, 1.0)
    for n, row in enumerate(rows[1:]):
        y = 1.27 + 0.27 * n
        sheet.leaders(sheet.text(places[2], y, row[2]), places[3], y)
    return Page("leaders with used-on behind", [sheet.scanned()], [rows])


def at_100() -> Page:
    """Draw a page of few dots."""
    return _plain("100 dots an inch", [HEAD, *PARTS], PLACES, dots=100)


def at_600() -> Page:
    """Draw a page of many dots."""
    return _plain("600 dots an inch", [HEAD, *PARTS], PLACES, dots=600)


def bilevel() -> Page:
    """Draw a page in black and white, its edges ragged, as a fax gives it."""
    page = _plain("black and white, as a fax", [HEAD, *PARTS], PLACES, dots=200, vera=True)
    chance = np.random.default_rng(5)
    grey = np.asarray(page.pictures[0], np.float32)
    grey = grey + chance.normal(0, 45, grey.shape)
    grey[chance.random(grey.shape) < 0.0005] = 0
    black = Image.fromarray((grey > 130).astype(np.uint8) * 255).convert("1")
    return Page(page.convention, [black], page.tables)


def figure_first() -> Page:
    """Draw the figure's number before the item's, given once a figure."""
    figures = ["3-1", "", "", "", "", "3-2", "", "", "", "", "", "3-3", "", ""]
    rows: Rows = [("Fig.", *HEAD)]
    rows += [(figure, *row) for figure, row in zip(figures, PARTS, strict=True)]
    return _plain("figure column before items", rows, (0.5, 1.1, 1.8, 3.1, 6.9))


def quantity_first() -> Page:
    """Draw the quantity first."""
    rows: Rows = [("Qty", "Description", "Part No.", "Item")]
    rows += [(count, words, number, item) for item, number, words, count in PARTS]
    return _plain("quantity first", rows, (0.8, 1.5, 5.3, 6.9), vera=True)


def dittos() -> Page:
    """Draw marks that mean the same as above (from memory in the table of conventions)."""
    rows = [HEAD, *PARTS[:2], ("3", "H-103-1", "BOLT, hexagon, 3/8 in.", "4"),
            ("4", "H-103-2", "do. 1/2 in.", "4"), ("5", "H-103-3", "do. 5/8 in.", "2"),
            ("6", "H-104-1", "WASHER, plain", "4"), ("7", '"', "ditto", "4"),
            ("8", "H-105-3", "ARM, drop, left", "1"), ("9", "H-105-4", '" " right', "1"),
            *PARTS[9:]]  # fmt: skip
    return _plain("dittos", rows, PLACES)


def heading_over_two() -> Page:
    """Draw a heading that stands over two columns with headings of their own."""
    sheet = Sheet(letter=0.12)
    sheet.text(6.25, 1.0, "Vehicle Nos.")
    head = ("Item", "Part No.", "Description", "Qty", "From", "To")
    spans = [("1", "250"), ("251", "612"), ("1", "400"), ("1", "400"), ("1", "612"), ("1", "612"),
             ("401", "612"), ("1", "250"), ("251", "612"), ("1", "88")]  # fmt: skip
    rows: Rows = [("", "", "", "", "Vehicle Nos.", ""), head]
    rows += [(*row, *span) for row, span in zip(PARTS, spans, strict=False)]
    sheet.rows(rows[1:], (0.5, 1.0, 2.0, 5.2, 6.1, 7.0), 1.25)
    return Page("heading over two columns", [sheet.scanned()], [rows])


LAYOUTS = (
    used_on, indenture, serials, continued, continued_without_headings, two_tables,
    two_tables_level, attaching, wrapped, sparse, boxes, heads_and_feet, leaders, at_100, at_600,
    bilevel, figure_first, quantity_first, dittos, heading_over_two,
)  # fmt: skip

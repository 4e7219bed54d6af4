"""Tables on paper: columns as wide as their words need, heads on every page, long texts whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .pdf_letters import Style
from .pdf_paper import BOTTOM, HEAD, LEFT, QUIET, RIGHT, TOP

if TYPE_CHECKING:
    from .pdf_letters import Letters, Line, Run
    from .pdf_paper import Paper
    from .setting import Row, Table

CELL, TITLE, HEADING = Style(8.5), Style(8.5, font="Text-Bold"), Style(8.5, font="Text-Bold")
BENEATH, LABEL, IDS = Style(8), Style(8, QUIET), Style(7, QUIET)
_LINE, _BENEATH_LINE, _PAD, _INDENT = 11.0, 10.4, 5.0, 14.0
#: The widest that a column of words is asked for, and how far a narrow table is spread.
_WIDEST, _SPREAD = 150.0, 1.5
#: The room to write by hand in a box.
_HAND = 80.0
#: A row of so many lines is not torn at the end of a page.
_KEPT = 12


def draw(paper: Paper, table: Table) -> None:
    """Draw a table from where the paper is, over as many pages as it needs."""
    drawn = _Drawing(paper, table)
    paper.need(90)
    drawn.head()
    for row in table.rows:
        drawn.row(row)
    paper.y -= 4


class _Drawing:
    """A table on its way to paper."""

    def __init__(self, paper: Paper, table: Table) -> None:
        self.paper, self.letters, self.table = paper, paper.letters, table
        self.widths = _widths(self.letters, table)
        self.edges = [LEFT + sum(self.widths[:n]) for n in range(len(self.widths))]
        self.right = self.edges[-1] + self.widths[-1]
        self.heads = [
            self.letters.wrap([(self.letters.fit(column.heading), HEADING)], wide - 2 * _PAD)
            for column, wide in zip(table.columns, self.widths, strict=True)
        ]

    def head(self) -> None:
        """Draw the headings."""
        paper = self.paper
        deep = max(map(len, self.heads))
        high = deep * _LINE + 5
        paper.y -= high
        paper.box(LEFT, paper.y, self.right - LEFT, high, HEAD)
        for place, lines in enumerate(self.heads):
            # short headings stand at the foot
            self._cell(place, lines, paper.y + 5 + _LINE * len(lines))

    def row(self, row: Row) -> None:
        """Draw a row; it is kept together unless it is long."""
        paper, letters = self.paper, self.letters
        cells = [
            letters.wrap([(letters.fit(words), _style(self.table, n))], wide - 2 * _PAD)
            for n, (words, wide) in enumerate(zip(row.beside, self.widths, strict=True))
        ]
        beneath = _beneath(letters, row, self.right - LEFT - _INDENT - _PAD)
        deep = max([2 * any(self.table.by_hand), *map(len, cells)])
        if deep + len(beneath) <= _KEPT:
            self._turn_if(deep * _LINE + len(beneath) * _BENEATH_LINE + 5)
        self._boxes()
        for start in range(0, deep, _KEPT):
            # a cell after the other, as they are read; a long row in pieces
            piece = min(deep - start, _KEPT)
            self._turn_if(piece * _LINE + 3)
            for place, lines in enumerate(cells):
                self._cell(place, lines[start : start + piece], paper.y)
            paper.y -= piece * _LINE
        for line in beneath:
            self._turn_if(_BENEATH_LINE + 3)
            paper.y -= _BENEATH_LINE
            paper.line(LEFT + _INDENT, paper.y, line)
        paper.y -= 4
        paper.rule(paper.y, to=self.right)

    def _turn_if(self, high: float) -> None:
        if self.paper.need(high):
            self.head()

    def _cell(self, place: int, lines: list[Line], top: float) -> None:
        """Set the lines of a cell below each other, figures at the right."""
        x, wide = self.edges[place], self.widths[place]
        at_right = self.table.columns[place].kind in ("number", "share")
        for number, line in enumerate(lines, 1):
            used = sum(self.letters.width(text, style) for text, style in line) if at_right else 0
            left = x + wide - _PAD - used if at_right else x + _PAD
            self.paper.line(left, top - number * _LINE, line)

    def _boxes(self) -> None:
        """Draw boxes to write in, two lines high."""
        for x, wide, is_wanted in zip(self.edges, self.widths, self.table.by_hand, strict=True):
            if is_wanted:
                self.paper.frame(x + 2, self.paper.y - 2 * _LINE - 2, wide - 4, 2 * _LINE)


def _beneath(letters: Letters, row: Row, width: float) -> list[Line]:
    if not row.beneath:
        return []
    runs: list[Run] = []
    for column, words in row.beneath:
        if runs:
            runs.append(("·", LABEL))
        runs.append((letters.fit(column.heading) + ":", LABEL))
        runs.append((letters.fit(words), IDS if column.kind == "ids" else BENEATH))
    return letters.wrap(runs, width)


def _style(table: Table, place: int) -> Style:
    if table.columns[place].kind == "ids":
        return IDS
    return TITLE if place == table.titled else CELL


def _widths(letters: Letters, table: Table) -> list[float]:
    """As wide as words need; shared out where there is not so much room, or more."""
    asked, least = [], []
    for n, column in enumerate(table.columns):
        words = [letters.fit(row.beside[n]) for row in table.rows]
        heading = letters.fit(column.heading)
        style = _style(table, n)
        single = max(
            [letters.width(one, style) for text in words for one in text.split()]
            + [letters.width(one, HEADING) for one in heading.split()],
            default=10,
        )
        whole = max(
            [letters.width(line, style) for text in words for line in text.split("\n")] + [single]
        )
        if table.by_hand[n]:
            single = whole = max(single, _HAND)
        least.append(min(single, _WIDEST) + 2 * _PAD)
        asked.append(max(min(whole, _WIDEST) + 2 * _PAD, least[-1]))
    room = RIGHT - LEFT
    if sum(asked) <= room:
        spread = min(_SPREAD, room / sum(asked))
        return [wide * spread for wide in asked]
    if sum(least) >= room:
        return [wide * room / sum(least) for wide in least]
    share = (room - sum(least)) / (sum(asked) - sum(least))
    return [low + (wide - low) * share for low, wide in zip(least, asked, strict=True)]


assert TOP - BOTTOM > _KEPT * _LINE + 60  # a row that is not torn fits a page below its head

"""Tables on paper: columns as wide as their words need, heads on every page, long texts whole."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .pdf_letters import Style
from .pdf_paper import BOTTOM, HEAD, LEFT, QUIET, RIGHT, TOP

if TYPE_CHECKING:
    from .pdf_letters import Letters, Line, Run
    from .pdf_paper import Paper
    from .setting import Row, Table

CELL, FIRST, HEADING = Style(8.5), Style(8.5, font="Text-Bold"), Style(8.5, font="Text-Bold")
BENEATH, LABEL, IDS = Style(8), Style(8, QUIET), Style(7, QUIET)
_LINE, _BENEATH_LINE, _PAD, _INDENT = 11.0, 10.4, 5.0, 14.0
#: The widest that a column of words is asked for, and how far a narrow table is spread.
_WIDEST, _SPREAD = 150.0, 1.5
#: A row of so many lines is not torn at the end of a page.
_KEPT = 12


def draw(paper: Paper, table: Table) -> None:
    """Draw a table from where the paper is, over as many pages as it needs."""
    letters = paper.letters
    widths = _widths(letters, table)
    edges = [LEFT + sum(widths[:n]) for n in range(len(widths))]
    right = edges[-1] + widths[-1]
    heads = [
        letters.wrap([(letters.fit(column.heading), HEADING)], wide - 2 * _PAD)
        for column, wide in zip(table.columns, widths, strict=True)
    ]
    sides = [_is_figure(column.kind) for column in table.columns]

    def head() -> None:
        high = max(map(len, heads)) * _LINE + 5
        paper.y -= high
        paper.box(LEFT, paper.y, right - LEFT, high, HEAD)
        for x, wide, lines, is_figure in zip(edges, widths, heads, sides, strict=True):
            lowest = paper.y + 5 + _LINE * (len(lines) - 1)
            _column(paper, x, wide, lowest, lines, at_right=is_figure)

    def turn_if(high: float) -> None:
        if paper.need(high):
            head()

    paper.need(90)
    head()
    for row in table.rows:
        cells = [
            letters.wrap([(letters.fit(words), _style(column.kind, n))], wide - 2 * _PAD)
            for n, (column, words, wide) in enumerate(
                zip(table.columns, row.beside, widths, strict=True)
            )
        ]
        beneath = _beneath(letters, row, right - LEFT - _INDENT - _PAD)
        deep = max(map(len, cells))
        if deep + len(beneath) <= _KEPT:
            turn_if(deep * _LINE + len(beneath) * _BENEATH_LINE + 5)
        for number in range(deep):
            turn_if(_LINE + 3)
            paper.y -= _LINE
            for x, wide, lines, is_figure in zip(edges, widths, cells, sides, strict=True):
                _column(paper, x, wide, paper.y, lines[number : number + 1], at_right=is_figure)
        for line in beneath:
            turn_if(_BENEATH_LINE + 3)
            paper.y -= _BENEATH_LINE
            paper.line(LEFT + _INDENT, paper.y, line)
        paper.y -= 4
        paper.rule(paper.y, to=right)
    paper.y -= 4


def _column(
    paper: Paper, x: float, wide: float, y: float, lines: list[Line], *, at_right: bool
) -> None:
    for line in lines:
        if at_right:
            [(text, style)] = line or [("", CELL)]
            paper.right(x + wide - _PAD, y, text, style)
        else:
            paper.line(x + _PAD, y, line)
        y -= _LINE


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


def _style(kind: str, place: int) -> Style:
    if kind == "ids":
        return IDS
    return FIRST if place == 0 else CELL


def _is_figure(kind: str) -> bool:
    return kind in ("number", "share")


def _widths(letters: Letters, table: Table) -> list[float]:
    """As wide as words need; shared out where there is not so much room, or more."""
    asked, least = [], []
    for n, column in enumerate(table.columns):
        words = [letters.fit(row.beside[n]) for row in table.rows]
        heading = letters.fit(column.heading)
        style = _style(column.kind, n)
        single = max(
            [letters.width(one, style) for text in words for one in text.split()]
            + [letters.width(one, HEADING) for one in heading.split()],
            default=10,
        )
        whole = max(
            [letters.width(line, style) for text in words for line in text.split("\n")] + [single]
        )
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

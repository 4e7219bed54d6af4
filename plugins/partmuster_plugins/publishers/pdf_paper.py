"""Sheets of A4, laid across: where the next line goes, feet with numbers, and what leads where."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from reportlab.lib.colors import HexColor
from reportlab.lib.pagesizes import A4, landscape
from reportlab.pdfgen.canvas import Canvas

from .pdf_letters import Style

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from .pdf_letters import Letters, Line, Run

WIDE, HIGH = landscape(A4)
LEFT, RIGHT, TOP, BOTTOM = 36.0, WIDE - 36, HIGH - 34, 46.0
INK, QUIET, GREEN, RULE, HEAD = "#1d2320", "#4b534e", "#2c5f50", "#b4bab1", "#e8ebe2"
_FOOT, _NUMBER = Style(8, QUIET), Style(10)
_TOTAL = "pages"


class Paper:
    """The sheets of one document; ``y`` is where the next line goes."""

    def __init__(self, letters: Letters, foot: str, properties: dict[str, str]) -> None:
        self.letters = letters
        self.y = TOP
        self.page = 1
        self._foot = letters.cut(letters.fit(foot), _FOOT, RIGHT - LEFT - 90)
        self._to = io.BytesIO()
        self._places: dict[str, int] = {}
        self.canvas = Canvas(
            self._to, pagesize=(WIDE, HIGH), invariant=1, pageCompression=1, lang="en"
        )
        self.canvas.setTitle(properties["title"])
        self.canvas.setAuthor(properties["author"])
        self.canvas.setSubject(properties["subject"])
        self.canvas.setCreator("partmuster")
        self.canvas.setViewerPreference("DisplayDocTitle", "true")

    def need(self, height: float) -> bool:
        """Begin a new page unless there is so much room; say whether it was begun."""
        if self.y - height >= BOTTOM or self.y == TOP:
            return False
        self.turn()
        return True

    def turn(self) -> None:
        """End this page and begin the next."""
        self._end_page()
        self.canvas.showPage()
        self.page += 1
        self.y = TOP

    def write(
        self, runs: Iterable[Run], *, width: float = RIGHT - LEFT, indent: float = 0,
        leading: float = 1.35, after: float = 3,
    ) -> None:  # fmt: skip
        """Write words down the page, over as many pages as they need."""
        for line in self.letters.wrap(runs, width - indent):
            high = leading * max((style.size for _, style in line), default=8)
            self.need(high)
            self.y -= high
            self.line(LEFT + indent, self.y + high * 0.24, line)
        self.y -= after

    def write_in_columns(self, listed: Iterable[Sequence[Run]], leading: float) -> None:
        """Write short things in two columns, down the first and then the second of each page."""
        wide = (RIGHT - LEFT - 36) / 2
        waiting = [self.letters.wrap(runs, wide) for runs in listed]
        while waiting:
            room = max(1, int((self.y - BOTTOM) / leading))
            # where all that is left fits this page, both columns are alike
            deep = min(room, (sum(map(len, waiting)) + 1) // 2 + 3)
            top, lowest = self.y, self.y
            for x in (LEFT, LEFT + wide + 36):
                self.y = top
                left = deep
                while waiting and (len(waiting[0]) <= left or left == deep):
                    lines, rest = waiting[0][:left], waiting[0][left:]
                    waiting[:1] = [rest] if rest else []
                    for line in lines:
                        self.y -= leading
                        self.line(x, self.y, line)
                    left -= len(lines)
                lowest = min(lowest, self.y)
            self.y = lowest
            if waiting:
                self.turn()

    def line(self, x: float, y: float, line: Line) -> None:
        """Set one line of words."""
        for text, style in line:
            self.canvas.setFillColor(HexColor(style.ink))
            self.canvas.setFont(style.font, style.size)
            self.canvas.drawString(x, y, text)
            x += self.letters.width(text, style)

    def right(self, x: float, y: float, text: str, style: Style) -> None:
        """Set words that end at ``x``."""
        self.line(x - self.letters.width(text, style), y, [(text, style)])

    def rule(self, y: float, ink: str = RULE, thick: float = 0.5, to: float = RIGHT) -> None:
        """Draw a line across the page, or as far as is said."""
        self.canvas.setStrokeColor(HexColor(ink))
        self.canvas.setLineWidth(thick)
        self.canvas.line(LEFT, y, to, y)

    def box(self, x: float, y: float, wide: float, high: float, fill: str) -> None:
        """Fill a box."""
        self.canvas.setFillColor(HexColor(fill))
        self.canvas.rect(x, y, wide, high, stroke=0, fill=1)

    def frame(self, x: float, y: float, wide: float, high: float) -> None:
        """Draw an empty box."""
        self.canvas.setStrokeColor(HexColor(QUIET))
        self.canvas.setLineWidth(0.6)
        self.canvas.rect(x, y, wide, high, stroke=1, fill=0)

    def place(self, anchor: str, title: str) -> None:
        """Say that something begins here, for contents and outline."""
        self._places[anchor] = self.page
        self.canvas.bookmarkHorizontal(anchor, 0, self.y)
        self.canvas.addOutlineEntry(title, anchor, 0)

    def contents(self, listed: Sequence[tuple[str, str, str]]) -> None:
        """Write what leads where, in two columns: anchor, title, and how much there is."""
        style, quiet = _NUMBER, Style(9, QUIET)
        wide, high = (RIGHT - LEFT - 36) / 2, 15.5
        half = (len(listed) + 1) // 2
        self.need(min(half * high, 300))
        while listed:
            rows = min(half, max(1, int((self.y - BOTTOM) / high)))
            for place, (anchor, title, count) in enumerate(listed[: 2 * rows]):
                x = LEFT + (place // rows) * (wide + 36)
                y = self.y - (place % rows + 1) * high
                room = wide - self.letters.width(count, quiet) - 42
                words = self.letters.cut(self.letters.fit(title), style, room)
                self.line(x, y + 4, [(words, style), (f"  {count}", quiet)])
                self._number(anchor, x + wide, y + 4)
                self.canvas.linkRect("", anchor, (x, y, x + wide, y + high), relative=1)
            listed = listed[2 * rows :]
            self.y -= rows * high
            if listed:
                half = (len(listed) + 1) // 2
                self.turn()

    def _number(self, name: str, x: float, y: float) -> None:
        """Set a number that is known at the end only: a form that is drawn then."""
        self.canvas.saveState()
        self.canvas.translate(x, y)
        self.canvas.doForm(name)
        self.canvas.restoreState()

    def _end_page(self) -> None:
        self.rule(BOTTOM - 8)
        self.line(LEFT, BOTTOM - 20, [(self._foot, _FOOT)])
        self.right(RIGHT - 16, BOTTOM - 20, f"page {self.page} of", _FOOT)
        self._number(_TOTAL, RIGHT - 14, BOTTOM - 20)

    def finish(self) -> bytes:
        """End the last page, set the numbers that were left open, and return the file."""
        self._end_page()
        self.canvas.showPage()
        numbers = [(_TOTAL, self.page, 0.0, _FOOT)]
        for name, page in self._places.items():
            wide = self.letters.width(str(page), _NUMBER)
            numbers.append((name, page, -wide, _NUMBER))
        for name, number, x, style in numbers:
            self.canvas.beginForm(name, -40, -6, 40, 14)
            self.line(x, 0, [(str(number), style)])
            self.canvas.endForm()
        self.canvas.save()
        return self._to.getvalue()

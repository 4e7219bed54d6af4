"""A club with one parts list of two pages, and a proof of it taken apart; for tests."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import TYPE_CHECKING

from click.testing import CliRunner
from reportlab.pdfgen.canvas import Canvas

from partmuster.cli import main
from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE

if TYPE_CHECKING:
    from pathlib import Path

A4 = (595, 842)
TOP, STEP = 110, 19
#: The rows of the two pages; those that cannot be loaded are the fourth and fifth of the first.
FIRST = (
    *ROWS[:3],
    ("4", "H-104-1", "WASHER, spring, <script>alert(1)</script> & more", "umpteen"),
    ("5", "H-105-3", "FROBNICATOR, <b>bold</b>", "1"),
)
SECOND = ROWS[6:8]


def write_list(path: Path) -> Path:
    """Write a PDF of two pages that carries its text: no engine has to read it."""
    canvas = Canvas(str(path), pagesize=A4)
    for rows in (FIRST, SECOND):
        canvas.setFont("Helvetica", 10)
        canvas.drawString(58, A4[1] - 80, TITLE)
        for n, row in enumerate([HEADINGS, *rows]):
            for cell, place in zip(row, PLACES, strict=True):
                canvas.drawString(place * 72, A4[1] - TOP - STEP * n, cell)
        canvas.showPage()
    canvas.save()
    return path


def call(club: Path, *words: object) -> tuple[int, str]:
    """Return the exit code of a command, and what it printed."""
    done = CliRunner().invoke(main, ["--club", str(club), *map(str, words)])
    assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
    return done.exit_code, done.output


@dataclass
class Tag:
    """One element: what it is, what it says of itself, its text, and what it stands in."""

    name: str
    told: dict[str, str]
    above: Tag | None
    texts: list[str] = field(default_factory=list)

    @property
    def text(self) -> str:
        return " ".join("".join(self.texts).split())

    def within(self, name: str) -> Tag:
        """Return the nearest element of a name around this one."""
        tag = self.above
        while tag is not None and tag.name != name:
            tag = tag.above
        assert tag is not None, f"<{self.name}> stands in no <{name}>"
        return tag


class Proof(HTMLParser):
    """The elements of a proof, in order."""

    EMPTY = frozenset({"meta", "img", "br", "rect", "link", "input", "hr"})

    def __init__(self, text: str) -> None:
        super().__init__()
        self.all: list[Tag] = []
        self.open: list[Tag] = []
        self.feed(text)
        self.close()
        assert [tag.name for tag in self.open] == []

    def handle_starttag(self, tag, attrs):
        new = Tag(tag, {k: v or "" for k, v in attrs}, self.open[-1] if self.open else None)
        self.all.append(new)
        if tag not in self.EMPTY:
            self.open.append(new)

    def handle_endtag(self, tag):
        if tag not in self.EMPTY:
            assert self.open.pop().name == tag

    def handle_data(self, data):
        for tag in self.open:
            tag.texts.append(data)

    def named(self, *names: str) -> list[Tag]:
        return [tag for tag in self.all if tag.name in names]

    def by_id(self, identifier: str) -> Tag:
        [found] = [tag for tag in self.all if tag.told.get("id") == identifier]
        return found

"""Web pages to lines, as they are seen: no script runs, nothing is fetched, nothing hidden read."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from html.parser import HTMLParser

from .decoding import readable
from .expressions import expression
from .limits import DEEPEST_PAGE
from .lines import BLANK, Line, NotRead, kept_short

#: Never shown, or no text of the page.
_UNSEEN = frozenset(
    {"script", "style", "template", "noscript", "head", "title", "svg", "math", "textarea",
     "select", "button", "object", "iframe", "audio", "video", "canvas", "datalist", "noframes",
     "noembed", "rt", "rp", "map", "dialog"}
)  # fmt: skip
_HEADINGS = frozenset({"h1", "h2", "h3", "h4", "h5", "h6"})
#: Begin and end a paragraph.
_BLOCKS = _HEADINGS | {
    "p", "div", "ul", "ol", "li", "table", "tr", "td", "th", "blockquote", "pre", "hr", "dl", "dt",
    "dd", "section", "article", "header", "footer", "main", "aside", "nav", "figure", "figcaption",
    "address", "form", "fieldset", "body", "html", "caption", "center", "details", "summary",
    "tbody", "thead", "tfoot",
}  # fmt: skip
_EMPTY = frozenset(
    {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "param", "source",
     "track", "wbr"}
)  # fmt: skip
_STRUCK = frozenset({"s", "strike", "del"})
#: What ends by itself where the next of its kind begins, up to the mark that holds them.
_ENDS_BY_ITSELF = {
    "li": ({"li"}, {"ul", "ol"}), "p": ({"p"}, {"div", "td", "th", "li", "blockquote"}),
    "tr": ({"tr", "td", "th"}, {"table"}), "td": ({"td", "th"}, {"table", "tr"}),
    "th": ({"td", "th"}, {"table", "tr"}), "dt": ({"dt", "dd"}, {"dl"}),
    "dd": ({"dt", "dd"}, {"dl"}),
}  # fmt: skip
_NOT_SHOWN = expression(
    r"display\s*:\s*none|visibility\s*:\s*hidden|font-size\s*:\s*0(?:px|pt)?\s*(?:;|$)"
    r"|mso-hide\s*:\s*all",
    re.IGNORECASE,
)
_LINED_THROUGH = expression(r"text-decoration[^;]*:[^;]*line-through", re.IGNORECASE)
#: What is packed into a page, such as pictures, is longer than all that is written in it.
_PACKED = expression(r"\bdata:[\w/+.-]{1,60};base64,[\w+/=%\s]{100,}")
#: Conditions that some programs put into their pages.
_CONDITION = expression(r"<!\[[^\[\]<>]{0,200}(?:\]>|\[|\]-->)")
_MAY_BEGIN = expression(r"<(!--|[a-zA-Z/!?])?")
#: A mark is no longer than this.
_LONGEST_MARK = 1 << 16
#: Stands for a "<" that begins no mark.
_LESS = "\ue000"


def lines_of_page(text: str, not_read: NotRead) -> list[Line]:
    """Return the lines of a web page; what is struck through is left out and named."""
    page = _Page(not_read)
    page.feed(_whole_marks(_CONDITION.sub("", _PACKED.sub("", text))))
    page.close()
    return page.finish()


def _whole_marks(text: str) -> str:
    """Return a page in which each "<" begins a mark that ends: the parser's time stays bounded."""
    done: list[str] = []
    at = end = comment_end = 0
    for found in _MAY_BEGIN.finditer(text):
        start = found.start()
        if 0 <= end < start:
            end = text.find(">", start)
        if 0 <= comment_end < start:
            comment_end = text.find("-->", start)
        ends = comment_end if found[1] == "!--" else end
        whole = ends >= 0 and (found[1] == "!--" or ends - start <= _LONGEST_MARK)
        if found[1] is None or not whole or text.startswith("<![", start):
            done += (text[at:start], _LESS)
            at = start + 1
    return "".join((*done, text[at:]))


@dataclass(slots=True)
class _Mark:
    tag: str
    unseen: bool
    struck: bool


@dataclass(slots=True)
class _Table:
    """A table under way: the rows with their cells, and the same as lines if it only lays out."""

    row: int = 0
    cells: list[list[str]] = field(default_factory=list)
    lines: list[Line] = field(default_factory=list)
    rows: list[Line] = field(default_factory=list)
    lays_out: bool = True
    nested: bool = False


class _Page(HTMLParser):
    def __init__(self, not_read: NotRead) -> None:
        super().__init__(convert_charrefs=True)
        self._not_read = not_read
        self._lines: list[Line] = []
        self._open: list[_Mark] = []
        self._tables: list[_Table] = []
        self._texts: list[str] = []
        self._struck: list[str] = []
        self._is_item = self._is_heading = False
        self._level = self._number = self._count = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take a mark's beginning."""
        self._end_by_itself(tag)
        told = dict(attrs)
        style = told.get("style") or ""
        if tag in _BLOCKS:
            self._flush()
        if tag == "br":
            self._break()
        if tag in _EMPTY:
            return
        above = self._open[-1] if self._open else None
        unseen = tag in _UNSEEN or "hidden" in told or bool(_NOT_SHOWN.search(style))
        struck = tag in _STRUCK or bool(_LINED_THROUGH.search(style))
        if len(self._open) >= DEEPEST_PAGE:
            self._open.pop()  # ends early, so that what comes is read beside it
        self._open.append(
            _Mark(
                tag,
                unseen or (above is not None and above.unseen and tag != "body"),
                struck or (above is not None and above.struck),
            )
        )
        self._begin(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Take a mark that ends itself; only those that are always empty may."""
        self.handle_starttag(tag, attrs)

    def handle_endtag(self, tag: str) -> None:
        """Take a mark's end; of one that never began nothing is thought."""
        if tag == "br":
            self._break()
        if tag in _BLOCKS:
            self._flush()
        at = next(
            (at for at in range(len(self._open) - 1, -1, -1) if self._open[at].tag == tag), -1
        )
        if at < 0:
            return
        for mark in reversed(self._open[at:]):
            self._end(mark.tag)
        del self._open[at:]

    def handle_data(self, data: str) -> None:
        """Take text."""
        above = self._open[-1] if self._open else None
        if above is not None and above.unseen:
            return
        if above is not None and above.struck:
            self._struck.append(data)
            return
        data = data.replace(_LESS, "<")
        kept = any(mark.tag == "pre" for mark in self._open)
        parts = data.split("\n") if kept else [data]
        for at, part in enumerate(parts):
            if at:
                self._break()
            self._texts.append(part)

    def finish(self) -> list[Line]:
        """Return the lines, once all has been read."""
        self._flush()
        while self._tables:
            self._end("table")
        return self._lines

    def _begin(self, tag: str) -> None:
        if tag == "table":
            for table in self._tables:
                table.nested = True
            if len(self._tables) < DEEPEST_PAGE:
                self._tables.append(_Table())
                self._count += 1
        elif tag == "tr" and self._tables:
            self._end_row()
            self._tables[-1].row += 1
        elif tag in {"td", "th"} and self._tables:
            self._tables[-1].cells.append([])
        elif tag == "li":
            self._is_item = True
        elif tag in _HEADINGS:
            self._is_heading = True
        elif tag == "blockquote":
            self._level += 1

    def _end(self, tag: str) -> None:
        if tag in _BLOCKS:
            self._flush()
        if tag == "blockquote":
            self._level = max(0, self._level - 1)
        elif tag == "li":
            self._is_item = False
        elif tag in _HEADINGS:
            self._is_heading = False
        elif tag == "tr" and self._tables:
            self._end_row()
        elif tag == "table" and self._tables:
            self._end_row()
            table = self._tables.pop()
            lines = table.lines if table.lays_out or table.nested else table.rows
            (self._tables[-1].lines if self._tables else self._lines).extend(lines)

    def _end_by_itself(self, tag: str) -> None:
        """End what a mark's beginning ends: an item where the next one begins."""
        ended, held_by = _ENDS_BY_ITSELF.get(tag, (set(), set()))
        if not ended:
            return
        for mark in reversed(self._open):
            if mark.tag in held_by:
                return
            if mark.tag in ended:
                self.handle_endtag(mark.tag)
                if tag != "tr":
                    return

    def _break(self) -> None:
        """End a line within a paragraph."""
        self._put(ends=False)

    def _flush(self) -> None:
        """End a paragraph."""
        self._put(ends=True)

    def _put(self, *, ends: bool) -> None:
        text = " ".join(readable("".join(self._texts)).split())
        struck = " ".join(readable("".join(self._struck)).split())
        self._texts.clear()
        self._struck.clear()
        place = f"paragraph {self._number + 1}"
        if struck:
            self._not_read.append((f"{place}: '{struck}'", "it is struck through"))
        if text:
            text = kept_short(text, place, self._not_read)
            self._number += 1
        table = self._tables[-1] if self._tables else None
        if text and table is not None and table.cells:
            table.cells[-1].append(text)
        lines = self._lines if table is None else table.lines
        if text:
            kind = "heading" if self._is_heading else "item" if self._is_item else "words"
            lines.append(Line(text, self._number, place, kind, level=self._level))  # type: ignore[arg-type]
            self._is_item = False
        if (ends or not text) and lines and lines[-1].text:
            lines.append(BLANK)

    def _end_row(self) -> None:
        """Put a row's cells together."""
        table = self._tables[-1]
        cells = tuple(" ".join(cell) for cell in table.cells)
        table.cells = []
        if not any(cells):
            return
        table.lays_out = table.lays_out and sum(map(bool, cells)) < 2  # noqa: PLR2004
        place = f"table {self._count}, row {table.row}"
        table.rows += [
            Line(" | ".join(cells), self._number, place, "cells", level=self._level, cells=cells),
            BLANK,
        ]

"""What a document's elements mean, as they come by one after the other."""

from __future__ import annotations

from dataclasses import dataclass, field

from .lines import Line, NotRead

#: Within these nothing is read: what was deleted or changed since, what is shown elsewhere too.
_PASSED_OVER = frozenset(
    {"del", "moveFrom", "Fallback", "pPrChange", "rPrChange", "tblPrChange", "trPrChange",
     "tcPrChange", "sectPrChange", "numberingChange", "instrText", "delText", "delInstrText",
     "rt"}
)  # fmt: skip
_NAMED = {
    "txbxContent": ("text boxes", "they stand beside the text"),
    "drawing": ("pictures", "they are no text"),
    "pict": ("pictures", "they are no text"),
    "object": ("things of other programs", "they are no text"),
    "footnoteReference": ("footnotes", "they stand outside the text"),
    "endnoteReference": ("endnotes", "they stand outside the text"),
}
_PASSED_AND_NAMED = frozenset({"txbxContent", "object"})
_NO = frozenset({"0", "false", "off", "none"})
_SIGNS = {"tab": "\t", "noBreakHyphen": "-", "softHyphen": ""}


@dataclass(slots=True)
class _Style:
    name: str = ""
    based_on: str = ""
    listed: bool = False
    outlined: bool = False


class Styles:
    """The styles of a document: which are headings, and which are lists."""

    def __init__(self) -> None:
        self._styles: dict[str, _Style] = {}
        self._own = _Style()

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Take an element of the part that holds the styles."""
        element, told = tag.rpartition(" ")[2], _told(attributes)
        if element == "style":
            self._own = _Style()
            self._styles[told.get("styleId", "")] = self._own
        elif element == "name":
            self._own.name = told.get("val", "").lower()
        elif element == "basedOn":
            self._own.based_on = told.get("val", "")
        elif element == "numId":
            self._own.listed = told.get("val") != "0"
        elif element == "outlineLvl":
            self._own.outlined = _is_level(told.get("val"))

    def end(self, tag: str) -> None:
        """Take an element's end."""

    def kinds(self, style: str) -> tuple[bool, bool, bool]:
        """Return whether a style is a heading, a list, a quotation; what it is based on counts."""
        heading = listed = quoted = False
        seen: set[str] = set()
        while style and style not in seen:
            seen.add(style)
            one = self._styles.get(style) or _Style(style.lower())
            heading |= one.outlined or one.name.startswith(("heading", "title", "subtitle"))
            listed |= one.listed or one.name.startswith(("list bullet", "list number"))
            quoted |= one.name in {"quote", "intense quote"}
            style = one.based_on
        return heading, listed and not heading, quoted


@dataclass(slots=True)
class _Paragraph:
    texts: list[str] = field(default_factory=list)
    struck: list[str] = field(default_factory=list)
    style: str = ""
    listed: bool | None = None
    outlined: bool = False
    goes_on: bool = False


class Elements:
    """Reads a document's text: ``lines`` are its paragraphs and rows, in order."""

    def __init__(self, styles: Styles) -> None:
        self.lines: list[Line] = []
        self.not_read: NotRead = []
        self._styles = styles
        self._passing = 0  # how deep within what is not read
        self._path: list[str] = []
        self._paragraph: _Paragraph | None = None
        self._run_struck = self._run_hidden = self._in_text = False
        self._number = self._tables = self._row = self._depth = 0
        self._cells: list[list[str]] = []
        self._named: set[str] = set()

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Take an element's beginning."""
        element = tag.rpartition(" ")[2]
        within = self._path[-1] if self._path else ""
        self._path.append(element)
        if element in _NAMED and not self._passing:
            self._name(*_NAMED[element])
        marks_end = element == "del" and within == "rPr"  # of a paragraph's end, not of its text
        if self._passing or element in _PASSED_AND_NAMED or (
            element in _PASSED_OVER and not marks_end
        ):  # fmt: skip
            self._passing += 1
            return
        told = _told(attributes)
        if element == "tbl":
            self._depth += 1
            if self._depth == 1:
                self._tables, self._row = self._tables + 1, 0
        elif element == "tr" and self._depth == 1:
            self._row, self._cells = self._row + 1, []
        elif element == "tc" and self._depth == 1:
            self._cells.append([])
        elif element == "p":
            self._begin_paragraph()
        elif self._paragraph is not None:
            self._within(element, told, marks_end=marks_end)

    def end(self, tag: str) -> None:
        """Take an element's end."""
        element = tag.rpartition(" ")[2]
        self._path.pop()
        if self._passing:
            self._passing -= 1
            return
        if element == "t":
            self._in_text = False
        elif element == "r":
            self._run_struck = self._run_hidden = False
        elif element == "p":
            self._end_paragraph()
        elif element == "tr" and self._depth == 1:
            self._end_row()
        elif element == "tbl":
            self._depth -= 1

    def words(self, text: str) -> None:
        """Take text."""
        if self._in_text and not self._passing:
            self._add(text)

    def _begin_paragraph(self) -> None:
        if self._paragraph is None or not self._paragraph.goes_on:
            self._paragraph = _Paragraph()
        self._paragraph.goes_on = False

    def _within(self, element: str, told: dict[str, str], *, marks_end: bool) -> None:
        paragraph = self._paragraph
        assert paragraph is not None
        on = told.get("val", "") not in _NO
        if element == "t":
            self._in_text = True
        elif element in _SIGNS and "tabs" not in self._path:
            self._add(_SIGNS[element])
        elif element in {"br", "cr"} and told.get("type", "textWrapping") == "textWrapping":
            self._add("\n")
        elif element == "pStyle":
            paragraph.style = told.get("val", "")
        elif element == "numId":
            paragraph.listed = told.get("val") != "0"
        elif element == "outlineLvl":
            paragraph.outlined = _is_level(told.get("val"))
        elif marks_end:
            paragraph.goes_on = "pPr" in self._path
        elif element in {"strike", "dstrike"} and "pPr" not in self._path:
            self._run_struck = on
        elif element in {"vanish", "webHidden"} and "pPr" not in self._path:
            self._run_hidden = on

    def _add(self, text: str) -> None:
        assert self._paragraph is not None
        if self._run_hidden:
            if text.strip():
                self._name("hidden text", "it is not shown")
        elif self._run_struck:
            self._paragraph.struck.append(text)
        else:
            self._paragraph.texts.append(text)

    def _end_paragraph(self) -> None:
        paragraph = self._paragraph
        if paragraph is None or paragraph.goes_on:
            return
        self._paragraph = None
        text, struck = "".join(paragraph.texts), " ".join("".join(paragraph.struck).split())
        if struck:
            self.not_read.append((f"{self._place(self._number + 1)}: '{struck}'",
                                  "it is struck through"))  # fmt: skip
        if self._depth:
            if self._cells and text.strip():
                self._cells[-1].append(" ".join(text.split()))
            return
        if not text.strip():
            return
        self._number += 1
        heading, listed, quoted = self._styles.kinds(paragraph.style)
        listed = listed if paragraph.listed is None else paragraph.listed
        heading = heading or paragraph.outlined
        for line in text.split("\n"):
            self.lines.append(
                Line(
                    " ".join(line.split()), self._number, self._place(self._number),
                    "heading" if heading else "item" if listed else "words",
                    level=int(quoted),
                )
            )  # fmt: skip

    def _end_row(self) -> None:
        cells = tuple(" ".join(cell) for cell in self._cells)
        if any(cells):
            self._number += 1
            place = f"table {self._tables}, row {self._row}"
            self.lines.append(Line(" | ".join(cells), self._number, place, "cells", cells=cells))

    def _place(self, number: int) -> str:
        return f"table {self._tables}, row {self._row}" if self._depth else f"paragraph {number}"

    def _name(self, what: str, why: str) -> None:
        if what not in self._named:
            self._named.add(what)
            self.not_read.append((what, why))


def _told(attributes: dict[str, str]) -> dict[str, str]:
    return {name.rpartition(" ")[2]: value for name, value in attributes.items()}


def _is_level(value: str | None) -> bool:
    """Return whether an outline's level is a heading's: 9 is that of the text."""
    return (value or "").isdecimal() and int(value or 9) < 9  # noqa: PLR2004

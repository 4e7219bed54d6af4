"""Lines on their way from a file to paragraphs."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING, Literal, TypeAlias

from .limits import LONGEST_LINE

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

#: What was left out, and why.
NotRead: TypeAlias = list[tuple[str, str]]


@dataclass(frozen=True, slots=True)
class Line:
    """A line of a file, or a paragraph of a document.

    An empty one ends a paragraph. ``level``: how often it is quoted. ``goes_on``: whether the next
    line belongs to the same paragraph, where the file itself says so.
    """

    text: str
    row: int | None = None
    place: str = ""
    kind: Literal["words", "heading", "item", "cells"] = "words"
    level: int = 0
    indent: int = 0
    cells: tuple[str, ...] | None = None
    page: int | None = None
    box: str | None = None
    unsure: tuple[str, ...] = ()
    goes_on: bool | None = None


#: Ends a paragraph.
BLANK = Line("")


def numbered_lines(text: str, not_read: NotRead) -> list[Line]:
    """Return the lines of a text, numbered from 1; one beyond all measure is left out."""
    lines = []
    for row, said in enumerate(text.split("\n"), start=1):
        place = f"line {row}"
        lines.append(Line(kept_short(said.rstrip(), place, not_read), row, place))
    return lines


def kept_short(text: str, place: str, not_read: NotRead) -> str:
    """Return a text, or nothing where it is too long to be writing."""
    if len(text) <= LONGEST_LINE:
        return text
    not_read.append((place, f"it is {len(text):,} characters long: no writing"))
    return ""


def blocks_of(lines: Iterable[Line]) -> Iterator[list[Line]]:
    """Yield the lines between empty ones."""
    for is_text, block in groupby(lines, lambda line: bool(line.text)):
        if is_text:
            yield list(block)


def left_out(lines: Sequence[Line], reason: str, not_read: NotRead) -> None:
    """Say that lines were left out, by the first and the last of them that hold anything."""
    filled = [line for line in lines if line.text]
    if filled:
        first, last = filled[0].place, filled[-1].place
        not_read.append((first if first == last else f"{first} to {last}", reason))

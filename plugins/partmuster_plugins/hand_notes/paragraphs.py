"""Lines to paragraphs: what was wrapped by hand or by a program is joined again.

A line that is full goes on in the next one: the first word there had no room. How wide a text is,
and whether it is wrapped at all, its own lines tell; a list of statements is not.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

from .documents import Paragraph
from .expressions import expression
from .lines import blocks_of

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from .lines import Line

#: Wrapped text is so wide, in characters; narrower text must tell more clearly that it is wrapped.
_NARROW, _WIDEST = 56, 110
#: So often must a text be wrapped for its width to hold for blocks that do not tell.
_FEWEST_JOINTS = 4
#: So much room may be left besides the first word of the next line.
_SLACK = 2
#: A line of this part of the width that ends within a sentence goes on.
_MUCH_SHORTER = 0.6
#: So many of a block's lines are full if it is wrapped, and end within a sentence.
_FULL, _WITHIN = 0.5, 1 / 3
_NARROW_FULL, _NARROW_WITHIN = 0.6, 0.5

_ENDED = expression(r"[.!?:;…]['\"”’)]*$")
#: Words that no statement ends with, and words that begin none.
_OPEN_END = expression(
    r"(?:[,(/&]|\s[-–—]|\b(?:a|an|the|and|or|of|to|for|with|from|by|at|but|my|its|their|our|your|"
    r"very|than|into|onto|und|oder|der|die|das|ein|eine|mit|von|et|ou|de|du|le|la|les|un|une|"
    r"avec))$",
    re.IGNORECASE,
)
_OPEN_START = expression(
    r"(?:and|or|but|of|off|to|with|from|which|who|than|because|so|though|although|if|when|while|"
    r"was|is|are|were|has|had|und|oder|aber|mit|von|weil|et|ou|mais|avec)\b|[)&,;]"
)
#: A line that begins with an hour, a day or a speaker begins anew: messages, minutes, a diary.
_ANEW = expression(
    r"\[?\d{1,2}(?::\d\d\b|\.\d\d\s?[ap]m\b)|\[?\d{1,2}[./-]\d{1,2}[./-]\d{2,4}\b|"
    r"[A-ZÄÖÜ][\w'’.-]{1,15}:\s|[A-Z][\w'’.]{1,15},? \d{1,2}[:.]\d\d$"
)
#: A name and an hour alone stand over a message.
_STAMP = re.compile(r"[A-Z][\w'’.]{1,15}(?: [A-Z][\w'’.]*)?,? \d{1,2}[:.]\d\d(?: ?[ap]m)?:?")


def paragraphs_of(lines: Sequence[Line]) -> tuple[Paragraph, ...]:
    """Return the paragraphs of some lines, each with the place of its first."""
    blocks = [part for block in blocks_of(lines) for part in _of_one_kind(block)]
    widths = [(width, len(block) - 1) for block in blocks if (width := _width(block)) >= _NARROW]
    usual = max(widths)[0] if sum(joints for _, joints in widths) >= _FEWEST_JOINTS else 0
    return tuple(
        _paragraph(group) for block in blocks for group in _groups(block, _width(block) or usual)
    )


def _of_one_kind(block: Sequence[Line]) -> Iterator[list[Line]]:
    """Yield a block's headings, rows and items (with what follows them), and the text between."""
    part: list[Line] = []
    for line in block:
        alone = line.kind in {"heading", "cells"}
        if part and (
            alone or line.kind == "item" or part[-1].kind in {"heading", "cells"}
            or line.level != part[-1].level
        ):  # fmt: skip
            yield part
            part = []
        part.append(line)
    if part:
        yield part


def _width(block: Sequence[Line]) -> int:
    """Return how wide a block is wrapped, or 0 where it is not, or does not tell."""
    widest = max(len(line.text) + line.indent for line in block)
    pairs = list(pairwise(block))
    if not pairs or widest > _WIDEST:
        return 0
    full = sum(_is_full(one, other, widest) for one, other in pairs)
    within = sum(_within(one, other, narrow=widest < _NARROW) for one, other in pairs)
    least_full, least_within = (
        (_FULL, _WITHIN) if widest >= _NARROW else (_NARROW_FULL, _NARROW_WITHIN)
    )
    wrapped = full >= least_full * len(pairs) and within >= least_within * len(pairs)
    return widest if wrapped and within else 0


def _groups(block: Sequence[Line], width: int) -> Iterator[list[Line]]:
    group: list[Line] = []
    for line in block:
        if group and not _goes_on(group, line, width):
            yield group
            group = []
        group.append(line)
    if group:
        yield group


def _goes_on(group: Sequence[Line], line: Line, width: int) -> bool:
    """Return whether a line belongs to the paragraph before it."""
    last = group[-1]
    if last.goes_on is not None:
        return last.goes_on
    if group[0].kind == "item" and line.indent > group[0].indent:
        return True
    if _is_open(last, line):
        return True
    if (
        _ANEW.match(line.text)
        or _STAMP.fullmatch(last.text)
        or not width
        or len(last.text) + last.indent > width
    ):
        return False
    if _is_full(last, line, width):
        return True
    return (
        _within(last, line, narrow=False) and len(last.text) + last.indent >= _MUCH_SHORTER * width
    )


def _is_full(line: Line, following: Line, width: int) -> bool:
    first = following.text.partition(" ")[0]
    return len(line.text) + line.indent + 1 + len(first) > width - _SLACK


def _is_open(line: Line, following: Line) -> bool:
    """Return whether a line surely breaks off within a sentence."""
    if _ENDED.search(line.text[-4:]) or _ANEW.match(following.text) or _STAMP.fullmatch(line.text):
        return False
    unclosed = line.text.count("(") > line.text.count(")") and ")" in following.text
    return (
        unclosed
        or bool(_OPEN_END.search(line.text[-12:]))
        or bool(_OPEN_START.match(following.text))
    )


def _within(line: Line, following: Line, *, narrow: bool) -> bool:
    """Return whether a line seems to break off within a sentence."""
    if _is_open(line, following):
        return True
    begins_small = following.text[:1].islower()
    return not narrow and begins_small and not _ENDED.search(line.text[-4:])


def _paragraph(lines: Sequence[Line]) -> Paragraph:
    first = lines[0]
    return Paragraph(
        text=_joined([line.text for line in lines]),
        place=first.place,
        row=first.row,
        page=first.page,
        box=_around([line.box for line in lines if line.box]),
        heading=first.kind == "heading",
        item=first.kind == "item",
        table_row=first.cells,
        unsure=tuple(word for line in lines for word in line.unsure),
        quoted=first.level > 0,
    )


def _joined(texts: Sequence[str]) -> str:
    """Return lines as one; a word that a hyphen parts keeps it."""
    joined = ""
    for text in texts:
        words = " ".join(text.split())
        glued = joined[-1:] in {"-", "‐"} and joined[-2:-1].isalpha() and words[:1].islower()
        joined += words if not joined or glued else f" {words}"
    return joined


def _around(boxes: Sequence[str]) -> str | None:
    """Return the box around some boxes."""
    if not boxes:
        return None
    sides = list(zip(*([float(side) for side in box.split(",")] for box in boxes), strict=True))
    around = (min(sides[0]), min(sides[1]), max(sides[2]), max(sides[3]))
    return ",".join(f"{side:.0f}" for side in around)

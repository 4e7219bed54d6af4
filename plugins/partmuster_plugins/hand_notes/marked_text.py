"""Headings, lists, tables and quotations, as people mark them in plain text and Markdown."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING

from .expressions import expression
from .lines import BLANK, Line

if TYPE_CHECKING:
    from collections.abc import Sequence

    from .lines import NotRead

_QUOTED = expression(r"\s{0,3}((?:>[ \t]?){1,50})")
_HASHES = expression(r"\s{0,3}#{1,6}\s+(.*?)[\s#]*$")
_UNDERLINE = expression(r"\s{0,3}(?:={3,}|-{3,}|~{3,})\s*$")
_RULE = expression(r"\s{0,3}(?:([-*_=~#+])[ \t]*)(?:\1[ \t]*){2,}$|\s*(?:`{3}|~{3})\w*\s*$")
_BULLET = expression(
    r"(\s*)(?:[-–—*+•·‣▪●◦■□➢✓✗]|\(?[A-Za-z]\)|\(?[ivx]{1,4}\)|\(?\d{1,3}\))\s+(?=\S)"
)
_GLUED_BULLET = expression(r"(\s*)[•‣▪●◦■➢](?=\S)")
_NUMBER = expression(r"(\s*)(\d{1,3})\.\s+(?=\S)(\w*)")
_MONTH = expression(
    r"(?:jan|feb|m[aä]r|apr|ma[iyj]|jun|jui|jul|aug|ao|sep|o[ck]t|nov|de[czk])", re.IGNORECASE
)
_TABLE_RULE = expression(r"\s*\|?\s*:?-+:?\s*(?:\|\s*:?-*:?\s*)+$")
_COLUMNS = expression(r"\t| {3,}")
#: Marks of emphasis; none runs over more than a few lines of words.
_LINKS = expression(r"(!?)\[([^\[\]]{1,300})\]\([^()\s]{1,500}\)")
_STRUCK = expression(r"~~(?=\S)([^~]{1,300})(?<=\S)~~")
_EMPHASIS = (
    expression(r"(\*\*|__)(?=\S)([^*_]{1,300})(?<=\S)\1"),
    expression(r"(?<![\w*])(\*)(?=[^\s*])([^*]{1,300})(?<=\S)\*(?![\w*])"),
    expression(r"(?<![\w_])(_)(?=[^\s_])([^_]{1,300})(?<=\S)_(?![\w_])"),
    expression(r"(`)([^`]{1,300})`"),
)
#: A heading is no longer than this, in characters and words.
_LONGEST_HEADING, _MOST_WORDS = 60, 8
_LONG_WORD = 300


def unquoted(line: Line) -> Line:
    """Return a line without the signs of quotation before it, its level raised by them."""
    found = _QUOTED.match(line.text)
    if not found:
        return line
    level = line.level + found[1].count(">")
    return replace(line, text=line.text[found.end() :], level=level)


def marked(lines: Sequence[Line], not_read: NotRead, *, titled: bool = False) -> list[Line]:
    """Return lines with their kinds, without the signs that told them.

    ``titled``: a short first line that stands alone is a heading.
    """
    lines = [unquoted(line) if line.kind == "words" else line for line in lines]
    lines = _without_rules(_with_tables(lines))
    if titled:
        lines = _with_title(lines)
    done: list[Line] = []
    last_number = 0
    for at, line in enumerate(lines):
        if line.kind == "words" and line.text:
            line, last_number = _item(lines, at, done, last_number)  # noqa: PLW2901
            if line.kind == "words" and _is_caption(lines, at):
                line = replace(line, kind="heading")  # noqa: PLW2901
        done.append(_plain(line, not_read))
    return done


def _item(
    lines: Sequence[Line], at: int, done: Sequence[Line], last_number: int
) -> tuple[Line, int]:
    """Return a line as a list's item, if it is one, and the number of the last numbered item."""
    line = lines[at]
    indent = len(line.text) - len(line.text.lstrip())
    hashes = _HASHES.match(line.text)
    if hashes and hashes[1]:
        return replace(line, text=hashes[1], kind="heading"), 0
    found = _BULLET.match(line.text) or _GLUED_BULLET.match(line.text)
    if found:
        return replace(line, text=line.text[found.end() :], kind="item", indent=indent), last_number
    numbered = _NUMBER.match(line.text)
    if numbered and not _MONTH.match(numbered[3]):
        number = int(numbered[2])
        after_item = bool(done) and done[-1].kind == "item"
        if after_item or number == last_number + 1 != 1 or _counts_on(lines, at, number):
            text = line.text[numbered.start(3) :]
            return replace(line, text=text, kind="item", indent=indent), number
    return replace(line, text=line.text.strip(), indent=indent), last_number


def _counts_on(lines: Sequence[Line], at: int, number: int) -> bool:
    """Return whether the next number begins one of the next lines: one number alone may be said."""
    following = f"{number + 1}."
    return any(line.text.lstrip().startswith(following) for line in lines[at + 1 : at + 20])


def _is_caption(lines: Sequence[Line], at: int) -> bool:
    """Return whether a line such as "Missing:" stands over what follows."""
    text = lines[at].text.strip()
    if not text.endswith(":") or len(text) > _LONGEST_HEADING or len(text.split()) > _MOST_WORDS:
        return False
    following = next((line for line in lines[at + 1 : at + 3] if line.text), None)
    if following is None:
        return False
    starts = at == 0 or not lines[at - 1].text or lines[at - 1].kind != "words"
    return starts or bool(_BULLET.match(following.text)) or following.kind in {"item", "cells"}


def _with_title(lines: list[Line]) -> list[Line]:
    at = next((at for at, line in enumerate(lines) if line.text), None)
    if at is None or at + 1 >= len(lines) or lines[at + 1].text:
        return lines
    text = lines[at].text.strip()
    follows = any(line.text for line in lines[at + 1 :])
    is_title = (
        follows and lines[at].kind == "words" and not lines[at].level
        and len(text) <= _LONGEST_HEADING and len(text.split()) <= _MOST_WORDS
        and text[-1] not in ".!?,;:-–" and not _BULLET.match(text) and not _NUMBER.match(text)
    )  # fmt: skip
    if is_title and not text.startswith("#"):
        lines[at] = replace(lines[at], text=text, kind="heading")
    return lines


def _without_rules(lines: list[Line]) -> list[Line]:
    """Return lines without drawn rules; a rule right under a lone line makes it a heading."""
    done: list[Line] = []
    for line in lines:
        if line.kind != "words" or not (_UNDERLINE.match(line.text) or _RULE.match(line.text)):
            done.append(line)
            continue
        lone = bool(done) and done[-1].kind == "words" and bool(done[-1].text)
        lone = lone and (len(done) == 1 or not done[-2].text) and not _BULLET.match(done[-1].text)
        short = lone and len(done[-1].text) <= 2 * _LONGEST_HEADING
        if short and _UNDERLINE.match(line.text) and done[-1].text.strip()[-1] not in ".!?,;":
            done[-1] = replace(done[-1], text=done[-1].text.strip(), kind="heading")
        done.append(BLANK)
    return done


def _with_tables(lines: list[Line]) -> list[Line]:
    """Return lines with rows of tables told: between bars, or in columns."""
    done = list(lines)
    rules = {at for at, line in enumerate(lines) if "|" in line.text
             and _TABLE_RULE.match(line.text[:_LONG_WORD])}  # fmt: skip
    in_table: set[int] = set()
    for at in rules:
        for step in (-1, 1):
            beside = at + step
            while 0 <= beside < len(lines) and "|" in lines[beside].text and beside not in in_table:
                in_table.add(beside)
                beside += step if step > 0 else len(lines)  # one heading above, all rows below
    for at, line in enumerate(lines):
        if line.kind != "words":
            continue
        text = line.text.strip()
        if at in rules:
            done[at] = replace(BLANK, text="")
        elif at in in_table or (text.startswith("|") and text.count("|") > 1):
            done[at] = _row(line, [cell.strip() for cell in text.strip("|").split("|")])
    return _with_columns(done)


def _with_columns(lines: list[Line]) -> list[Line]:
    """Return lines with rows told by tabs or wide spaces, where two rows follow each other."""
    cells = [
        _COLUMNS.split(line.text.strip()) if line.kind == "words" and not line.level else []
        for line in lines
    ]
    done = list(lines)
    for at, own in enumerate(cells):
        beside = (cells[at - 1] if at else [], cells[at + 1] if at + 1 < len(cells) else [])
        if len(own) > 1 and any(len(other) == len(own) for other in beside):
            done[at] = _row(lines[at], [cell.strip() for cell in own])
    return done


def _row(line: Line, cells: Sequence[str]) -> Line:
    return replace(line, text=" | ".join(cells), kind="cells", cells=tuple(cells))


def _plain(line: Line, not_read: NotRead) -> Line:
    """Return a line without marks of emphasis; what is struck through is left out and named."""
    if not any(sign in line.text for sign in "*_`[~"):
        return line
    if line.cells is not None:
        return _row(line, [_plain_text(cell, line.place, not_read) for cell in line.cells])
    return replace(line, text=_plain_text(line.text, line.place, not_read))


def _plain_text(text: str, place: str, not_read: NotRead) -> str:
    for struck in _STRUCK.findall(text):
        not_read.append((f"{place}: '{struck}'", "it is struck through"))
    text = _STRUCK.sub("", text)
    text = _LINKS.sub(lambda found: "" if found[1] else found[2], text)
    for mark in _EMPHASIS:
        text = mark.sub(r"\2", text)
    return text.strip()

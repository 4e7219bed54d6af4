"""Which pages hold prose and no table. In doubt a page holds a table: its rows are all shown then.

Measured on drawn and scanned pages: lines of prose are one piece each, or two where a hand leaves
a wide blank, and every other one has an everyday word; rows of parts lists have none.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from partmuster_trade.headings import fold_heading, heading_meanings, title_kinds

from .columns import rows_of
from .pages import NoPage

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from .columns import Row
    from .page_reader import ReadPage
    from .reading import PageText

#: A note has no more pages; longer files are not waited for to their end.
MOST_PAGES = 30
#: Rows of so many pieces are rows of cells; of prose this part of the rows at most has as many.
_CELLS, _FEW_WIDE = 3, 0.1
#: Of prose this part of the lines at most is parted, and so many of them are words and a number.
_FEW_PARTED, _MOST_COUNTED = 0.2, 1
#: Of prose this part of the lines at most has part numbers, and this at least everyday words.
_FEW_NUMBERED, _EVERYDAY_LINES = 0.4, 0.25
#: Headings in one piece are as many at least; a title is no longer, in words.
_FEWEST_HEADINGS, _LONGEST_TITLE = 3, 8
#: Words of sentences; those that lists of parts have too ("off", "for", "with") are left out.
_EVERYDAY = re.compile(
    r"\b(?:the|an|and|but|is|are|was|were|be|been|has|have|had|did|does|do|not|gone|missing|there|it|"
    r"he|she|we|you|they|me|him|us|my|your|his|her|its|our|their|this|that|these|those|who|which|"
    r"what|when|where|said|says|got|want|wanted|need|ok|still|both|some|would|will|can|could|"
    r"no(?!\s*\.))\b|n['’]t\b"  # "no." is a number
)
_PART_NUMBER = re.compile(
    r"(?<!\S)(?!(?:\d{1,4}[-./]\d{1,2}[-./]\d{1,4})[.,;:)]?(?!\S))"  # no day
    r"(?=\S*\d\S*\d)(?:(?=\S*[A-Z]|\S*\d-\d)[A-Z\d][A-Z\d./-]{3,}|\d{5,})(?!\S)"
)
_COUNT = re.compile(r"\d{1,3}(?:\s*(?:off|ea|each|nos?|pcs?))?\.?", re.IGNORECASE)


def up_to_a_table(
    pages: Iterable[ReadPage | NoPage],
) -> tuple[list[ReadPage | NoPage], bool]:
    """Return the pages of a file to the first with a table, and whether the file is a note.

    One of more than ``MOST_PAGES`` pages is none; the further ones are left in ``pages``.
    """
    seen: list[ReadPage | NoPage] = []
    is_note = False
    for page in pages:
        seen.append(page)
        if len(seen) > MOST_PAGES:
            return seen, False
        if isinstance(page, NoPage) or not page.text.is_readable:
            continue
        if not is_prose(page.text):
            return seen, False
        is_note = True
    return seen, is_note


def is_prose(text: PageText) -> bool:
    """Return whether a page surely holds sentences and no table."""
    rows = rows_of(text.pieces, text.height)
    lines = [" ".join(piece.text for piece in row) for row in rows]
    if not lines or any(map(_is_headings, rows)) or any(map(_is_title_of_parts, lines)):
        return False
    parted = [row for row in rows if len(row) > 1]
    wide = [row for row in parted if len(row) >= _CELLS]
    counted = [row for row in parted if any(_is_number(piece.text) for piece in row)]
    if any(row in counted for row in wide) or len(counted) > _MOST_COUNTED:
        return False
    return (
        len(wide) <= _FEW_WIDE * len(rows)
        and len(parted) <= _FEW_PARTED * len(rows)
        and sum(bool(_PART_NUMBER.search(line)) for line in lines) <= _FEW_NUMBERED * len(rows)
        and sum(bool(_EVERYDAY.search(line.casefold())) for line in lines)
        >= _EVERYDAY_LINES * len(rows)
    )


def _is_number(text: str) -> bool:
    return bool(_COUNT.fullmatch(text.strip()) or _PART_NUMBER.fullmatch(text.strip()))


def _is_headings(row: Row) -> bool:
    """Return whether a row has the headings of a table, in pieces of their own or run together."""
    known = heading_meanings()
    if len(row) > 1:
        return sum(fold_heading(piece.text) in known for piece in row) > 1
    return _headings_in(fold_heading(row[0].text).split()) >= _FEWEST_HEADINGS


def _headings_in(words: Sequence[str]) -> int:
    """Return of how many headings some words are made, none of them left over; else 0."""
    most = [0, *[-1] * len(words)]
    for end in range(1, len(words) + 1):
        for start in range(max(0, end - _CELLS), end):
            if most[start] >= 0 and " ".join(words[start:end]) in heading_meanings():
                most[end] = max(most[end], most[start] + 1)
    return max(most[-1], 0)


def _is_title_of_parts(line: str) -> bool:
    """Return whether a line is the title of a parts list: that name, and no sentence."""
    folded = fold_heading(line)
    return (
        len(folded.split()) <= _LONGEST_TITLE
        and not _EVERYDAY.search(line.casefold())
        and any(
            kind == "requirement" and f" {words} " in f" {folded} "
            for words, kind in title_kinds().items()
        )
    )

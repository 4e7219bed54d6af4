"""The number of a figure that stands on its first row only, carried down until the next one.

How printed parts lists with several figures on a page give it (common practice, no source).
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from .headings import Taken

#: In the words of a section: "FIG. 4 STEERING", "BRAKES (Plate 7A)".
_IN_SECTION = r"(?i)\b(?:fig(?:ure)?|plate)s?\b\.?\s*(?:no\.?\s*)?(\d{1,4}(?:-\d{1,3})?[a-z]?)\b"
#: The column that is put beside lines whose section says their figure.
OWN_FIGURE = "own_figure"
_PLAIN = re.compile(r"(?:fig(?:ure)?|plate|pl)?\.?\s*\d{1,4}\s?[A-Z]?", re.IGNORECASE)


def with_figures(
    lines: pl.DataFrame, fields: Mapping[str, Taken], ends: Collection[int], before: str | None
) -> tuple[pl.DataFrame, str | None]:
    """Return lines with the figure of those above where they give none, and the last figure.

    Not where a list gives it on every row: there a blank is none. ``ends``: rows below which no
    figure is open; ``before``: the figure open at the end of the page before.
    """
    column = next((name for name, one in fields.items() if one.field == "figure"), None)
    if column is None:
        return _by_sections(lines, ends), before
    if not lines.height:
        return lines, before
    cells = lines[column].to_list()
    given = [text for text in cells if text is not None]
    repeated = any(one is not None and one == other
                   for one, other in pairwise(cells))  # fmt: skip
    plain = all(_PLAIN.fullmatch(text.strip()) for text in given)
    if repeated or not (plain or 2 * len(given) <= len(cells)):
        return lines, None
    left = sorted(ends)
    open_now, found = before, []
    for row, text in zip(lines["row"], cells, strict=True):
        while left and left[0] < row:
            open_now = None
            left.pop(0)
        open_now = text or open_now
        found.append(open_now)
    open_now = None if left else open_now
    return lines.with_columns(pl.Series(column, found, dtype=pl.String)), open_now


def _by_sections(lines: pl.DataFrame, ends: Collection[int]) -> pl.DataFrame:
    """Return lines with the figure that their section says, if any does, down to where it ends."""
    said = lines["section"].str.extract(_IN_SECTION, 1)
    if not said.len() or said.null_count() == said.len():
        return lines
    left, found = sorted(ends), []
    before: str | None = None
    ended = False
    rows = zip(lines["row"], lines["section"], said, strict=True)
    for row, section, figure in rows:
        while left and left[0] < row:
            ended = True
            left.pop(0)
        ended = ended and section == before
        before = section
        found.append(None if ended else figure)
    return lines.with_columns(pl.Series(OWN_FIGURE, found, dtype=pl.String))

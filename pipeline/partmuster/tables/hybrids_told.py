"""Sheets of one column that tell of hybrids from the works, a sentence a row."""

from __future__ import annotations

from typing import TYPE_CHECKING

from partmuster.reading.works_hybrids import read_works_hybrid, says_works

from .headings import Heading, Taken
from .kinds import KindTaken

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl

_SAMPLE = 60


def tells_hybrids(cells: pl.Series) -> bool:
    """Tell whether half of some cells at least are sentences about hybrids from the works."""
    texts = cells.drop_nulls().head(_SAMPLE).to_list()
    read = sum(says_works(text) and read_works_hybrid(text) is not None for text in texts)
    return read > 0 and 2 * read >= len(texts)


def is_title_of_hybrids(cells: pl.Series) -> bool:
    """Tell whether the first cell stands above such sentences, and is none."""
    first = str(cells[0])
    return read_works_hybrid(first) is None and tells_hybrids(cells.slice(1))


def told_in_sentences(
    headings: Sequence[Heading], body: pl.DataFrame, told: str | None
) -> KindTaken | None:
    """Return how a sheet of one column is taken that tells of hybrids, else None."""
    if len(headings) != 1 or told not in {None, "build"} or headings[0].similarity > 1:
        return None
    column = headings[0].column
    if not tells_hybrids(body[column]):
        return None
    return KindTaken("build", {column: Taken("feature", "content")}, "hybrids told in sentences")

"""A table's head: where its headings stand, and the titles above them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from .headings import HEAD_ROWS, header_row, joined_headings
from .matrix import Matrix, find_matrix

if TYPE_CHECKING:
    from collections.abc import Sequence

    import polars as pl

    from .asking import Around


@dataclass(frozen=True, slots=True)
class Head:
    """A table's head: place and texts of the headings, first body row, titles above."""

    at: int | None
    body: int
    titles: tuple[str, ...]
    texts: tuple[str | None, ...] = ()


def read_head(
    table: pl.DataFrame, columns: Sequence[str], around: Around
) -> tuple[Head, Matrix | None]:
    """Return the head of a table, and the survey matrix it is, if it is one."""
    top = [list(row) for row in table.head(HEAD_ROWS).select(columns).iter_rows()]
    explained = {key for place, key in around.told.fields if place in {around.label, ""}}
    at = header_row(top, explained, kind_told=around.kind_told is not None)
    matrix = find_matrix(table, columns, at)
    if matrix is not None:
        at = matrix.at
    if at is None:
        several = (table["n"] > 1).arg_true()
        body = int(several[0]) if several.len() and len(columns) > 1 else 0
        return Head(None, body, tuple(table.head(body)["first"].to_list())), None
    titles = (" ".join(cell for cell in row if cell) for row in top[:at])
    texts = top[at] if matrix is not None or at == 0 else joined_headings(top[at - 1], top[at])
    return Head(at, at + 1, tuple(titles), tuple(texts)), matrix

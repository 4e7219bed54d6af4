"""Notes beside a table: columns of a few texts, with no heading, apart from the others."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading

from .assemblies import read_section
from .headings import HEAD_ROWS, header_row, meanings_of
from .marks import read_legend
from .matrix import find_matrix

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

#: Of the rows below the headings, notes stand beside fewer than this share, beyond an empty
#: column than the second; without headings, and beyond an empty column, than the third.
_FEW = 0.5
_MANY = 0.8
_FEWER = 0.3
_MOST_MARKS = 20
#: Headings of a table of what codes mean (common practice, no source).
_CODES = frozenset({"code", "codes", "mark", "marks", "key", "letter", "symbol", "colour", "color",
                    "sign", "grade"})  # fmt: skip
_MEANINGS = frozenset({"meaning", "means", "what it means", "explanation", "stands for", ""})


def margin_columns(table: pl.DataFrame, columns: Sequence[str]) -> list[str]:
    """Return the columns of a table that hold notes beside it and nothing of it.

    They have no heading, few cells, and stand right of the last heading, or beyond an empty
    column. Texts at the left that name assemblies or sides are sections, not notes.
    """
    top = [list(row) for row in table.head(HEAD_ROWS).select(columns).iter_rows()]
    at = header_row(top)
    matrix = find_matrix(table, columns, at)
    at = matrix.at if matrix is not None else at
    if at is None:
        return _without_headings(table, columns)
    near = [top[place] for place in (at - 1, at + 1) if 0 <= place < len(top)]
    lower = _lower_headings(top, at)
    headed = [
        name for place, name in enumerate(columns)
        if _heads(top[at][place]) or _heads(lower[place])
        or any(_known(row[place]) for row in near)
    ]  # fmt: skip
    if not headed:
        return []
    body = table.slice(at + 1)
    found: list[str] = []
    for block in _blocks(columns):
        beyond = block != columns[: len(block)]
        if (beyond and _is_legend(table, block)) or is_key(
            top[at][place] for place, name in enumerate(columns) if name in block
        ):
            found += block
        elif not any(name in headed for name in block):
            found += [name for name in block if _sparse(body, name, _MANY)]
    trailing = [name for name in columns if int(name) > max(map(int, headed))]
    found += [name for name in trailing if name not in found and _sparse(body, name, _FEW)]
    return [name for name in columns if name in found and not _of_sections(table, name, headed)]


def _is_legend(table: pl.DataFrame, block: Sequence[str]) -> bool:
    """Tell whether the rows of columns all say what a mark means, but for a title above them."""
    if len(block) != 2 or table[block[0]].count() > _MOST_MARKS:  # noqa: PLR2004 - a mark and its meaning
        return False
    rows = [row for row in table.select(block).iter_rows() if any(row)]
    lines = [row for row in rows if all(row)]
    return len(lines) > 1 and len(lines) >= len(rows) - 1 and all(
        read_legend(" = ".join(row)) for row in lines
    )  # fmt: skip


def is_key(headings: Iterable[str | None]) -> bool:
    """Tell whether headings are those of a small table that says what codes mean."""
    folded = [fold_heading(text or "") for text in headings]
    return len(folded) > 1 and folded[0] in _CODES and all(text in _MEANINGS for text in folded[1:])


def _without_headings(table: pl.DataFrame, columns: Sequence[str]) -> list[str]:
    """Return the columns beyond an empty one with very few cells, where nothing has a heading."""
    main = max(_blocks(columns), key=lambda block: sum(table[name].count() for name in block))
    return [
        name for block in _blocks(columns) if block != main
        for name in block if _sparse(table, name, _FEWER)
    ]  # fmt: skip


def _blocks(columns: Sequence[str]) -> Iterator[list[str]]:
    """Yield the columns that stand together with no empty column between."""
    block: list[str] = []
    for name in columns:
        if block and int(name) > int(block[-1]) + 1:
            yield block
            block = []
        block.append(name)
    if block:
        yield block


def _heads(text: str | None) -> bool:
    """Tell whether a cell of the row of headings may be one: no sentence."""
    return text is not None and "=" not in text and (_known(text) or len(text.split()) < 5)  # noqa: PLR2004 - longer ones are notes


def _lower_headings(top: Sequence[Sequence[str | None]], at: int) -> Sequence[str | None]:
    """Return the row below the headings if it goes on with them: several texts, no other first."""
    none: Sequence[str | None] = [None] * len(top[at])
    below = top[at + 1] if at + 1 < len(top) else none
    several = sum(text is not None for text in below) > 1
    return below if below[0] in {None, top[at][0]} and several else none


def _known(text: str | None) -> bool:
    return text is not None and meanings_of(text)[1] > 0


def _sparse(body: pl.DataFrame, name: str, share: float) -> bool:
    filled = body[name].count()
    return filled == 0 or filled < share * body.height


def _of_sections(table: pl.DataFrame, name: str, headed: Sequence[str]) -> bool:
    """Tell whether the texts of a column at the left name assemblies or sides, alone in a row."""
    if int(name) > int(headed[0]):
        return False
    alone = table.filter(pl.col(name).is_not_null() & (pl.col("n") == 1))[name].to_list()
    sections = [read_section(text) for text in alone]
    telling = sum(one.named or one.numbered or one.assembly is not None for one in sections)
    return bool(alone) and telling * 2 > len(alone)

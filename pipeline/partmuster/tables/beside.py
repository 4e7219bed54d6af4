"""Tables side by side: an empty column between them, or the same headings again."""

from __future__ import annotations

from itertools import pairwise
from typing import TYPE_CHECKING

import polars as pl

from partmuster_trade.headings import fold_heading, heading_meanings

from .content import content_of, fields_by_content
from .headings import HEAD_ROWS, header_row
from .kinds import kinds_in_titles
from .matrix import names_vehicles

if TYPE_CHECKING:
    from collections.abc import Sequence

#: Headings by which a table's lines are named.
_NAMING = frozenset({"description", "part_number", "stock_number"})
#: Others, of which a table of its own begins only with all the same headings.
_ALSO_NAMING = _NAMING | {"vehicle", "holder", "place"}
_LEAST_COLUMNS = 2


def columns_apart(table: pl.DataFrame, columns: Sequence[str]) -> list[list[str]]:
    """Return the columns of each table that stands in these rows, from left to right.

    Another begins where the heading of the first column stands again: each then has all the same
    headings, or those of a survey, or an empty column before it and two known headings at least.
    Beyond an empty column one with other headings begins where they name parts, too, and titles or
    rows of its own tell that it is none of the first.
    """
    top = [dict(zip(columns, row, strict=True))
           for row in table.head(HEAD_ROWS).select(columns).iter_rows()]  # fmt: skip
    above: list[str] = []
    for row in top:
        found = _headings_again(row, columns)
        # A list of what fits what names two parts in a row.
        if found is not None and "fit" not in kinds_in_titles([(text, 1.0) for text in above]):
            return found
        above += filter(None, row.values())
    rows = [list(row.values()) for row in top]
    alike = _alike_blocks(table, columns) if header_row(rows) is None else None
    return alike or _beyond_gaps(table, columns, top)


def _alike_blocks(table: pl.DataFrame, columns: Sequence[str]) -> list[list[str]] | None:
    """Return the columns of each list without headings, parted by empty columns, or None.

    Each names parts and counts them.
    """
    blocks = _blocks(columns, _starts(columns))
    if len(blocks) < 2:  # noqa: PLR2004 - no empty column
        return None
    for block in blocks:
        held = fields_by_content([(name, content_of(table[name].drop_nulls())) for name in block])
        if not {"description", "quantity"} <= set(held.values()):
            return None
    return blocks


def _headings_again(row: dict[str, str | None], columns: Sequence[str]) -> list[list[str]] | None:
    """Return the columns of each table if a row's headings start again, or None."""
    folded = {name: fold_heading(row[name] or "") for name in columns}
    first = next((text for text in folded.values() if text), "")
    if not _names(first, _ALSO_NAMING):
        return None
    starts = [name for name in columns if folded[name] == first]
    if len(starts) < 2:  # noqa: PLR2004 - it stands once
        return None
    blocks = _blocks(columns, starts)
    texts = [[folded[name] for name in block if folded[name]] for block in blocks]
    if min(map(len, texts)) < _LEAST_COLUMNS:
        return None
    if all(one == texts[0] for one in texts):
        return blocks
    surveys = [names_vehicles([row[name] or "" for name in block if folded[name]], least=1)
               for block in blocks]  # fmt: skip
    if all(surveys):
        return blocks
    gaps = all(_after_gap(name, columns, folded) for name in starts[1:])
    known = all(survey or sum(text in heading_meanings() for text in one) > 1
                for survey, one in zip(surveys, texts, strict=True))  # fmt: skip
    return blocks if gaps and known and _names(first) else None


def _beyond_gaps(
    table: pl.DataFrame, columns: Sequence[str], top: Sequence[dict[str, str | None]]
) -> list[list[str]]:
    """Return the columns of each table with headings of its own beyond an empty column."""
    whole = [list(columns)]
    starts = _starts(columns)
    if len(starts) < 2:  # noqa: PLR2004 - no empty column
        return whole
    blocks: list[list[str]] = []
    for block in _blocks(columns, starts):
        if blocks and not (_own_table(top, block) and _apart(table, blocks[-1], block, top)):
            blocks[-1] += block
        else:
            blocks.append(block)
    return blocks if _own_table(top, blocks[0]) else whole


def _starts(columns: Sequence[str]) -> list[str]:
    """Return the first column, and each after an empty one."""
    after = [name for before, name in pairwise(columns) if int(name) > int(before) + 1]
    return [columns[0], *after]


def _own_table(top: Sequence[dict[str, str | None]], block: Sequence[str]) -> bool:
    """Tell whether columns have headings of their own, by which parts are named."""
    rows = [[row[name] for name in block] for row in top]
    at = header_row(rows) if len(block) > 1 else None
    return at is not None and any(_names(fold_heading(text or "")) for text in rows[at])


def _apart(
    table: pl.DataFrame, left: Sequence[str], right: Sequence[str],
    top: Sequence[dict[str, str | None]],
) -> bool:  # fmt: skip
    """Tell whether titles, or rows of the right alone, tell two tables apart."""
    at = header_row([[row[name] for name in right] for row in top]) or 0
    titled = any(
        any(row[name] for name in left) and any(row[name] for name in right) for row in top[:at]
    )
    left_empty = pl.all_horizontal(pl.col(list(left)).is_null())
    alone = table.slice(at + 1).filter(left_empty)
    return (
        titled or alone.filter(pl.sum_horizontal(pl.col(list(right)).is_not_null()) > 1).height > 0
    )


def _blocks(columns: Sequence[str], starts: Sequence[str]) -> list[list[str]]:
    """Return the columns, parted before each of ``starts``; the first part has all before it."""
    blocks: list[list[str]] = [[]]
    for name in columns:
        if name in starts[1:]:
            blocks.append([])
        blocks[-1].append(name)
    return blocks


def _after_gap(name: str, columns: Sequence[str], folded: dict[str, str]) -> bool:
    """Tell whether an empty column, or one without a heading, stands before a column."""
    at = columns.index(name)
    before = columns[at - 1]
    return int(name) > int(before) + 1 or not folded[before]


def _names(text: str, fields: frozenset[str] = _NAMING) -> bool:
    """Tell whether a heading, folded, is one by which parts are named."""
    return any(meaning.field in fields for meaning in heading_meanings().get(text, ())[:1])

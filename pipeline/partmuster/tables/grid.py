"""Grids of text cells as frames: cleaning, counting, joining and carrying down."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from collections.abc import Sequence

#: Signs and words that stand for "the same as the cell above" (common practice, no source).
DITTO = r"""^(?:["”“″〃„]|''|,,|-\s*["”“″]\s*-|"\s+"|(?i:ditto|do\.?|-\s*do\.?\s*-|d/o))$"""
_DITTO_AND_MORE = r"""^(?:(?i:ditto|do\.)|["”″〃])[\s,]+(.*\S)$"""
_SIDE = re.compile(
    r"[\s,]+\(?(?:[lr]\.?/?h\b\.?|[no]/s\b|left|right|near|off ?side)"
    r"(?:[- ]?hand)?(?: ?side)?\)?",
    re.IGNORECASE,
)
_POSITION = re.compile(
    r"[\s,]+\(?(?:front|frt|fwd|rear|upper|lower|inner|outer|centre|center|top|bottom)\b\)?",
    re.IGNORECASE,
)
_EMPTY = "\x00"


def clean(cells: pl.DataFrame) -> tuple[pl.DataFrame, list[str]]:
    """Return a grid's rows that hold something, and its columns that do, in sheet order.

    Cells are trimmed and empty ones null; ``row`` stays Int32. Added: ``n`` (cells filled),
    ``first`` (first filled cell), ``alike`` (several cells that all say the same, as some readers
    give a merged cell).
    """
    names = sorted((name for name in cells.columns if name != "row"), key=int)
    if not names:
        return cells.clear().with_columns(
            n=pl.lit(0), first=pl.lit(""), alike=pl.lit(value=False)
        ), []
    trimmed = cells.select(
        pl.col("row").cast(pl.Int32), pl.col(names).cast(pl.String).str.strip_chars()
    ).with_columns(pl.when(pl.col(names) != "").then(pl.col(names)))
    counts = trimmed.select(pl.col(names).count()).row(0)
    columns = [name for name, count in zip(names, counts, strict=True) if count]
    if not columns:
        return trimmed.clear().with_columns(
            n=pl.lit(0), first=pl.lit(""), alike=pl.lit(value=False)
        ), []
    return counted(trimmed.select("row", *columns), columns), columns


def counted(cells: pl.DataFrame, columns: Sequence[str]) -> pl.DataFrame:
    """Return the rows that hold something in the columns, with ``n``, ``first`` and ``alike``."""
    filled = cells.with_columns(
        n=pl.sum_horizontal(pl.col(name).is_not_null() for name in columns).cast(pl.Int32),
        first=pl.coalesce(pl.col(name) for name in columns),
    )
    same = pl.all_horizontal(
        (pl.col(name) == pl.col("first")).fill_null(value=True) for name in columns
    )
    return filled.filter(pl.col("n") > 0).with_columns(alike=same & (pl.col("n") > 1))


def words_of(columns: Sequence[str]) -> pl.Expr:
    """Return the filled cells of a row joined with ``" | "`` in column order."""
    return pl.concat_str(pl.col(list(columns)), separator=" | ", ignore_nulls=True)


def labelled(parts: Sequence[tuple[str, str]]) -> pl.Expr:
    """Return the cells of (column, label) pairs joined as ``"label: cell; ..."``, null if none.

    A cell with an empty label stands alone.
    """
    cells = [pl.lit(f"{label}: ") + pl.col(name) if label else pl.col(name)
             for name, label in parts]  # fmt: skip
    joined = pl.concat_str(cells, separator="; ", ignore_nulls=True)
    return pl.when(joined != "").then(joined)


def carry_down_dittos(lines: pl.DataFrame, columns: Sequence[str]) -> pl.DataFrame:
    """Return the lines with ditto marks replaced by the cell above, within each column.

    ``do. RH`` under ``Mudguard, LH`` gives ``Mudguard RH``: what it adds about the side takes the
    place of what stood above. An empty cell is not a ditto. A ditto under nothing becomes empty.
    """
    found = lines.select(pl.col(list(columns)).str.contains(f"{DITTO}|{_DITTO_AND_MORE}").any())
    for name, any_ditto in zip(columns, found.row(0) if found.height else (), strict=False):
        if any_ditto:
            lines = lines.with_columns(_without_dittos(lines[name]))
    return lines


def _without_dittos(cells: pl.Series) -> pl.Series:
    """Return one column without ditto marks."""
    name = cells.name
    frame = pl.DataFrame({"cell": cells}).with_columns(
        plain=pl.col("cell").str.contains(DITTO),
        more=pl.col("cell").str.extract(_DITTO_AND_MORE, 1),
    )
    frame = frame.with_columns(
        above=pl.when(pl.col("plain") | pl.col("more").is_not_null())
        .then(None)
        .otherwise(pl.col("cell").fill_null(_EMPTY))
        .forward_fill()
    )
    pairs = frame.filter(pl.col("more").is_not_null()).select("above", "more").unique()
    joined = [_with_more(above, more) for above, more in pairs.iter_rows()]
    frame = frame.join(
        pairs.with_columns(joined=pl.Series(joined, dtype=pl.String)),
        on=["above", "more"], how="left", nulls_equal=True, maintain_order="left",
    )  # fmt: skip
    full = (
        pl.when(pl.col("plain"))
        .then(None)
        .otherwise(pl.coalesce("joined", pl.col("cell").fill_null(_EMPTY)))
        .forward_fill()
    )
    return frame.select(pl.when(full != _EMPTY).then(full).alias(name)).to_series()


def _with_more(above: str | None, more: str) -> str:
    """Return the words above with what a ditto adds; its side or position replaces theirs."""
    if above is None or above == _EMPTY:
        return more
    for words in (_SIDE, _POSITION):
        if words.search(f" {more}"):
            above = words.sub("", above)
    return f"{above.strip(' ,;')} {more}"

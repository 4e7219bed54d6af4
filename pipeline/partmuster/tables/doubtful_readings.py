"""Cells of a page that were read with doubt: their line is unsure, and a person is asked.

A number or quantity read wrongly looks as good as any other, so its confidence decides; any other
word is read by people. A cell put right from its neighbours is asked about wherever it stands.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from .unread import UNREAD

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Below this the least sure character of a number may be another one (common practice, no source).
SURE_ENOUGH = 0.8
_NUMBERS = frozenset({"part_number", "quantity"})


def with_doubtful_readings(
    lines: pl.DataFrame, signs: pl.DataFrame, fields: Mapping[int, str | None], cells: pl.DataFrame
) -> pl.DataFrame:
    """Return a table's lines, those with a cell read with doubt unsure, and with what to ask.

    ``signs``: from :func:`.signs.signs_of`; ``fields``: by column; ``cells``: the grid as it
    stands. In a matrix a cell under a vehicle is of its own line only.
    """
    numbers = [column for column, field in fields.items() if field in _NUMBERS]
    placed = signs.filter(pl.col("row").is_not_null() & pl.col("column").is_in(list(fields)))
    low = (
        (pl.col("mark") == "confidence") & pl.col("column").is_in(numbers)
        & (pl.col("value").cast(pl.Float64, strict=False) < SURE_ENOUGH)
    )  # fmt: skip
    found = placed.filter((low | (pl.col("mark") == "repaired")).fill_null(value=False))
    if found.is_empty():
        return lines
    marked = cells.filter(pl.col("row").is_in(found["row"].unique().implode()))
    texts = {row["row"]: row for row in marked.to_dicts()}
    whole: dict[int, dict[int, str]] = {}
    for row, column, mark, value in found.sort("row", "column", "mark").iter_rows():
        text = str(texts.get(row, {}).get(str(column)) or "").strip()
        if mark == "repaired":
            asked = f"read as '{value or ''}', taken for '{text}'"
        else:
            asked = f"read with doubt: '{text}'"
        if text == UNREAD:
            continue
        if text or mark == "repaired":  # what was put right tells more than that it was unsure
            whole.setdefault(row, {})[column] = asked
    doubts = [
        _asked(whole.get(row, {}), fields, column)
        for row, column in lines.select("row", "column").iter_rows()
    ]  # fmt: skip
    said = pl.Series("_asked", doubts, dtype=pl.String)
    before = pl.col("doubt") if "doubt" in lines.columns else pl.lit(None, pl.String)
    sure = pl.col("sure").fill_null(value=True) if "sure" in lines.columns else pl.lit(value=True)
    joined = pl.concat_str(before, said, separator="; ", ignore_nulls=True)
    return lines.with_columns(
        pl.when(joined != "").then(joined).alias("doubt"), (sure & said.is_null()).alias("sure")
    )


def _asked(
    found: Mapping[int, str], fields: Mapping[int, str | None], own: int | None
) -> str | None:
    """Return what is to be asked about one line, of which a matrix cell has only its own."""
    said = [
        asked
        for column, asked in found.items()
        if own is None or column == own or fields.get(column) != "presence"
    ]
    return "; ".join(said) or None

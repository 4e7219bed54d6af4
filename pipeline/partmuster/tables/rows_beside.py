"""Rows of a table that are no lines, with their words and reasons, and notes beside lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from .head import Head
    from .rows import Sorted


def with_margin(lines: pl.DataFrame, table: pl.DataFrame) -> pl.DataFrame:
    """Return lines with the note beside their row in the remark."""
    if "remark" not in lines.columns:
        return lines
    beside = lines.join(table.select("row", "margin"), on="row", how="left", maintain_order="left")
    joined = pl.concat_str(["remark", "margin"], separator="; ", ignore_nulls=True)
    remark = pl.when(joined != "").then(joined).alias("remark")
    return beside.with_columns(remark).drop("margin")


def rows_above(above: pl.DataFrame, head: Head) -> pl.DataFrame:
    """Return the rows down to the headings as rows that are no lines."""
    heading = pl.int_range(pl.len()) >= (above.height if head.at is None else head.first)
    reason = pl.when(heading).then(pl.lit("headings")).otherwise(pl.lit("title"))
    return above.select("row", "words", reason.alias("reason"))


def with_words(rows: Sorted, table: pl.DataFrame) -> pl.DataFrame:
    """Return the sorted-out rows with their words."""
    return rows.not_data.join(
        table.select("row", "words"), on="row", how="left", maintain_order="left"
    ).select("row", "words", "reason")

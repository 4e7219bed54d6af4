"""Decimal commas, told from all figures of a sheet together."""

from __future__ import annotations

import polars as pl

_COMMA = r"\d,\d{1,2}(?:\D|$)"
_POINT = r"\d\.\d{1,2}(?:\D|$)"
_LEAST = 2


def with_decimal_points(frame: pl.DataFrame) -> pl.DataFrame:
    """Return lines with "2,5" in the quantity as "2.5" on sheets that write decimals so.

    Told where two figures at least of quantities and prices have one or two digits after a comma
    and none after a point: one alone may as well be two numbers, and is left to be asked about.
    """
    commas = _count(_COMMA)
    points = _count(_POINT)
    by_comma = (commas >= _LEAST) & (points == 0)
    as_points = pl.col("quantity").str.replace(r"(\d),(\d{1,2})(\D|$)", "${1}.${2}${3}")
    return frame.with_columns(
        pl.when(by_comma).then(as_points).otherwise("quantity").alias("quantity")
    )


def _count(pattern: str) -> pl.Expr:
    """Return how many quantities and prices of a line's sheet hold the pattern."""
    return pl.sum_horizontal(
        pl.col(name).str.contains(pattern).sum().over("sheet") for name in ("quantity", "price")
    )

"""What a comma in a figure is: told from all figures of a sheet together, else by country."""

from __future__ import annotations

import polars as pl

_COMMA = r"\d,\d{1,2}(?:\D|$)"
_POINT = r"\d\.\d{1,2}(?:\D|$)"
_LEAST = 2
#: Countries where a comma parts thousands and never decimals (FROM-MEMORY: usual practice).
_COMMA_PARTS_THOUSANDS = frozenset({"AU", "CA", "GB", "IE", "IN", "MT", "NZ", "US"})
_THOUSANDS = r"^\s*\d{1,3}(?:,\d{3})+\s*$"


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


def with_plain_thousands(frame: pl.DataFrame, country: str | None) -> pl.DataFrame:
    """Return lines with "1,200" in the quantity as "1200" where the country writes thousands so."""
    if country not in _COMMA_PARTS_THOUSANDS:
        return frame
    quantity = pl.col("quantity")
    return frame.with_columns(
        pl.when(quantity.str.contains(_THOUSANDS))
        .then(quantity.str.replace_all(",", "", literal=True))
        .otherwise(quantity).alias("quantity")
    )  # fmt: skip

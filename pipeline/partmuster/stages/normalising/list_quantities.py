"""Quantities of parts lists: what they count for, and how many that makes on the vehicle."""

from __future__ import annotations

import polars as pl


def basis() -> pl.Expr:
    """Return what quantities count for; of what is not said, the vehicle."""
    said = pl.col("quantity_basis").str.to_lowercase()
    return (
        pl.when(said.str.contains(r"\bass(?:embl|y)|next high|\bnha\b|\bunit\b"))
        .then(pl.lit("assembly"))
        .when(said.str.contains(r"\bfig"))
        .then(pl.lit("figure"))
        .otherwise(pl.lit("vehicle"))
        .alias("quantity_basis")
    )


def on_the_vehicle(frame: pl.DataFrame) -> pl.DataFrame:
    """Multiply quantities for one of what a line belongs to; the remark says what was taken."""
    times = pl.col("times").str.extract(r"^([\d.]+)").cast(pl.Float64)
    counted = pl.col("times").is_not_null()
    frame = frame.with_columns(
        pl.when(counted).then(pl.col(name) * times).otherwise(name).alias(name)
        for name in ("at_least", "at_most")
    )
    own = pl.col("quantity_text").fill_null("1")
    number = pl.col("at_least").cast(pl.String).str.strip_suffix(".0")
    because = pl.col("times").str.extract(r"( \(.*\))$").fill_null("")
    said = pl.format("{} to each of what it belongs to, {} on the vehicle{}", own, number, because)
    remark = pl.concat_str("remark", said, separator="; ", ignore_nulls=True)
    return frame.with_columns(pl.when(counted).then(remark).otherwise("remark").alias("remark"))

"""Conditions that count: "1 good, 1 seized" beside a quantity says how many do not work."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.quantities import read_quantity

from .columns import read_column

if TYPE_CHECKING:
    from .columns import Findings

_COUNTS = r"(?i)(?:^|\W)(?:\d{1,3}|one|two|three|four|five|six|both|all) "


def read_counted_states(frame: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Return item lines whose condition counts with ``unserviceable``, and the service left open.

    A condition that counts more than the row has is asked about.
    """
    counts = (
        pl.col("kind").is_in(["holding", "want"])
        & pl.col("condition_text").str.contains(_COUNTS).fill_null(value=False)
        & pl.col("unserviceable").is_null()
    )
    counted = frame.with_columns(pl.when(counts).then("condition_text").alias("_counts"))
    if counted["_counts"].null_count() == counted.height:
        return frame
    counted = read_column(counted, "_counts", _read, {"_of": pl.Float64, "_bad": pl.Float64})
    said = pl.col("_bad").is_not_null()
    more = said & (pl.col("_of") > pl.col("at_least")) & pl.col("quantity_text").is_not_null()
    findings.doubt(counted.filter(more), "its condition counts more than there are: how many?")
    some = said & ~more
    return counted.with_columns(
        pl.when(some).then("_bad").otherwise("unserviceable").alias("unserviceable"),
        pl.when(some & (pl.col("_bad") < pl.col("at_least"))).then(pl.lit("unknown"))
        .otherwise("service").alias("service"),
        (pl.col("sure") & ~more).alias("sure"),
    ).drop("_counts", "_of", "_bad")  # fmt: skip


def _read(text: str) -> tuple[float | None, float | None]:
    reading = read_quantity(text) if text else None
    if reading is None or reading.problem or reading.unserviceable is None:
        return None, None
    return reading.at_least, reading.unserviceable

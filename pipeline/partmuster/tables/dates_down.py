"""Dates written once: above the rows of one vehicle in a survey, or over the figures of a count."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from .titles import date_in
from .visits import visit_in

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping, Sequence

    from .headings import Heading, Taken

#: Where more rows than this share have a date of their own, an empty cell says nothing.
_MOST = 0.5


def with_dates_down(lines: pl.DataFrame, kind: str | None) -> pl.DataFrame:
    """Return lines of a survey, the date of a vehicle's first row in the rows of it below.

    Only where the rows without a date are the more: else each row has its own day.
    """
    if kind not in {"survey", "feature"} or "date" not in lines.columns or lines.is_empty():
        return lines
    dated = pl.col("date").is_not_null()
    if lines["date"].count() == 0 or lines["date"].count() > _MOST * lines.height:
        return lines
    if "vehicle" in lines.columns:
        run = pl.col("vehicle").fill_null("").rle_id()
    else:
        run = pl.lit(0, pl.UInt32)
    first = dated.first().over("_run")
    return (
        lines.with_columns(run.alias("_run"))
        .with_columns(
            pl.when(first).then(pl.col("date").forward_fill().over("_run")).otherwise("date")
            .alias("date")
        )
        .drop("_run")
    )  # fmt: skip


def day_of_count(
    headings: Sequence[Heading], fields: Mapping[str, Taken], day_first: bool | None
) -> dt.date | None:
    """Return the day that is the heading of the quantities, as "Jan 25" over figures, or None."""
    for heading in headings:
        own = fields.get(heading.column)
        if own is not None and own.field == "quantity" and heading.text:
            visit = visit_in(heading.text)
            return date_in(visit.day, day_first) if visit and visit.day else None
    return None

"""The day a line was said, and which of line, sheet, file or import gave it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.dates import infer_day_first, read_date

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from .columns import Findings

#: Countries that write the month first (FROM-MEMORY: usual practice in the United States).
_MONTH_FIRST = frozenset({"US"})
_WHAT_TO_DO = {
    "impossible-date": "correct the date; write it as 2026-03-31 to be sure",
    "ambiguous-date": "write the date as 2026-03-31, or set the club's country",
    "day-order-disagrees": "write the date as 2026-03-31: most of this sheet has it the other way",
    "not-a-date": "write a date, such as 2026-03-31, Mar 2026 or 2026",
}
_PROBLEMS = {
    "impossible-date": "there is no such day",
    "ambiguous-date": "day and month cannot be told apart",
    "day-order-disagrees": "day and month stand in another order than elsewhere on this sheet",
    "not-a-date": "this is not a date that can be read",
}


def day_orders(
    frame: pl.DataFrame, country: str | None, day_first: bool | None
) -> dict[tuple[str | None, str], bool | None]:
    """Return, by sheet and column of dates, whether the day stands before the month.

    As a person said (``day_first``), else as all dates of the sheet tell together, else as the
    country writes; None where nothing tells.
    """
    orders: dict[tuple[str | None, str], bool | None] = {}
    for column in ("date", "since"):
        by_sheet = frame.group_by("sheet").agg(pl.col(column).drop_nulls().unique())
        for sheet, texts in by_sheet.iter_rows():
            told = day_first if day_first is not None else infer_day_first(texts)
            if told is None and country:
                told = country not in _MONTH_FIRST
            orders[sheet, column] = told
    return orders


def read_dates(
    frame: pl.DataFrame,
    *,
    today: dt.date,
    day_orders: Mapping[tuple[str | None, str], bool | None],
    findings: Findings,
) -> pl.DataFrame:
    """Add ``said_on`` and ``said_on_basis``: the line's date, else the sheet's, else the source's.

    The source's is ``stated_on``, given by ``stated_basis``. A month or a year counts from its
    first day. ``day_orders`` is what :func:`day_orders` returns
    for all lines of the source. A date after ``today`` cannot have been said.
    """
    frame = _read(frame, "date", "_said", day_orders, findings)
    findings.fault(
        frame.filter(pl.col("_said") > today), "date", "date-in-the-future",
        "this day has not come yet", "correct the date; write it as 2026-03-31 to be sure",
    )  # fmt: skip
    # A want that was met on a day says so since then.
    met = pl.when(pl.col("_met_on") <= today).then("_met_on")
    frame = frame.with_columns(pl.coalesce("_said", met).alias("_said"))
    return frame.with_columns(
        pl.coalesce("_said", "sheet_date", "stated_on").fill_null(today).alias("said_on"),
        pl.when(pl.col("_said").is_not_null())
        .then(pl.lit("line"))
        .when(pl.col("sheet_date").is_not_null())
        .then(pl.lit("sheet"))
        .when(pl.col("stated_on").is_not_null())
        .then(pl.col("stated_basis"))
        .otherwise(pl.lit("import"))
        .alias("said_on_basis"),
    ).drop("_said")


def read_since(
    frame: pl.DataFrame,
    day_orders: Mapping[tuple[str | None, str], bool | None],
    findings: Findings,
) -> pl.DataFrame:
    """Type the ``since`` column of wants."""
    read = _read(frame, "since", "_since", day_orders, findings)
    return read.drop("since").rename({"_since": "since"})


def _read(
    frame: pl.DataFrame,
    column: str,
    into: str,
    day_orders: Mapping[tuple[str | None, str], bool | None],
    findings: Findings,
) -> pl.DataFrame:
    """Add the dates of a text column as ``into``, in the order of day and month of their sheet."""
    texts = frame.select("sheet", column).unique()
    readings = [
        (sheet, text, *_read_text(text, day_orders.get((sheet, column))))
        for sheet, text in texts.iter_rows()
    ]
    table = pl.DataFrame(
        readings,
        schema={"sheet": pl.String, column: pl.String, into: pl.Date, "_fault": pl.String},
        orient="row",
    )
    found = frame.select("sheet", column).join(
        table, on=["sheet", column], how="left", nulls_equal=True, maintain_order="left"
    )
    whole = frame.with_columns(found.drop("sheet", column))
    for code in found.get_column("_fault").drop_nulls().unique().sort():
        faulty = whole.filter(pl.col("_fault") == code)
        findings.fault(faulty, column, code, _PROBLEMS[code], _WHAT_TO_DO[code])
    return whole.drop("_fault")


def _read_text(text: str | None, day_first: bool | None) -> tuple[dt.date | None, str | None]:
    if text is None or not text.strip():
        return None, None
    reading = read_date(text, day_first)
    known = reading.problem is None or reading.problem in _PROBLEMS
    return reading.date, reading.problem if known else "not-a-date"

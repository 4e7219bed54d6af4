"""The day a line was said, and which of line, sheet, file or import gave it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.dates import infer_day_first, read_date

from .columns import Findings, read_column

if TYPE_CHECKING:
    import datetime as dt

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


def read_dates(
    frame: pl.DataFrame,
    *,
    stated_on: dt.date | None,
    stated_basis: str,
    today: dt.date,
    country: str | None,
    day_first: bool | None,
    findings: Findings,
) -> pl.DataFrame:
    """Add ``said_on`` and ``said_on_basis``: the line's date, else the sheet's, else the source's.

    A month or a year counts from its first day. Day or month first is told from all dates of a
    sheet together, else from the club's country. A date after ``today`` cannot have been said.
    """
    frame = _read(frame, "date", "_said", country, day_first, findings)
    findings.fault(
        frame.filter(pl.col("_said") > today), "date", "date-in-the-future",
        "this day has not come yet", "correct the date; write it as 2026-03-31 to be sure",
    )  # fmt: skip
    return frame.with_columns(
        pl.coalesce("_said", "sheet_date", pl.lit(stated_on)).fill_null(today).alias("said_on"),
        pl.when(pl.col("_said").is_not_null())
        .then(pl.lit("line"))
        .when(pl.col("sheet_date").is_not_null())
        .then(pl.lit("sheet"))
        .otherwise(pl.lit(stated_basis if stated_on else "import"))
        .alias("said_on_basis"),
    ).drop("_said")


def read_since(
    frame: pl.DataFrame, country: str | None, day_first: bool | None, findings: Findings
) -> pl.DataFrame:
    """Type the ``since`` column of wants."""
    read = _read(frame, "since", "_since", country, day_first, findings)
    return read.drop("since").rename({"_since": "since"})


def _read(  # one fact about the source each
    frame: pl.DataFrame,
    column: str,
    into: str,
    country: str | None,
    day_first: bool | None,
    findings: Findings,
) -> pl.DataFrame:
    """Add the dates of a text column as ``into``, the order of day and month told by sheet."""
    sheets = [
        _read_sheet(sheet, column, into, country, day_first)
        for sheet in frame.partition_by("sheet", maintain_order=True)
    ]
    if not sheets:
        return frame.with_columns(pl.lit(None, dtype=pl.Date).alias(into))
    whole = pl.concat(sheets)
    for code, problem in _PROBLEMS.items():
        faulty = whole.filter(pl.col("_fault") == code)
        findings.fault(faulty, column, code, problem, _WHAT_TO_DO[code])
    return whole.drop("_fault")


def _read_sheet(
    sheet: pl.DataFrame, column: str, into: str, country: str | None, day_first: bool | None
) -> pl.DataFrame:
    if day_first is None:
        day_first = infer_day_first(sheet.get_column(column).drop_nulls().unique().to_list())
    if day_first is None and country:
        day_first = country not in _MONTH_FIRST

    def reader(text: str) -> tuple[Any, ...]:
        if not text.strip():
            return None, None
        reading = read_date(text, day_first)
        known = reading.problem is None or reading.problem in _PROBLEMS
        return reading.date, reading.problem if known else "not-a-date"

    return read_column(sheet, column, reader, {into: pl.Date, "_fault": pl.String})

"""The day a line was said, and which of line, sheet, file or import gave it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.dates import infer_day_first, read_date

from .columns import Findings, read_column

if TYPE_CHECKING:
    import datetime as dt

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
    findings: Findings,
) -> pl.DataFrame:
    """Add ``said_on`` and ``said_on_basis``: the line's date, else the sheet's, else the source's.

    A month or a year counts from its first day. Day or month first is told from all dates of a
    sheet together, else from the club's country. A date after ``today`` cannot have been said.
    """
    frame = _read(frame, "date", "_said", country, findings)
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


def read_since(frame: pl.DataFrame, country: str | None, findings: Findings) -> pl.DataFrame:
    """Type the ``since`` column of wants."""
    return _read(frame, "since", "since", country, findings)


def _read(
    frame: pl.DataFrame, column: str, into: str, country: str | None, findings: Findings
) -> pl.DataFrame:
    sheets = frame.partition_by("sheet", maintain_order=True)
    read = [_read_sheet(sheet, column, into, country) for sheet in sheets]
    whole = pl.concat(read) if read else frame.with_columns(
        pl.lit(None, dtype=pl.Date).alias(into), pl.lit(None, dtype=pl.String).alias("_fault")
    )  # fmt: skip
    for code, problem in _PROBLEMS.items():
        faulty = whole.filter(pl.col("_fault") == code)
        if column == into:
            faulty = faulty.with_columns(pl.col("_text").alias(column))
        findings.fault(faulty, column, code, problem, _WHAT_TO_DO[code])
    return whole.drop("_fault", "_text", strict=False)


def _read_sheet(sheet: pl.DataFrame, column: str, into: str, country: str | None) -> pl.DataFrame:
    texts = sheet.get_column(column).drop_nulls().unique().to_list()
    day_first = infer_day_first(texts)
    if day_first is None and country:
        day_first = country != "US"

    def reader(text: str) -> tuple[Any, ...]:
        if not text.strip():
            return None, None
        reading = read_date(text, day_first)
        code = reading.problem
        if code is not None and code not in _PROBLEMS:
            code = "not-a-date"
        return reading.date, code

    named = sheet.with_columns(pl.col(column).alias("_text"))
    read = read_column(named, "_text", reader, {"_date": pl.Date, "_fault": pl.String})
    return read.drop(into, strict=False).rename({"_date": into}) if into in read.columns else (
        read.rename({"_date": into})
    )  # fmt: skip

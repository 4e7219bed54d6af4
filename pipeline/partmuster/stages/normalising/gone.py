"""Holdings that have gone, by what their row, its columns or the title above it say."""

from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Any

import polars as pl

from partmuster.reading.availability import read_availability
from partmuster.reading.dates import read_date
from partmuster.reading.gone import (
    GoneReading,
    read_gone,
    read_gone_answer,
    stems,
    title_says_gone,
)

if TYPE_CHECKING:
    from collections.abc import Mapping

    from .columns import Findings

_TOLD = ("availability", "condition", "remark")
_ASKED = ("gone", "gone_to", "gone_on")
_FIGURE = re.compile(r"\d{1,4}(?:\.0)?")
_MONTH_OF_YEAR = re.compile(r"(\d{1,2})[./](\d{2}|\d{4})")
_FIRST_YEAR = 2000


def read_goings(
    frame: pl.DataFrame, findings: Findings, day_orders: Mapping[Any, bool | None],
    country: str | None,
) -> pl.DataFrame:  # fmt: skip
    """Add ``_gone``: the row says plainly that all of it has gone.

    The day it went becomes the line's date. Where some of it has gone, what is left becomes the
    quantity if the words and figures leave no choice. Anything else is asked, and the line unsure.
    """
    frame = frame.with_columns(pl.lit(value=False).alias("_gone"))
    told = [pl.col(name).str.contains(stems()).fill_null(value=False) for name in _TOLD]
    asked = [pl.col(name).is_not_null() for name in (*_ASKED, "had")]
    sections = frame.get_column("section").unique().drop_nulls()
    titles = [text for text in sections.to_list() if title_says_gone(text)]
    asked.append(pl.col("section").is_in(titles).fill_null(value=False))
    marked = frame.with_row_index("_at").filter(
        (pl.col("kind") == "holding") & pl.any_horizontal(*told, *asked)
    )
    if marked.is_empty():
        return frame
    places, changes, doubts = [], [], []
    columns = ["_at", "raw_number", "sheet", "quantity", "date", "section", *_TOLD, *_ASKED, "had"]
    for line in marked.select(columns).iter_rows(named=True):
        found = _read(line)
        doubt, quantity = _left(found, line)
        sheet_order = day_orders.get((line["sheet"], "date"))
        order = country != "US" if sheet_order is None and country else sheet_order
        day = _day(found.when, order) if found.gone and not doubt else None
        places.append(line["_at"])
        changes.append((found.gone and not doubt, quantity, day or line["date"], doubt is None))
        if doubt:
            doubts.append((line["raw_number"], doubt))
    if doubts:
        rows = pl.DataFrame(
            doubts, schema={"raw_number": pl.Int64, "reason": pl.String}, orient="row"
        )
        findings.doubt(rows, pl.col("reason"))
    read = pl.DataFrame(
        changes, orient="row",
        schema={"_gone": pl.Boolean, "quantity": pl.String, "date": pl.String, "sure": pl.Boolean},
    )  # fmt: skip
    sure = read["sure"] & frame["sure"].gather(places)
    return frame.with_columns(
        frame[name].scatter(places, sure if name == "sure" else read[name]).alias(name)
        for name in read.columns
    )


def _read(line: Mapping[str, Any]) -> GoneReading:
    """Return what a row's columns about going say together, else what its other words do."""
    under = title_says_gone(line["section"] or "")
    cells = [line[name] for name in _ASKED if line[name]]
    if under is False:  # "Still here", on a sheet named "Sold"
        cells = [cell for cell in cells if not title_says_gone(cell)]
    answers = [read_gone_answer(cell) for cell in cells]
    if under and not cells:
        answers.append(GoneReading(gone=True))
    by_title = under or any(title_says_gone(cell) for cell in cells)
    if by_title and _still_says(line["availability"], line["condition"]):
        answers = []  # "for sale" on a sheet named "Sold": the row's own words rule
    said = [answer for answer in answers if answer != GoneReading()]
    said = said or [read_gone(line[name]) for name in _TOLD if line[name]]
    first = GoneReading()
    for one in said:
        first = GoneReading(
            first.gone or one.gone,
            one.some if first.some is None else first.some,
            one.left if first.left is None else first.left,
            first.when or one.when,
            first.unclear or one.unclear,
        )
    return first


def _still_says(*cells: str | None) -> bool:
    """Tell whether a row says of itself that it is offered, promised or kept."""
    return any(
        cell and read_availability(cell, in_passing=True).availability != "unknown"
        for cell in cells
    )


def _left(  # noqa: PLR0911 - one return for each way of counting
    found: GoneReading, line: Mapping[str, Any]
) -> tuple[str | None, str | None]:
    """Return what to ask about how many are left, if anything, and the quantity."""
    quantity, had = line["quantity"], _figure(line["had"])
    held = _figure(quantity)
    if found.unclear or (found.gone and found.some is not None):
        return "is it gone?", quantity
    if found.some is None or found.gone:
        return None, quantity
    if held is None and had is None:
        return f"{found.some} gone: how many are left?", quantity
    if had is not None and had >= found.some:
        left = had - found.some
        agreed = held is None or held == left
        return (None if agreed else "how many are left?"), str(left)
    if found.left is not None and held in {found.left, found.left + found.some}:
        return None, str(found.left)
    if held is not None and found.left is None and held < found.some:
        return None, quantity  # more have gone than are counted: the count is of those left
    return f"{found.some} gone: of the {quantity}, or besides?", quantity


def _figure(text: str | None) -> int | None:
    return int(float(text)) if text and _FIGURE.fullmatch(text.strip()) else None


def _day(words: str | None, day_first: bool | None) -> str | None:
    """Return the day that words name, as it is written to be sure, or None."""
    if words is None:
        return None
    found = read_date(words, day_first)
    if found.date is not None and found.problem is None and found.date <= dt.date.max:
        return found.date.isoformat()
    month = _MONTH_OF_YEAR.fullmatch(words)
    if month is None or not day_first or not 1 <= int(month[1]) <= 12:  # noqa: PLR2004 - months
        return None
    year = int(month[2]) if len(month[2]) > 2 else _FIRST_YEAR + int(month[2])  # noqa: PLR2004
    return f"{year}-{int(month[1]):02}"

"""Columns of one visit each: "Jan 2025 | Jun 2025", "Survey 1 (14 Mar 2024)", "1st visit"."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import polars as pl

from partmuster.reading.dates import find_date, infer_day_first, read_date
from partmuster_trade.headings import fold_heading

from .headings import meanings_of
from .titles import vehicle_named

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

#: What one look at a vehicle is called, and words beside its day (common practice, no source).
_LOOK = r"(?:survey|visit|inspection|check|walk ?round|look|trip|sighting|round)"
_NUMBER = r"(?:\d+(?:st|nd|rd|th)|first|second|third|fourth|fifth|last|latest|previous|original)"
_COUNTED = re.compile(
    rf"(?i)\b{_NUMBER} {_LOOK}\b|\b{_LOOK} ?(?:no\.? ?|number |#)?\d{{1,2}}\b(?![./-]\d)"
)
_BESIDE = frozenset({"survey", "surveyed", "visit", "visited", "inspection", "inspected", "check",
                     "checked", "seen", "state", "condition", "status", "as", "at", "of", "on",
                     "in", "found", "walk", "round", "walkround", "look", "looked", "dated", "date",
                     "fitted", "present", "count", "counted", "qty", "stock"})  # fmt: skip
#: "3/24": a month and a year where the second cannot be a month.
_MONTH_AND_YEAR = re.compile(
    r"(?<![\d/])(?P<month>0?[1-9]|1[0-2])/(?P<year>1[3-9]|[23]\d)(?![\d/])"
)
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
_READ = frozenset({None, "ambiguous-date", "day-order-disagrees"})
_FIRST_YEAR, _LAST_YEAR = 1970, 2049


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit: its heading, its day in words (None: not written), and whose visit it was."""

    text: str
    day: str | None = None
    vehicle: str | None = None


@lru_cache(maxsize=4096)
def visit_in(text: str) -> Visit | None:
    """Return the visit that a heading names and nothing else, or None.

    "Otter 3 Jan 2025" is one of that vehicle; "Price 2025" is none.
    """
    counted = _COUNTED.search(text) is not None
    bare = _COUNTED.sub(" ", text).strip(" ()[]-–:,")
    if not bare:
        return Visit(text) if counted else None
    short = _MONTH_AND_YEAR.search(bare)
    if short is not None:
        day, rest = _month_of(short), bare.replace(short[0], " ")
    elif _is_day(bare):
        day, rest = bare, ""
    else:
        found = find_date(bare)
        if found is None or found.problem not in _READ:
            return Visit(text) if counted and _plain(bare) else None
        day, rest = _as_written(bare, found.text)
        if not day:
            return None
    rest = rest.strip(" ()[]-–:,")
    if _plain(rest):
        return Visit(text, day)
    return Visit(text, day, rest) if vehicle_named(rest) else None


def no_more(text: str | None) -> bool:
    """Tell whether a heading is empty, or no more than a day: "Jan 25"."""
    return not text or ((visit := visit_in(text)) is not None and visit.vehicle is None)


def _month_of(match: re.Match[str]) -> str:
    return f"{_MONTHS[int(match['month']) - 1]} 20{match['year']}"


def _is_day(text: str) -> bool:
    reading = read_date(text)
    if reading.problem is not None:
        return reading.problem == "ambiguous-date"
    return reading.date is not None and _FIRST_YEAR <= reading.date.year <= _LAST_YEAR


def _as_written(text: str, folded: str) -> tuple[str, str]:
    """Return a date that was found, folded, as it stands in a text, and the rest of the text."""
    loose = re.compile(re.sub(r"(?:\\ )+", r"\\W*", re.escape(folded.strip())), re.IGNORECASE)
    match = loose.search(text)
    return (match[0], f"{text[: match.start()]} {text[match.end() :]}") if match else ("", text)


def _plain(rest: str) -> bool:
    return set(fold_heading(rest).split()) <= _BESIDE


def visits_above(named: Iterable[tuple[str, str]]) -> dict[str, Visit]:
    """Return visits by column, of (column, heading); known headings are none."""
    return {
        column: visit for column, text in named
        if meanings_of(text)[1] < 1 and (visit := visit_in(text)) is not None
    }  # fmt: skip


def undated_before_others(visits: Mapping[str, Visit]) -> set[str]:
    """Return the columns of visits without a day after which others stand."""
    last = max(visits, key=int)
    return {column for column, visit in visits.items() if visit.day is None and column != last}


def newest_first(visits: Mapping[str, Visit], day_first: bool | None) -> list[tuple[str, str, str]]:
    """Return (column, heading, day in words) of visits, the newest first, or nothing.

    Nothing where a day is not read, or stands twice.
    """
    days = {column: visit.day or "" for column, visit in visits.items()}
    order = day_first if day_first is not None else infer_day_first(days.values())
    read = {column: read_date(day, order).date for column, day in days.items()}
    known = {column: date for column, date in read.items() if date is not None}
    if len(known) < len(days) or len({*known.values()}) < len(known):
        return []
    ordered = sorted(known, key=lambda column: known[column], reverse=True)
    return [(column, visits[column].text, days[column]) for column in ordered]


def with_counts(rows: pl.DataFrame, newest: Sequence[tuple[str, str, str]]) -> pl.DataFrame:
    """Return rows with their newest count, its day and the older ones.

    As ``counted``, ``counted_on`` and ``counted_before``.
    """
    cells = [pl.col(column) for column, _, _ in newest]
    day = pl.coalesce(pl.when(pl.col(c).is_not_null()).then(pl.lit(day)) for c, _, day in newest)
    older = [
        pl.when(pl.any_horizontal(pl.col(c).is_not_null() for c, _, _ in newest[:at]))
        .then(pl.lit(f"{text}: ") + pl.col(column))
        for at, (column, text, _) in enumerate(newest) if at
    ]  # fmt: skip
    before = pl.concat_str(older, separator="; ", ignore_nulls=True)
    return rows.with_columns(
        pl.coalesce(cells).alias("counted"), day.alias("counted_on"),
        pl.when(before != "").then(before).alias("counted_before"),
    )  # fmt: skip

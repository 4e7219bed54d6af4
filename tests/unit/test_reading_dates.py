"""Dates as members, spreadsheets and file names write them."""

from __future__ import annotations

from datetime import date

import pytest

from partmuster.reading.dates import find_date, infer_day_first, read_date

DAYS = {
    "2012-08-30": date(2012, 8, 30),
    "2012/08/30": date(2012, 8, 30),
    "2012.8.30": date(2012, 8, 30),
    "20120830": date(2012, 8, 30),
    "2012-08-30 00:00:00": date(2012, 8, 30),
    "2012-08-30T10:20:30Z": date(2012, 8, 30),
    "2012-08-30T10:20:30.123+01:00": date(2012, 8, 30),
    "8/30/2012 0:00:00": date(2012, 8, 30),
    "8/30/2012 12:00:00 AM": date(2012, 8, 30),
    "30.8.12": date(2012, 8, 30),
    "30/08/2012": date(2012, 8, 30),
    "30-08-2012": date(2012, 8, 30),
    "30 8 2012": date(2012, 8, 30),
    "03/03/2024": date(2024, 3, 3),
    "30-Aug-2012": date(2012, 8, 30),
    "30 Aug 12": date(2012, 8, 30),
    "30 Aug '12": date(2012, 8, 30),
    "30th August 2012": date(2012, 8, 30),
    "30th of August, 2012": date(2012, 8, 30),
    "Aug 30, 2012": date(2012, 8, 30),
    "August 30th 2012": date(2012, 8, 30),
    "Thursday 30 August 2012": date(2012, 8, 30),
    "Thu, 30 Sept. 2012": date(2012, 9, 30),
    "30.VIII.2012": date(2012, 8, 30),
    "30.8.44": date(1944, 8, 30),
    "30.8.39": date(2039, 8, 30),
    "30.8.40": date(1940, 8, 30),
    "29/02/2024": date(2024, 2, 29),
}


@pytest.mark.parametrize(("text", "day"), DAYS.items())
def test_days(text, day):
    got = read_date(text)
    assert (got.date, got.until, got.precision, got.problem) == (day, day, "day", None)
    assert got.text == text


PERIODS = {
    "Aug 2012": (date(2012, 8, 1), date(2012, 8, 31), "month", False),
    "August, 2012": (date(2012, 8, 1), date(2012, 8, 31), "month", False),
    "Aug '12": (date(2012, 8, 1), date(2012, 8, 31), "month", False),
    "Feb-96": (date(1996, 2, 1), date(1996, 2, 29), "month", False),
    "2012-08": (date(2012, 8, 1), date(2012, 8, 31), "month", False),
    "08/2012": (date(2012, 8, 1), date(2012, 8, 31), "month", False),
    "??/08/2012": (date(2012, 8, 1), date(2012, 8, 31), "month", False),
    "Q3 2012": (date(2012, 7, 1), date(2012, 9, 30), "month", False),
    "2012": (date(2012, 1, 1), date(2012, 12, 31), "year", False),
    "summer 2012": (date(2012, 1, 1), date(2012, 12, 31), "year", True),
    "early 2012": (date(2012, 1, 1), date(2012, 12, 31), "year", True),
    "Xmas '98": (date(1998, 1, 1), date(1998, 12, 31), "year", True),
    "c. 1998": (date(1998, 1, 1), date(1998, 12, 31), "year", True),
    "circa 1998": (date(1998, 1, 1), date(1998, 12, 31), "year", True),
    "1998?": (date(1998, 1, 1), date(1998, 12, 31), "year", True),
    "about Aug 2012": (date(2012, 8, 1), date(2012, 8, 31), "month", True),
    "1990s": (date(1990, 1, 1), date(1999, 12, 31), "year", True),
    "1944-45": (date(1944, 1, 1), date(1945, 12, 31), "year", False),
    "1998-2001": (date(1998, 1, 1), date(2001, 12, 31), "year", False),
    "pre 1998": (None, date(1997, 12, 31), "year", False),
    "since 1998": (date(1998, 1, 1), None, "year", False),
}


@pytest.mark.parametrize(("text", "expected"), PERIODS.items())
def test_periods(text, expected):
    got = read_date(text)
    assert (got.date, got.until, got.precision, got.approximate) == expected
    assert got.problem is None


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("31/02/2020", "impossible-date"),
        ("2023-02-29", "impossible-date"),
        ("2023-13-01", "impossible-date"),
        ("32/01/2020", "impossible-date"),
        ("0/0/2020", "impossible-date"),
        ("31 Apr 2020", "impossible-date"),
        ("13/2012", "impossible-date"),
        ("03/04/2024", "ambiguous-date"),
        ("3.4.24", "ambiguous-date"),
        ("Aug-12", "ambiguous-date"),
        ("2011/12", "ambiguous-date"),
        ("30 Aug", "no-year"),
        ("August", "no-year"),
        ("yesterday", "relative-date"),
        ("last week", "relative-date"),
        ("41151", "not-a-date"),
        ("10:00", "not-a-date"),
        ("Bob", "not-a-date"),
        ("1/2", "not-a-date"),
        ("9999999999999999999999", "not-a-date"),
        ("2012-08-30 and on", "not-a-date"),
    ],
)
def test_problems(text, problem):
    got = read_date(text)
    assert (got.problem, got.date, got.until, got.precision) == (problem, None, None, None)


@pytest.mark.parametrize("text", ["", "?", "unknown", "n/k", "-"])
def test_nothing_said(text):
    got = read_date(text)
    assert (got.date, got.problem) == (None, None)


def test_column_order_settles():
    assert read_date("03/04/2024", day_first=True).date == date(2024, 4, 3)
    assert read_date("03/04/2024", day_first=False).date == date(2024, 3, 4)
    assert read_date("8/30/2012", day_first=True).problem == "day-order-disagrees"
    assert read_date("30/8/2012", day_first=False).problem == "day-order-disagrees"


@pytest.mark.parametrize(
    ("texts", "expected"),
    [
        (["03/04/2024", "30/8/2012"], True),
        (["03/04/2024", "8/30/2012 0:00:00"], False),
        (["30/8/2012", "8/30/2012"], None),
        (["03/04/2024", "03/03/2024"], None),
        (["2024-03-30", ""], None),
        ([], None),
    ],
)
def test_infer_day_first(texts, expected):
    assert infer_day_first(texts) is expected


@pytest.mark.parametrize(
    ("text", "start", "precision"),
    [
        ("stock_2026-03.xlsx", date(2026, 3, 1), "month"),
        ("Shed list as at 3rd March 2026", date(2026, 3, 3), "day"),
        ("list 14.02.26", date(2026, 2, 14), "day"),
        ("stock_2026-03-14_final.csv", date(2026, 3, 14), "day"),
        ("stock 20260314.csv", date(2026, 3, 14), "day"),
        ("2026_03_14 shed.xlsx", date(2026, 3, 14), "day"),
        ("notes/Mar 2026.txt", date(2026, 3, 1), "month"),
        ("Survey of hull, 14/2/2026 (rain)", date(2026, 2, 14), "day"),
        ("stocktake-mar-2026.csv", date(2026, 3, 1), "month"),
        ("IMG_20260314_101010.jpg", date(2026, 3, 14), "day"),
        ("list 14/2/2026 v.2", date(2026, 2, 14), "day"),
        ("Stock 2026.xlsx", date(2026, 1, 1), "year"),
    ],
)
def test_find_date(text, start, precision):
    got = find_date(text)
    assert got is not None
    assert (got.date, got.precision, got.problem) == (start, precision, None)


@pytest.mark.parametrize("text", ["Mudguards", "Mk 2 list", "hull 1001-1450", "", "part 12345678"])
def test_find_no_date(text):
    assert find_date(text) is None


def test_find_date_shows_doubt():
    assert find_date("list 03.04.26").problem == "ambiguous-date"
    assert find_date("list 3 Mar 2026, was 4 Apr 2025").problem == "several-dates"
    assert find_date("list 31.02.26").problem == "impossible-date"

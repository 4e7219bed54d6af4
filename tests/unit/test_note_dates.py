"""Days as people write them in notes: in full, in part, and told from the note's own day."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster_plugins.hand_notes.dates import days_in, entry_day

#: A Saturday.
NEAR = dt.date(2025, 4, 12)


def said(text, near=None, **more):
    return [day.text for day in days_in(text, near, **more)]


#: ISO 8601:2004, 5.2 and annex B (FROM-MEMORY of the standard's own examples).
ISO = {
    "19850412": "1985-04-12",
    "1985-04-12": "1985-04-12",
    "1985-04": "1985-04",
    "1985102": "1985-04-12",
    "1985-102": "1985-04-12",
    "1985W155": "1985-04-12",
    "1985-W15-5": "1985-04-12",
    "19850412T101530Z": "1985-04-12",
    "1985-04-12T10:15:30Z": "1985-04-12",
    "1985-04-12T10:15:30+04:00": "1985-04-12",
    "1985-102T10:15:30Z": "1985-04-12",
    "1985-W15-5T10:15:30+04": "1985-04-12",
}
#: python-dateutil, docs/examples.rst, "parse examples"; what it guesses is here left in doubt.
DATEUTIL = {
    "Thu Sep 25 10:36:28 2003": "2003-09-25",
    "2003 10:36:28 25 Sep Thu": None,
    "Thu Sep 25 2003": "2003-09-25",
    "Sep 25 2003": "2003-09-25",
    "Sep 2003": "2003-09",
    "Thu, 25 Sep 2003 10:49:41 -0300": "2003-09-25",
    "2003-09-25T10:49:41.5-03:00": "2003-09-25",
    "2003-09-25T10": "2003-09-25",
    "20030925T104941-0300": "2003-09-25",
    "20030925": "2003-09-25",
    "2003-Sep-25": "2003-09-25",
    "25-Sep-2003": "2003-09-25",
    "Sep-25-2003": "2003-09-25",
    "09-25-2003": "2003-09-25",
    "25-09-2003": "2003-09-25",
    "10-09-2003": "10-09-2003",
    "2003.Sep.25": "2003-09-25",
    "2003/09/25": "2003-09-25",
    "2003 Sep 25": "2003-09-25",
    "2003 09 25": "2003-09-25",
}
WRITTEN = {
    "OTTER 1, N. shed, Sat 12 Apr 2025 (wet)": "2025-04-12",
    "1st March 2025": "2025-03-01",
    "Stores, minutes, 11 Oct. 2025": "2025-10-11",
    "21st June '26, longest day": "2026-06-21",
    "Feb 15 '25": "2025-02-15",
    "15 Feb 44": "1944-02-15",
    "April 6th, 2025": "2025-04-06",
    "the 3rd of May, 2001": "2001-05-03",
    "May 2025. Copy by the 20th": "2025-05",
    "Track Pin, November 2024": "2024-11",
    "28/6/2026, bench notes": "2026-06-28",
    "22.3.2025": "2025-03-22",
    "14_visit_2025-01-18.md": "2025-01-18",
    "visit 20250118.txt": "2025-01-18",
    "Seventeenth of May twenty five.": "2025-05-17",
    "saturday the fourteenth of march twenty twenty six and": "2026-03-14",
    "Sunday thirteenth July 2025": "2025-07-13",
    "end of May 2026 (31st)": "2026-05-31",
    "31 February 2025": None,
    "99.99.2025": None,
    "KD 318 cast on block": None,
    "part no. 1140-77": None,
    "HB 1140/2 and 11 41 beside it": None,
    "ratio 12-14-16-18": None,
    "tel. 01632 960101": None,
    "it may be 4 or 5": None,
}


@pytest.mark.parametrize(("text", "day"), [*ISO.items(), *DATEUTIL.items(), *WRITTEN.items()])
def test_a_day_written_out(text, day):
    assert said(text) == ([day] if day else [])


@pytest.mark.parametrize(
    ("text", "day"),
    {
        "3.5.25": "3.5.25",
        "03/04/2024": "03/04/2024",
        "Sat 3.5.25": "2025-05-03",
        "Wed 3/5/25": "2025-03-05",
        "3/3/24": "2024-03-03",
        "8/30/12": "2012-08-30",
    }.items(),
)
def test_day_and_month_are_told_apart_only_where_something_tells(text, day):
    assert said(text) == [day]


def test_other_dates_of_the_note_tell_how_it_writes_them():
    assert said("3.5.25", day_first=True) == ["2025-05-03"]
    assert said("3.5.25", day_first=False) == ["2025-03-05"]
    assert said("13.5.25", day_first=False) == ["2025-05-13"]


@pytest.mark.parametrize(
    ("text", "day"),
    {
        "had a look yesterday": "2025-04-11",
        "went round it last night": "2025-04-11",
        "this morning it was there": "2025-04-12",
        "the day before yesterday": "2025-04-10",
        "I dropped in on Sunday": "2025-04-06",
        "last Sunday there was one": "2025-04-06",
        "Friday, it was there": "2025-04-11",
        "last Saturday": "2025-04-05",
        "Tuesday last": "2025-04-08",
        "as of last Tuesday": "2025-04-08",
        "a fortnight ago": "2025-03-29",
        "two weeks ago": "2025-03-29",
        "a week ago": "2025-04-05",
        "3 days ago": "2025-04-09",
        "a month ago": "2025-03",
        "last month": "2025-03",
        "in March": "2025-03",
        "In May she had one": "2024-05",
        "on Feb 3rd": "2025-02-03",
        "on the 3rd of February": "2025-02-03",
        "6 Sept. over the fence": "2024-09-06",
        "on New Year's Day": "2025-01-01",
        "on Boxing Day": "2024-12-26",
        "on Christmas Eve": "2024-12-24",
    }.items(),
)
def test_a_day_told_from_the_notes_own(text, day):
    assert said(text, NEAR) == [day]


@pytest.mark.parametrize(
    "text",
    [
        "next Sunday", "on Sunday week", "by Friday", "until March", "back in May", "since Tuesday",
        "every Sunday", "from 1961", "it may be", "we march on", "Sundays only",
        "this coming Friday",
        "a sun visor", "Sun visor missing", "it sat there", "Sat on the axle",
        "after Easter", "due on 14 April", "before Christmas Day", "in the second week",
    ],
)  # fmt: skip
def test_what_is_to_come_or_no_day_is_none(text):
    assert said(text, NEAR) == []


def test_without_a_day_of_its_own_a_note_tells_no_other():
    for text in ("yesterday", "on Sunday", "in March", "3 Mar.", "a fortnight ago"):
        assert said(text) == []


@pytest.mark.parametrize(
    ("text", "last", "day", "rest"),
    [
        ("3 Mar. Rain. Roof.", dt.date(2025, 1, 1), "2025-03-03", "Rain. Roof."),
        ("9 Mar. (Sunday) Went to see Wilf.", dt.date(2025, 3, 3), "2025-03-09",
         "Went to see Wilf."),
        ("May 4. Old Mr Tarrant came by.", dt.date(2025, 4, 19), "2025-05-04",
         "Old Mr Tarrant came by."),
        ("24 May So much for witnesses.", dt.date(2025, 5, 17), "2025-05-24",
         "So much for witnesses."),
        ("14 June, hot. Gwen will", dt.date(2025, 6, 1), "2025-06-14", "hot. Gwen will"),
        ("19 Apr. - Easter Saturday. Hinge on.", dt.date(2025, 4, 6), "2025-04-19",
         "Easter Saturday. Hinge on."),
        ("5 Jan. Snow.", dt.date(2025, 12, 28), "2026-01-05", "Snow."),
        ("Sunday 4 Jan", dt.date(2026, 1, 1), "2026-01-04", ""),
        ("Sunday 15 March - she runs!!!", dt.date(2026, 3, 7), "2026-03-15", "she runs!!!"),
        ("Good Friday 3 April", dt.date(2026, 3, 29), "2026-04-03", ""),
        ("11 Feb, a Wednesday, skiving", dt.date(2026, 2, 1), "2026-02-11", "a Wednesday, skiving"),
        ("Aug. Nothing. Harvest.", dt.date(2025, 7, 13), "2025-08", "Nothing. Harvest."),
        ("Sunday. Wet.", dt.date(2026, 1, 7), "2026-01-11", "Wet."),
        ("[23/08/2025, 14:02] Gwen S: Standing", None, "2025-08-23", "Gwen S: Standing"),
        ("11/4/26  TIN LIZARD", None, "11/4/26", "TIN LIZARD"),
        ("2025-04-12: dynamo gone", None, "2025-04-12", "dynamo gone"),
    ],
)  # fmt: skip
def test_an_entry_begins_with_its_day(text, last, day, rest):
    found = entry_day(text, last)
    assert found is not None
    assert (found[0].text, found[1]) == (day, rest)


@pytest.mark.parametrize(
    "text",
    ["3 leaf springs on", "2 of 8 wheels", "May be there", "Mar on the left", "12 Apr shackles",
     "Sun visor missing", "4 4 7 cast on it", "3 Mk 2 carbs", "10/4 torque"],
)  # fmt: skip
def test_a_paragraph_about_things_is_no_entry(text):
    assert entry_day(text, dt.date(2025, 4, 1)) is None

"""What titles above "Part | Found" and its like say: a survey of a vehicle, wants, or stock."""

from __future__ import annotations

import datetime as dt

import polars as pl
import pytest

from partmuster.model import Grid
from partmuster.reading.presence import read_presence
from partmuster.stages.layout import lay_out


def laid(title, heads, *rows):
    width = len(heads)
    cells = [[title, *[None] * (width - 1)]] * bool(title) + [list(heads), *map(list, rows)]
    frame = pl.DataFrame(
        {"row": pl.Series(range(1, len(cells) + 1), dtype=pl.Int32),
         **{str(at + 1): [row[at] for row in cells] for at in range(width)}}
    )  # fmt: skip
    return lay_out([Grid(cells=frame)], name="sheet1.csv")


FOUND = (("Dynamo", "yes"), ("Horn", "no"), ("Silencer", "yes"))


@pytest.mark.parametrize(
    ("title", "head"),
    [
        ("Survey of Otter 4", "Found"), ("Otter 4 survey", "Found"), ("Otter 4 as found", "Found"),
        ("What is on Otter 4", "There?"), ("Inventory of Otter 4", "Present"),
        ("Otter 4: what is there and what is not", "Found"), ("Otter 4 walk round", "Found it"),
        ("Looked over Otter 4 on 3 May 2026", "Found"), ("Inspection of Otter 4", "Got it?"),
        ("Check list Otter 4", "Found"), ("Condition of Otter 4", "Found"),
        ("State of Otter 4", "Found"), ("Audit of Otter 4", "Found"),
        ("Otter 4 completeness check", "Found"), ("What we found on Otter 4", "Found?"),
        ("Otter 4 inspection, 3 May 2026", "Found"), ("Otter 4 - condition report", "Found"),
    ],
)  # fmt: skip
def test_a_survey_of_one_vehicle(title, head):
    read = laid(title, ("Part", head), *FOUND)
    assert read.lines["kind"].to_list() == ["survey"] * 3
    assert read.lines["vehicle"].to_list() == ["Otter 4"] * 3
    seen = [read_presence(text).presence for text in read.lines["presence"].to_list()]
    assert seen == ["fitted", "missing", "fitted"]


@pytest.mark.parametrize(
    "title",
    ["Wanted for Otter 4", "Otter 4 wants list", "Still to find for Otter 4",
     "Shopping list Otter 4", "Parts needed for Otter 4"],
)  # fmt: skip
def test_wants_of_one_vehicle_and_whether_they_are_found(title):
    read = laid(title, ("Part", "Found"), *FOUND)
    assert read.lines["kind"].to_list() == ["want"] * 3
    assert read.lines["vehicle"].to_list() == ["Otter 4"] * 3
    assert read.lines["presence"].count() == 0


@pytest.mark.parametrize("title", ["Stock check", "Stock list May 2026", "Stocktake of the shed"])
def test_what_was_found_in_stock_is_how_many(title):
    read = laid(title, ("Part", "Found", "Notes"), ("Dynamo", "2", None), ("Horn", "1", "blue"),
                ("Silencer", "3", None))  # fmt: skip
    assert read.lines["kind"].to_list() == ["holding"] * 3
    assert read.lines["quantity"].to_list() == ["2", "1", "3"]


@pytest.mark.parametrize(
    ("title", "heads", "row"),
    [
        ("Missing parts Otter 4", ("Part", "Qty"), ("1", "2", "1")),
        ("What we found on Otter 4", ("Part", "Where"), ("engine bay", "cab", "rear")),
        ("Otter 4 condition report", ("Part", "Qty"), ("1", "2", "1")),
        ("Otter 4", ("Part", "Found"), ("yes", "no", "yes")),
    ],
)
def test_what_may_be_a_survey_or_something_else_is_asked_about(title, heads, row):
    read = laid(title, heads, *zip(("Dynamo", "Horn", "Silencer"), row, strict=True))
    assert read.lines["kind"].to_list() == [None] * 3
    assert read.questions["topic"].to_list() == ["layout"]


@pytest.mark.parametrize(
    "title",
    ["Inventory of Otter 4", "What is on Otter 4", "Missing from Otter 4", "Audit of Otter 4"],
)
def test_a_title_is_no_vehicle(title):
    read = laid(title, ("Part", "State"), ("Dynamo", "bent"), ("Horn", "ok"), ("Silencer", "gone"))
    assert read.lines["vehicle"].unique().to_list() in ([None], ["Otter 4"])


def test_what_came_in_and_went_out_without_a_balance_is_asked_about():
    read = laid("Ada Finch's shed", ("Part", "In", "Out"), ("Dynamo", "4", "1"),
                ("Horn", "2", None), ("Lamp", "3", "3"))  # fmt: skip
    assert read.lines["kind"].to_list() == [None] * 3
    assert read.questions["topic"].to_list() == ["layout"]


@pytest.mark.parametrize(("head", "day"), [("Jan 2025", dt.date(2025, 1, 1)), ("Jan 25", None)])
def test_a_month_over_figures_is_the_heading_of_a_count(head, day):
    read = laid("Ada's stock", ("Part", head), ("Dynamo", "4"), ("Horn", "1"), ("Lamp", "2"))
    assert read.lines["description"].to_list() == ["Dynamo", "Horn", "Lamp"]
    assert read.lines["quantity"].to_list() == ["4", "1", "2"]
    assert read.lines["sheet_date"].to_list() == [day] * 3  # "Jan 25" may be a day of any year


def test_a_register_headed_what_lists_vehicles():
    rows = (
        ("Otter 3", "Otter", "Mk 2"),
        ("Otter 4", "Otter", "Mk 1"),
        ("Heron 2", "Heron", "Mk 1"),
    )
    read = laid("Vehicle register", ("What", "Family", "Mark"), *rows)
    assert read.lines["kind"].to_list() == ["vehicle"] * 3
    assert read.lines["vehicle"].to_list() == ["Otter 3", "Otter 4", "Heron 2"]
    asked = laid(None, ("What", "Mark", "Owner"), ("Otter 3", "Mk 2", "Ada Finch"),
                 ("Otter 4", "Mk 1", "Ivo Larch"), ("Heron 2", "Mk 1", "Ivo Larch"))  # fmt: skip
    assert asked.lines["kind"].to_list() == [None] * 3  # they may be parts


def test_a_date_written_once_stands_for_the_rows_of_the_vehicle_below_it():
    read = laid(
        "Survey", ("Date", "Vehicle", "Part", "State"),
        ("2026-05-01", "Otter 4", "Dynamo", "missing"), (None, "Otter 4", "Horn", "fitted"),
        (None, "Otter 4", "Lamp", "fitted"), ("2026-06-02", "Otter 3", "Horn", "fitted"),
        (None, "Otter 3", "Lamp", "missing"), (None, "Heron 2", "Lamp", "missing"),
    )  # fmt: skip
    days = ["2026-05-01"] * 3 + ["2026-06-02"] * 2
    assert read.lines["date"].to_list() == [*days, None]


def test_a_date_of_a_row_among_others_is_its_own():
    read = laid(
        "Survey of Otter 4", ("Part", "State", "Date"), ("Dynamo", "missing", None),
        ("Horn", "fitted", "2026-05-01"), ("Lamp", "fitted", None), ("Silencer", "fitted", None),
    )  # fmt: skip
    assert read.lines["date"].to_list() == [None, "2026-05-01", None, None]

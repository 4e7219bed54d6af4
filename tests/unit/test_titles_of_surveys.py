"""What titles above "Part | Found" and its like say: a survey of a vehicle, wants, or stock."""

from __future__ import annotations

import polars as pl
import pytest

from partmuster.model import Grid
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
    assert read.lines["presence"].to_list() == ["fitted", "missing", "fitted"]


@pytest.mark.parametrize(
    "title",
    ["Wanted for Otter 4", "Otter 4 wants list", "Still to find for Otter 4", "Shopping list Otter 4",
     "Parts needed for Otter 4"],
)  # fmt: skip
def test_wants_of_one_vehicle_and_whether_they_are_found(title):
    read = laid(title, ("Part", "Found"), *FOUND)
    assert read.lines["kind"].to_list() == ["want"] * 3
    assert read.lines["vehicle"].to_list() == ["Otter 4"] * 3
    assert "presence" not in [name for name in ("presence",) if read.lines[name].count()]


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
    "title", ["Inventory of Otter 4", "What is on Otter 4", "Missing from Otter 4", "Audit of Otter 4"]
)
def test_a_title_is_no_vehicle(title):
    read = laid(title, ("Part", "State"), ("Dynamo", "bent"), ("Horn", "ok"), ("Silencer", "gone"))
    assert read.lines["vehicle"].unique().to_list() in ([None], ["Otter 4"])

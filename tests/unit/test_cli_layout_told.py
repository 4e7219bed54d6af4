"""What people say of a layout is done, or refused with what is there: never passed over."""

from __future__ import annotations

import shutil

import pytest

from .test_cli_deciding import call, rows

SHEETS = {
    "twice.csv": (
        "Part,No,No,Notes\nDynamo,2,AB 1234,good\nSilencer,1,AB 1235,rusty\nFan belt,3,AB 12,new\n"
    ),
    "odd.csv": "Barn things\n\nZonk,Blip,Fleem\nDynamo,2,good\nSilencer,1,rusty\n",
    "like_odd.csv": "Zonk,Blip,Fleem\nWater pump,2,good\nHeadlamp,1,rusty\n",
    "seen.csv": "Part,Otter 1,Otter 2,Looks\nDynamo,fitted,missing,ok\nSilencer,missing,y,ok\n",
}


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    folder = tmp_path_factory.mktemp("told")
    sheets, club = folder / "sheets", folder / "club"
    sheets.mkdir()
    for name, text in SHEETS.items():
        (sheets / name).write_text(text, encoding="utf-8")
    assert call(club, "init", "--country", "GB").exit_code == 0
    call(club, "import", str(sheets))
    return folder


@pytest.fixture
def club(tmp_path, imported):
    return shutil.copytree(imported, tmp_path, dirs_exist_ok=True) / "club"


def taken(club, source):
    return [(row["heading"], row["field"]) for row in rows(club, "layout", source)]


@pytest.mark.parametrize("row", ["999", "2"])
def test_a_row_that_is_not_there_or_empty_is_refused_and_not_kept(club, row):
    refused = call(club, "layout", "odd.csv", "--header-row", row, "--by", "R")
    assert refused.exit_code == 2
    assert f"row {row} of odd.csv holds nothing" in refused.stderr
    assert "its last row is 5" in refused.stderr
    assert not rows(club, "decisions")


def test_a_row_too_far_down_to_be_headings_is_told_of(club, tmp_path):
    long = tmp_path / "long.csv"
    long.write_text("Part,Qty\n" + "Dynamo,1\n" * 60, encoding="utf-8")
    call(club, "import", str(long))
    told = call(club, "layout", "long.csv", "--header-row", "50", "--by", "R")
    assert told.exit_code == 1
    assert "row 50 is not taken for the headings of a table" in told.stderr


def test_a_heading_that_stands_twice_is_named_by_its_column(club):
    refused = call(club, "layout", "twice.csv", "--field", "No=quantity", "--by", "R")
    assert refused.exit_code == 2
    assert "'No' stands twice" in refused.stderr
    assert "'column 2' or 'column 3'" in refused.stderr
    told = call(club, "layout", "twice.csv", "--kind", "holding", "--holder", "Ivo Larch",
                "--field", "column 2=quantity", "--field", "column 3=part_number",
                "--by", "R")  # fmt: skip
    assert told.exit_code == 0
    assert taken(club, "twice.csv")[1:3] == [("No", "quantity"), ("No", "part_number")]
    held = rows(club, "holders", "dynamo")
    assert [(row["holder"], row["quantity"]) for row in held] == [("Ivo Larch", "2")]


def test_of_a_heading_that_stands_twice_the_same_one_is_meant_when_columns_are_moved(
    club, tmp_path
):
    call(club, "layout", "twice.csv", "--kind", "holding", "--holder", "Ivo Larch",
         "--field", "column 2=quantity", "--field", "column 3=part_number",
         "--by", "R")  # fmt: skip
    moved = tmp_path / "twice.csv"
    moved.write_text("Notes,Part,No,No\ngood,Dynamo,4,AB 1234\nrusty,Silencer,1,AB 1235\n"
                     "new,Fan belt,3,AB 12\n", encoding="utf-8")  # fmt: skip
    call(club, "import", str(moved))
    assert taken(club, "twice.csv")[2:] == [("No", "quantity"), ("No", "part_number")]
    assert [row["quantity"] for row in rows(club, "holders", "dynamo")] == ["4"]


def test_a_column_may_be_named_by_its_number(club):
    told = call(club, "layout", "twice.csv", "--field", "column 4=condition", "--by", "R")
    assert told.exit_code == 0
    assert taken(club, "twice.csv")[3] == ("Notes", "condition")


def test_no_survey_is_made_of_what_is_said_to_be_a_list(club):
    told = call(club, "layout", "odd.csv", "--kind", "holding", "--field", "Zonk=description",
                "--field", "Blip=quantity", "--field", "Fleem=condition",
                "--holder", "Ivo Larch", "--by", "R")  # fmt: skip
    assert told.exit_code == 0
    fields = [("Zonk", "description"), ("Blip", "quantity"), ("Fleem", "condition")]
    assert taken(club, "odd.csv") == fields
    held = rows(club, "holders", "dynamo")
    assert [(row["holder"], row["quantity"]) for row in held] == [("Ivo Larch", "2")]
    # and of a sheet of the same headings, whose holder is its own matter
    assert taken(club, "like_odd.csv") == fields


def test_columns_that_are_told_are_no_vehicles_of_a_survey(club):
    assert ("Looks", "presence") in taken(club, "seen.csv")
    told = call(club, "layout", "seen.csv", "--field", "Looks=remark", "--by", "R")
    assert told.exit_code == 0
    assert taken(club, "seen.csv")[1:] == [
        ("Otter 1", "presence"), ("Otter 2", "presence"), ("Looks", "")]  # fmt: skip
    asked = [row["question"] for row in rows(club, "questions", "--topic", "vehicle")]
    assert not any("looks" in text for text in asked)


def test_a_told_list_is_read_as_before_when_that_is_taken_back(club):
    before = taken(club, "odd.csv")
    call(club, "layout", "odd.csv", "--kind", "want", "--field", "Zonk=description", "--by", "R")
    assert taken(club, "odd.csv") != before
    for row in rows(club, "decisions"):
        assert call(club, "undo", row["decision_id"], "--by", "R").exit_code == 0
    assert taken(club, "odd.csv") == before
    assert taken(club, "like_odd.csv") == before

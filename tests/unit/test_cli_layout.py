"""The command ``layout``: what each column was taken for, beside the rows, and putting it right."""

from __future__ import annotations

import csv
import io
import json
import shutil
from pathlib import Path

import pytest

from .test_cli_deciding import call, rows

MESSY = Path(__file__).parents[1] / "golden" / "messy" / "sheets"
SHEETS = {
    "hale.csv": "Things\nsorted in March,,\nThing,Puzzle\nDynamo,3 off\nSilencer,1 off\n",
    "survey.csv": "Survey of 3 March 2026,\nPart,State\nDynamo,missing\n",
}


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    folder = tmp_path_factory.mktemp("layouts")
    sheets, club = folder / "sheets", folder / "club"
    sheets.mkdir()
    for name, text in SHEETS.items():
        (sheets / name).write_text(text, encoding="utf-8")
    shutil.copy(MESSY / "colours.xlsx", sheets)
    assert call(club, "init", "--country", "GB").exit_code == 0
    call(club, "import", str(sheets))
    return folder


@pytest.fixture
def club(tmp_path, imported):
    return shutil.copytree(imported, tmp_path, dirs_exist_ok=True) / "club"


def test_the_first_rows_are_shown_as_they_stand(club):
    shown = call(club, "layout", "colours.xlsx")
    assert shown.exit_code == 0
    for words in ("colours.xlsx, sheet Stock", "Spares held by Ivo Larch", "Dynamo", "description"):
        assert words in shown.stdout


@pytest.mark.parametrize("form", ["csv", "json"])
def test_programs_get_the_first_cells_of_each_column(club, form):
    shown = call(club, "layout", "colours.xlsx", "--format", form).stdout
    found = json.loads(shown) if form == "json" else list(csv.DictReader(io.StringIO(shown)))
    assert [row["field"] for row in found] == ["description", "quantity", "condition"]
    assert found[0]["first_cells"].startswith("Spares held by Ivo Larch | Part | Dynamo")


def test_a_colour_is_told_by_its_name(club):
    told = call(club, "layout", "colours.xlsx", "--mark", "colour yellow=promised", "--by", "R")
    assert told.exit_code == 0
    held = {row["part"]: row for row in rows(club, "holders", "silencer")}
    assert held["silencer"]["availability"] == "promised"
    asked = [row["question"] for row in rows(club, "questions", "--topic", "marks")]
    assert [text.partition(" on ")[0] for text in asked] == ["What does red mean"]


@pytest.mark.parametrize(("said", "named"), [
    ("colour mauve=promised", "red, yellow"), ("colour yellow=sideways", "promised"),
])  # fmt: skip
def test_a_colour_that_is_not_there_and_a_meaning_that_is_none(club, said, named):
    refused = call(club, "layout", "colours.xlsx", "--mark", said, "--by", "R")
    assert refused.exit_code in {1, 2}
    assert named in refused.stderr


def test_a_question_about_a_colour_is_answered_with_a_choice_or_its_like(club):
    [asked] = [
        row for row in rows(club, "questions", "--topic", "marks") if "red" in row["question"]
    ]
    assert call(club, "answer", asked["question_id"], "purple", "--by", "R").exit_code == 1
    assert call(club, "answer", asked["question_id"], "sold", "--by", "R").exit_code == 0
    assert not rows(club, "holders", "bonnet")


def test_the_row_of_headings_is_told(club):
    told = call(club, "layout", "hale.csv", "--header-row", "3", "--kind", "want",
                "--field", "Puzzle=quantity", "--by", "R")  # fmt: skip
    assert told.exit_code == 0
    found = rows(club, "layout", "hale.csv")
    assert [(row["heading"], row["field"], row["header_row"]) for row in found] == [
        ("Thing", "description", "3"), ("Puzzle", "quantity", "3")]  # fmt: skip
    none = call(club, "layout", "hale.csv", "--header-row", "last", "--by", "R")
    assert none.exit_code == 2


def test_the_vehicle_of_a_survey_is_told(club):
    asked = [row["question"] for row in rows(club, "questions", "--topic", "layout")]
    assert any("Which vehicle" in text for text in asked)
    assert call(club, "layout", "survey.csv", "--vehicle", "Otter 1", "--by", "R").exit_code == 0
    asked = [row["question"] for row in rows(club, "questions", "--topic", "layout")]
    assert not any("Which vehicle" in text for text in asked)


def test_a_sign_that_stands_nowhere_on_the_sheet_is_told_of(club):
    call(club, "layout", "survey.csv", "--kind", "survey", "--vehicle", "Otter 3", "--by", "R")
    before = rows(club, "decisions")
    refused = call(club, "layout", "survey.csv", "--mark", "Q=missing", "--by", "R")
    assert refused.exit_code == 2
    assert "'Q'" in refused.stderr
    assert rows(club, "decisions") == before
    taken = call(club, "layout", "survey.csv", "--mark", "missing=not looked at", "--by", "R")
    assert taken.exit_code == 0, taken.stderr

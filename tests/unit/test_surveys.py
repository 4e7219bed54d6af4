"""Surveys as members keep them, imported into one club, held to what is written beside them."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import SmallClub
from .golden_sheets import raw_lines, said_lines, wrong_in

FOLDER = Path(__file__).parents[1] / "golden" / "surveys"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())


@pytest.fixture(scope="module")
def surveys(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, and the report."""
    small = SmallClub(tmp_path_factory.mktemp("surveys"), vocabulary)
    return small, small.load(FOLDER / "sheets")


@pytest.fixture(scope="module")
def lines(surveys):
    return raw_lines(surveys[0]), said_lines(surveys[0])


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 20
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(surveys, lines, name):
    assert wrong_in(surveys[0], *lines, FOLDER, name) == []


def test_the_sum_adds_up(surveys):
    _, report = surveys
    assert not report.failed
    assert all(file.adds_up for file in report.files)


def test_nobody_is_asked_whether_one_of_them_is_a_newer_version(surveys):
    assert surveys[0].rows("SELECT subject FROM open_question WHERE topic = 'version'") == []


def test_no_day_is_asked_for_as_a_vehicle(surveys):
    asked = surveys[0].rows("SELECT question FROM open_question WHERE topic = 'vehicle'")
    assert asked == []


def test_a_survey_of_visits_asks_which_vehicle_it_is_of(surveys):
    asked = surveys[0].rows(
        "SELECT question, lines FROM open_question WHERE topic = 'layout' "
        "AND subject LIKE '%nobody knows which%'"
    )
    assert [(text.partition(" is ")[0], lines) for text, lines in asked] == [("Which vehicle", 2)]


def test_each_letter_that_nobody_explains_is_asked_once(surveys):
    asked = surveys[0].rows(
        "SELECT split_part(subject, '|', -1), lines FROM open_question WHERE topic = 'marks' "
        "AND subject LIKE '%nobody explains%' ORDER BY 1"
    )
    assert asked == [("F", 3), ("M", 2), ("S", 1)]


def test_what_is_ticked_twice_can_be_mended(surveys):
    ((value, what),) = surveys[0].rows(
        "SELECT value, what_to_do FROM mending WHERE code = 'several-states-ticked'"
    )
    assert (value, "one" in what) == ("ticked: Fitted; Missing", True)

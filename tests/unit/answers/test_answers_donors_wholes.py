"""Where a part could come from that went with a whole that is missing: worked by hand."""

from __future__ import annotations

import pytest

from .test_answers_folded import otter


@pytest.fixture
def without_engine(club):
    """An Otter without its engine, and a spare magneto for it."""
    otter(club)
    club.survey("Otter 1", "engine", "missing")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    return club


@pytest.mark.parametrize("vehicle", ["Otter 1", None])
def test_a_part_of_a_missing_whole_is_found_when_it_is_asked_for(without_engine, vehicle):
    (row,) = without_engine.donors(vehicle, "magneto")
    assert (row["vehicle"], row["part"], row["state"], row["lacking"]) == (
        "Otter 1", "magneto", "missing", 1,
    )  # fmt: skip
    assert (row["source"], row["fit"], row["standing"]) == ("Ann", "as-is", "offered")
    assert row["reason"] == "part of the missing engine; one parts-list line covers both"


def test_nobody_is_told_of_as_ever(without_engine):
    (row,) = without_engine.donors("Otter 1", "sump")
    assert row["rank"] is None
    assert row["reason"] == ("part of the missing engine; nobody in the club is known to have one")


def test_where_all_is_asked_for_the_whole_stands_for_its_parts(without_engine):
    assert {row["part"] for row in without_engine.donors("Otter 1")} == {"engine"}


def test_the_whole_itself_is_asked_for_alone(without_engine):
    assert {row["part"] for row in without_engine.donors("Otter 1", "engine")} == {"engine"}


def test_of_a_whole_that_another_stands_in_for_it_is_said_so(club):
    otter(club)
    club.survey("Otter 1", "engine", "stand-in")
    club.holding("Ann", "magneto", family="Otter", mark="Mk 1")
    (row,) = club.donors("Otter 1", "magneto")
    assert (
        row["reason"] == "part of the engine that has a stand-in; one parts-list line covers both"
    )


def test_a_part_that_was_kept_of_it_is_not_looked_for(without_engine):
    without_engine.survey("Otter 1", "magneto", "off-and-kept")
    assert without_engine.donors("Otter 1", "magneto") == []


def test_a_part_under_a_part_of_the_list_is_found_too(club):
    otter(club, listed=("engine", "dynamo"))
    club.requirement("bracket", parent_words="dynamo")
    club.survey("Otter 1", "dynamo", "missing")
    club.holding("Ann", "bracket", family="Otter", mark="Mk 1")
    (row,) = club.donors("Otter 1", "bracket")
    assert row["reason"] == "part of the missing dynamo; one parts-list line covers both"

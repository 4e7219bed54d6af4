"""One list loaded twice under two names: joined afterwards, and counted once."""

from __future__ import annotations

import datetime as dt

import pytest

from partmuster.commands.deciding import settle, undo_decision
from tests.unit.conftest import NOW, SmallClub
from tests.unit.test_same_items import BY, MEMBERS, asked, copied

HEAD = "What,How many,State,Where is it,Whose,Date,Notes\n"
ROWS = (
    "Dynamo,1,good,Sallowfield Yard,Hester Crane,2026-03-01,",
    "Water pump,2,fair,Sallowfield Yard,Hester Crane,2026-03-01,",
    "Silencer,1,good,Sallowfield Yard,Hester Crane,2026-03-01,",
    "Headlamp,2,good,Sallowfield Yard,Hester Crane,2026-03-01,",
    "Radiator,1,poor,Sallowfield Yard,Hester Crane,2026-03-01,",
    "Magneto,1,good,Sallowfield Yard,Hester Crane,2026-03-01,",
    "Fan belt,3,NOS,Sallowfield Yard,Hester Crane,2026-03-01,",
)
FIRST = HEAD + "\n".join(ROWS) + "\n"
#: The same list under another name, with another layout and one number changed.
SECOND = (
    "Part,Qty,Condition,Location,Holder,Date\n"
    + "\n".join(",".join(row.split(",")[:5]) + ",2026-05-01" for row in ROWS)
    + "\n"
).replace("Water pump,2", "Water pump,1")


@pytest.fixture(scope="module")
def loaded(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("lists"), vocabulary)
    small.write("members.csv", MEMBERS)
    small.write("crane spares.csv", FIRST)
    small.write("parts at the yard.csv", SECOND)
    small.load()
    return small


@pytest.fixture
def club(loaded, tmp_path):
    return copied(loaded, tmp_path)


def decide(small, what, hours=1):
    (question, *_), = asked(small, "same-sheet")  # fmt: skip
    settle(small.club.folder, small.host, question, what, BY, None,
           now=NOW + dt.timedelta(hours=hours))  # fmt: skip
    [(decision,)] = small.rows("SELECT decision_id FROM decision ORDER BY decided_at DESC LIMIT 1")
    return decision


def total(small, words):
    return sum(row["at_least"] for row in small.holders(words).to_dicts())


def test_one_question_is_asked_for_the_whole_list(club):
    (_, question, choices, _), = asked(club, "same-sheet")  # fmt: skip
    assert "crane spares.csv" in question
    assert "parts at the yard.csv" in question
    assert choices == "same;different;one by one"
    assert asked(club) == []


def test_joined_each_item_counts_once_as_the_later_list_has_it(club):
    assert (total(club, "dynamo"), total(club, "water pump")) == (2, 3)
    decide(club, "same")
    assert (total(club, "dynamo"), total(club, "water pump")) == (1, 1)
    assert asked(club, "same-sheet") == asked(club) == []
    (row,) = club.holders("dynamo").to_dicts()
    assert row["trace"].count("holding-") == 2


def test_taken_back_they_are_two_lists_again(club):
    decision = decide(club, "same")
    undo_decision(club.club.folder, club.host, decision, BY, now=NOW + dt.timedelta(hours=2))
    assert total(club, "dynamo") == 2
    assert len(asked(club, "same-sheet")) == 1


def test_lists_of_their_own_are_not_asked_about_item_by_item(club):
    decide(club, "different")
    assert asked(club, "same-sheet") == asked(club) == []
    assert total(club, "dynamo") == 2


def test_item_by_item_where_somebody_wants_it(club):
    decide(club, "one by one")
    assert asked(club, "same-sheet") == []
    assert len(asked(club)) >= 6


def test_a_newer_version_of_either_is_joined_too(club):
    decide(club, "same")
    club.write("parts at the yard.csv", SECOND + "Horn,1,good,Sallowfield Yard,Hester Crane,"
                                                 "2026-06-01\n")  # fmt: skip
    club.load("parts at the yard.csv", later=2)
    assert (total(club, "dynamo"), total(club, "horn")) == (1, 1)
    assert asked(club, "same-sheet") == asked(club) == []


def test_what_was_loaded_as_a_list_of_its_own_is_joined_by_name(club):
    from partmuster.commands.duplicates import join_sources

    club.write("copy.csv", FIRST)  # the same content is known
    club.write("my copy.csv", FIRST.replace("2026-03-01,\n", "2026-03-01,seen\n", 1))
    club.load("my copy.csv", later=1, separate=True)
    assert len(asked(club, "same-sheet")) == 1  # nothing more than before
    before = total(club, "dynamo")
    join_sources(club.club.folder, club.host, "my copy.csv", "crane spares.csv", BY,
                 now=NOW + dt.timedelta(days=2))  # fmt: skip
    assert total(club, "dynamo") == before - 1

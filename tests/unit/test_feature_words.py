"""Which features of the family files the words of what was seen mean, and what is asked."""

from __future__ import annotations

import shutil

import pytest

from partmuster.commands.deciding import settle, undo_decision
from partmuster.store.club import Club
from partmuster.store.feature_words import likeness

from .conftest import SmallClub

FAMILY_FILE = """Otter hulls: how to tell the builds
Assembly,Feature,Mk 1,Mk 2
Hull,Nose plate welded,never,always
Hull,Nose plate riveted,always,never
Hull,Oil filler on the left,usual,rare
Hull,Lifting eyes forged,usual,rare
Engine,Lifting eyes forged,usual,rare
"""
SEEN = """Vehicle,Assembly,What was seen,Seen
Edna,Hull,nose plate WELDED.,yes
Edna,Hull,nose plate weldd,yes
Edna,Hull,Oil filler on the right,yes
Edna,Hull,lifting eye forged,no
Edna,,lifting eyes forged,yes
Edna,Hull,a bell on the bonnet,yes
Grace,Hull,nose plate weldd,yes
"""
REGISTER = """Vehicle,Family,Mark
Edna,Otter,Mk 1
Grace,Bramble,Mk 1
"""


@pytest.fixture(scope="module")
def seen(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("seen"), vocabulary)
    small.write("register.csv", REGISTER)
    small.write("otter hulls.csv", FAMILY_FILE)
    small.write("what was seen.csv", SEEN)
    small.load()
    return small


@pytest.fixture
def club(seen, tmp_path):
    """A copy of the club, to be decided in."""
    return Club(shutil.copytree(seen.club.folder, tmp_path / "club"))


def rows(club, sql, *values):
    with club.reading() as con:
        return con.execute(sql, list(values)).fetchall()


def meanings(club):
    return {
        key: (target, accepted)
        for key, target, accepted in rows(
            club, "SELECT key, target, accepted FROM identification_now WHERE role = 'feature' "
            "AND rank = 1")
    }  # fmt: skip


def asked(club):
    return {subject: (number, question, choices, lines)
            for number, subject, question, choices, lines in rows(
                club, "SELECT question_id, subject, question, choices, lines FROM open_question "
                "WHERE topic = 'feature'")}  # fmt: skip


@pytest.mark.parametrize(
    ("said", "known"),
    [
        ("hull sides weldd", "hull sides welded"),
        ("lifting eye, forged", "Lifting eyes forged"),
        ("bkt for stowage bin on left side", "Bracket for a stowage bin on the left side"),
        ("color gray", "colour grey"),
    ],
)
def test_near_words_may_mean_the_same(said, known):
    assert 0.75 <= likeness(said, known) < 1


@pytest.mark.parametrize(
    ("said", "known"),
    [
        ("hull sides riveted", "hull sides welded"),
        ("hull sides not welded", "hull sides welded"),
        ("oil filler on the right", "oil filler on the left"),
        ("ten bolts in the cover", "eight bolts in the cover"),
        ("10 mm plate in the nose", "12 mm plate in the nose"),
        ("upper lifting eye forged", "lower lifting eye forged"),
        ("long side piece", "short side piece"),
        ("bracket", "bracket for a stowage bin on the roof"),
    ],
)
def test_words_that_turn_the_meaning_are_never_proposed(said, known):
    assert likeness(said, known) == 0


def test_equal_words_are_accepted_near_ones_asked_about_and_others_left(seen):
    found = meanings(seen.club)
    assert found["otter|hull|nose plate welded"] == ("nose plate welded", True)
    assert found["otter|hull|nose plate weldd"] == ("nose plate welded", False)
    assert found["otter||lifting eyes forged"] == ("lifting eyes forged", True)
    assert found["otter|hull|oil filler on the right"] == (None, False)
    assert found["otter|hull|a bell on the bonnet"] == (None, False)
    assert not [key for key in found if key.startswith("bramble")]
    questions = asked(seen.club)
    assert set(questions) == {"otter|hull|nose plate weldd", "otter|hull|lifting eye forged"}
    _, question, choices, lines = questions["otter|hull|nose plate weldd"]
    assert question == 'Is "nose plate weldd" the feature "Nose plate welded" of the Otter hull?'
    assert choices == "Nose plate welded;none"
    assert lines == 1


def test_lines_with_words_in_doubt_or_unknown_are_loaded(seen):
    loaded = seen.rows("SELECT count(*) FROM feature")
    assert loaded == [(7,)]
    assert not seen.rows(
        "SELECT words FROM raw_line r JOIN source_sum s ON s.source_id = r.source_id "
        "WHERE s.name LIKE 'what%' AND outcome NOT IN ('loaded', 'not-data')"
    )


@pytest.mark.parametrize("answer", ["yes", "nose plate welded", "Nose plate WELDED"])
def test_an_answer_settles_the_words_and_is_taken_back_by_undo(club, seen, answer):
    key = "otter|hull|nose plate weldd"
    number = asked(club)[key][0]
    settle(club.folder, seen.host, number, answer, "Ada Finch", None)
    assert meanings(club)[key] == ("nose plate welded", True)
    assert key not in asked(club)
    ((decision,),) = rows(club, "SELECT decision_id FROM decision WHERE topic = 'feature'")
    undo_decision(club.folder, seen.host, decision, "Ada Finch")
    assert meanings(club)[key] == ("nose plate welded", False)
    assert key in asked(club)


def test_no_leaves_the_words_without_a_meaning(club, seen):
    key = "otter|hull|nose plate weldd"
    settle(club.folder, seen.host, asked(club)[key][0], "none", "Ada Finch", None)
    assert meanings(club)[key] == (None, False)
    assert key not in asked(club)


def test_an_answer_that_names_no_feature_is_refused(club, seen):
    from partmuster.model import PartmusterError

    number = asked(club)["otter|hull|nose plate weldd"][0]
    with pytest.raises(PartmusterError, match="no feature"):
        settle(club.folder, seen.host, number, "tail plate", "Ada Finch", None)

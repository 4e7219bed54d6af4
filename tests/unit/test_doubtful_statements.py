"""A statement that an importer doubts counts for nothing, until a person says that it is so."""

from __future__ import annotations

import pytest

from partmuster.commands.deciding import settle, undo_decision
from partmuster.model import PartmusterError
from tests.unit.told_notes import with_notes, write_note

REGISTER = "Vehicle,Family,Mark,Role\nOtter 2,Otter,Mk 1,hulk\n"
PARTS = "Assembly,Item,Description,No. off\nElectrics,1,Dynamo,1\nElectrics,2,Horn,1\n"
DOUBT = "read from words that are often read wrongly"
GONE = {"kind": "survey", "vehicle": "Otter 2", "description": "dynamo", "presence": "missing",
        "raw_number": 1, "words": "I saw no dynamo to speak of", "rule": "none of it",
        "doubt": DOUBT}  # fmt: skip
HORN = {**GONE, "raw_number": 2, "description": "horn", "words": "Horn gone, I fear",
        "sure": False, "doubt": DOUBT}  # fmt: skip
SURE = {**GONE, "raw_number": 3, "description": "horn", "words": "The horn is there",
        "presence": "fitted", "doubt": None}  # fmt: skip


@pytest.fixture
def club(small):
    small = with_notes(small)
    small.write("register.csv", REGISTER)
    small.write("otter parts list.csv", PARTS)
    return small


def outcomes(club):
    return [one for (one,) in club.rows(
        "SELECT r.outcome FROM raw_line r JOIN newest_version n ON n.source_id = r.source_id "
        "AND n.version = r.source_version JOIN source_version v ON v.source_id = r.source_id "
        "AND v.version = r.source_version WHERE v.name = 'note.told' ORDER BY raw_number"
    )]  # fmt: skip


def asked(club):
    return club.rows("SELECT question, choices FROM open_question WHERE topic = 'reading'")


def answer(club, text, by="Maud", at=0):
    questions = club.rows(
        "SELECT question_id FROM open_question WHERE topic = 'reading' ORDER BY question"
    )
    return settle(club.club.folder, club.host, questions[at][0], text, by, None)


def test_it_waits_and_is_asked_about_in_words_that_can_be_judged(club):
    write_note(club, "note", GONE, SURE)
    club.load()
    assert outcomes(club) == ["decision", "loaded"]
    [(question, choices)] = asked(club)
    assert question == (
        'Does "I saw no dynamo to speak of" (note.told) say this: survey of Otter 2: dynamo, '
        "missing?"
    )
    assert choices == "yes;no"
    [(state,)] = club.rows("SELECT state FROM lacks WHERE part = 'dynamo'")
    assert state == "not-looked-at"


def test_said_to_be_so_it_counts(club):
    write_note(club, "note", GONE)
    club.load()
    assert answer(club, "yes") == 0
    assert outcomes(club) == ["loaded"]
    assert asked(club) == []
    [(state,)] = club.rows("SELECT state FROM lacks WHERE part = 'dynamo'")
    assert state == "missing"


def test_what_the_words_hedge_stays_hedged_when_it_is_said_to_be_so(club):
    write_note(club, "note", HORN)
    club.load()
    answer(club, "yes")
    assert outcomes(club) == ["loaded"]
    assert club.rows("SELECT sure FROM survey") == [(False,)]


def test_said_not_to_be_so_it_is_no_data_and_the_words_are_kept(club):
    write_note(club, "note", GONE, SURE)
    club.load()
    answer(club, "no")
    assert outcomes(club) == ["not-data", "loaded"]
    [(reason,)] = club.rows("SELECT reason FROM raw_line WHERE outcome = 'not-data' "
                            "AND words = 'I saw no dynamo to speak of'")  # fmt: skip
    assert "Maud" in reason
    assert asked(club) == []


def test_an_answer_holds_in_a_newer_version_and_when_it_is_imported_again(club):
    write_note(club, "note", GONE)
    club.load()
    answer(club, "yes")
    write_note(club, "note", SURE, {**GONE, "raw_number": 4})
    club.load(later=3)
    assert outcomes(club) == ["loaded", "loaded"]
    assert asked(club) == []


def test_an_answer_taken_back_asks_again(club):
    write_note(club, "note", GONE)
    club.load()
    answer(club, "yes")
    [(decision,)] = club.rows("SELECT decision_id FROM decision")
    undo_decision(club.club.folder, club.host, decision, "Maud")
    assert outcomes(club) == ["decision"]
    assert len(asked(club)) == 1


def test_another_answer_than_yes_or_no_is_refused(club):
    write_note(club, "note", GONE)
    club.load()
    with pytest.raises(PartmusterError, match="yes, no"):
        answer(club, "perhaps")


def test_lines_without_a_rule_are_asked_about_as_before(club):
    write_note(club, "note", {**GONE, "rule": None})
    club.load()
    assert outcomes(club) == ["decision"]
    assert asked(club) == []


@pytest.mark.parametrize(("status", "told"), [("yes", "riveted?"), ("no", "riveted, it has not?")])
def test_whether_a_feature_was_there_is_told_in_words(club, status, told):
    plate = {**GONE, "kind": "feature", "description": None, "presence": None,
             "feature": "riveted", "status": status}  # fmt: skip
    write_note(club, "note", plate)
    club.load()
    [(question, _)] = asked(club)
    assert question.endswith(f"say this: feature of Otter 2: {told}")

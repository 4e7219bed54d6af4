"""Statements that can be read in several ways: the names that the club knows choose, or we ask."""

from __future__ import annotations

import pytest

from partmuster.commands.deciding import settle, undo_decision
from partmuster.model import PartmusterError
from tests.unit.told_notes import with_notes, write_note

REGISTER = """No.,Vehicle,Family,Mark,Registration,Owner
2,Otter 2,Otter,Mk 1,,Hester Crane
9,Nettle,Bramble,Mk 2,AVC 903,Maud Pettifer
"""
MEMBERS = """Name,Code,Region
Hester Crane,AV02,East
Maud Pettifer,AV05,West
Edna Marsh,AV06,West
"""
LACKS = {"kind": "survey", "description": "dynamo", "presence": "missing", "raw_number": 1,
         "words": "Edna has no dynamo"}  # fmt: skip
EDNA = (
    {**LACKS, "vehicle": "Edna", "choice": "vehicle"},
    {**LACKS, "kind": "want", "holder": "Edna", "presence": None, "choice": "person"},
)
TITLE = tuple({**LACKS, "words": "Quill Barn, Nettle, with Hester: no dynamo", "vehicle": name,
               "choice": name} for name in ("Quill Barn", "Nettle", "Hester"))  # fmt: skip


@pytest.fixture
def club(small):
    return with_notes(small)


def register(club, text=REGISTER):
    club.write("register.csv", text)


def said(club):
    return club.rows(
        "SELECT 'survey', vehicle FROM survey UNION ALL SELECT 'want', holder FROM want "
        "ORDER BY ALL"
    )


def outcome(club, file="note.told"):
    return club.rows(
        "SELECT r.outcome FROM raw_line r JOIN newest_version n ON n.source_id = r.source_id "
        "AND n.version = r.source_version JOIN source_version v ON v.source_id = r.source_id "
        "AND v.version = r.source_version WHERE v.name = ?",
        file,
    )


def asked(club):
    return club.rows("SELECT topic, question, choices FROM open_question WHERE topic = 'name'")


def answer(club, text, by="Maud"):
    [(question,)] = club.rows("SELECT question_id FROM open_question WHERE topic = 'name'")
    return settle(club.club.folder, club.host, question, text, by, None)


def test_the_reading_counts_whose_names_the_club_knows(club):
    register(club)
    club.write("members.csv", MEMBERS)
    write_note(club, "note", *EDNA)
    write_note(club, "title", *TITLE)
    report = club.load()
    assert all(file.adds_up for file in report.files)
    assert said(club) == [("survey", "Nettle"), ("want", "Edna")]
    assert asked(club) == []


@pytest.mark.parametrize("first", ["note.told", "members.csv"])
def test_what_comes_first_makes_no_difference(club, first):
    register(club)
    club.write("members.csv", MEMBERS)
    write_note(club, "note", *EDNA)
    files = sorted(("note.told", "members.csv", "register.csv"), key=lambda one: one != first)
    for day, file in enumerate(files):
        club.load(file, later=day)
    assert said(club) == [("want", "Edna")]
    assert outcome(club) == [("loaded",)]
    assert asked(club) == []


def test_a_name_that_nobody_knows_is_asked_about(club):
    register(club)
    write_note(club, "note", *EDNA)
    [file] = [one for one in club.load().files if one.name == "note.told"]
    assert (file.decision, file.loaded) == (1, 0)
    assert said(club) == []
    assert asked(club) == [
        ("name", 'Is "Edna" a vehicle or a person?', "vehicle;person;none"),
    ]  # fmt: skip


ANSWERS = {
    "person": [("want", "Edna")],
    "vehicle": [("survey", "Edna")],
    "otter-2": [("survey", "Edna")],
    "Otter 2": [("survey", "Edna")],
    "Hester Crane": [("want", "Edna")],
    "none": [],
}


@pytest.mark.parametrize("given", ANSWERS)
def test_an_answer_settles_every_statement_with_that_name(club, given):
    register(club)
    club.write("members.csv", MEMBERS.replace("Edna Marsh", "Peg Marsh"))
    write_note(club, "note", *EDNA)
    club.load()
    answer(club, given)
    assert said(club) == ANSWERS[given]
    write_note(club, "another note", *({**one, "description": "starter"} for one in EDNA))
    club.load(later=1)
    assert said(club) == 2 * ANSWERS[given]
    assert asked(club) == []
    wanted = {"vehicle": "decision", "none": "not-data"}.get(given, "loaded")
    assert outcome(club) == outcome(club, "another note.told") == [(wanted,)]


def test_a_vehicle_that_was_named_is_the_one_meant(club):
    register(club)
    write_note(club, "note", *EDNA)
    club.load()
    answer(club, "Otter 2")
    assert club.rows(
        "SELECT target, accepted FROM identification_now WHERE role = 'vehicle' AND key = 'edna'"
    ) == [("otter-2", True)]


def test_an_answer_taken_back_asks_again(club):
    register(club)
    write_note(club, "note", *EDNA)
    club.load()
    answer(club, "person")
    [(decision,)] = club.rows("SELECT decision_id FROM decision")
    undo_decision(club.club.folder, club.host, decision, "Maud")
    assert said(club) == []
    assert len(asked(club)) == 1


def test_an_answer_that_is_none_is_refused(club):
    register(club)
    write_note(club, "note", *EDNA)
    club.load()
    with pytest.raises(PartmusterError, match="vehicle"):
        answer(club, "Gloucester")


def test_a_name_that_a_vehicle_and_a_member_have_is_asked_about(club):
    register(club, REGISTER + "10,Edna,Bramble,Mk 1,,Maud Pettifer\n")
    club.write("members.csv", MEMBERS)
    write_note(club, "note", *EDNA)
    club.load()
    assert said(club) == []
    assert [question for _, question, _ in asked(club)] == ['Is "Edna" a vehicle or a person?']


def test_a_vehicle_that_comes_later_opens_what_was_chosen(club):
    register(club)
    club.write("members.csv", MEMBERS)
    write_note(club, "note", *EDNA)
    club.load()
    assert said(club) == [("want", "Edna")]
    register(club, REGISTER + "10,Edna,Bramble,Mk 1,,Maud Pettifer\n")
    club.load(later=1)
    assert said(club) == []
    assert len(asked(club)) == 1


def test_between_two_known_vehicles_a_person_chooses(club):
    register(club)
    lines = [{**LACKS, "vehicle": name, "choice": name} for name in ("Otter 2", "the Nettle")]
    write_note(club, "note", *lines)
    club.load()
    assert asked(club) == [
        ("name", 'Which is meant here: "Otter 2" or "the Nettle"?', "Otter 2;the Nettle"),
    ]  # fmt: skip
    answer(club, "the nettle")
    assert said(club) == [("survey", "the Nettle")]
    assert outcome(club) == [("loaded",)]


def test_two_names_of_one_vehicle_are_no_question(club):
    register(club)
    lines = [{**LACKS, "vehicle": name, "choice": name} for name in ("AVC903", "Nettle")]
    write_note(club, "note", *lines)
    club.load()
    assert said(club) == [("survey", "AVC903")]


def test_lines_of_one_choice_stay_together(club):
    register(club)
    club.write("members.csv", MEMBERS)
    first = {"raw_number": 1, "words": "Hester may have Edna's dynamo", "description": "dynamo"}
    write_note(
        club, "note",
        {**first, "kind": "holding", "holder": "Edna", "choice": "a"},
        {**first, "kind": "promise", "holder": "Edna", "stage": "offered", "vehicle": "Otter 2",
         "choice": "a"},
        {**first, "kind": "survey", "vehicle": "Edna", "presence": "fitted", "choice": "b"},
    )  # fmt: skip
    club.load()
    assert club.rows("SELECT count(*) FROM holding") == [(1,)]
    assert club.rows("SELECT count(*) FROM promise") == [(1,)]
    assert said(club) == []


def test_importing_again_changes_nothing(club):
    register(club)
    write_note(club, "note", *EDNA)
    club.load()
    before = club.rows("SELECT * FROM source_version ORDER BY ALL")
    club.load(later=1)
    assert club.rows("SELECT * FROM source_version ORDER BY ALL") == before

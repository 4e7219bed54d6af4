"""What a registrar is asked, and what becomes of the answers: undone, contradicted, given early."""

from __future__ import annotations

import pytest
from click.testing import CliRunner

from partmuster.cli import main

REGISTER = "Vehicle,Family,Mark,Owner,Role,Aim\nAlpha,Otter,Mk 1,Ann Ash,under restoration,runner\n"
PARTS = "Otter parts list\nPart No,Description,No off\nELECTRICAL,,\nOT1,DYNAMO,1\nOT2,HORN,1\n"
STOCK = "What,Qty,Whose,Availability\nhumming pot,1,Bob Birch,for sale\n"


@pytest.fixture
def told(small):
    """Run a command on the small club and return its exit code and what it printed."""

    def run(*words):
        done = CliRunner().invoke(main, ["--club", str(small.club.folder), *words])
        assert done.exception is None or isinstance(done.exception, SystemExit), done.exception
        return done.exit_code, done.output

    return run


def questions(small):
    return small.rows("SELECT question_id, question FROM open_question ORDER BY question")


def meant(small):
    return small.rows("SELECT target, accepted, method FROM identification_now "
                      "WHERE role = 'part' ORDER BY ALL")  # fmt: skip


def test_a_parts_list_without_a_family_is_asked_about_once(small, told):
    small.write("register.csv", REGISTER)
    small.write("list.csv", "Part No,Description,No off\nOT1,DYNAMO,1\nOT3,RADIATOR,1\n")
    report = small.load()
    assert report.total("decision") == 2
    ((question, words),) = questions(small)
    assert "Which family" in words
    assert told("answer", question, "Otter", "--by", "Ann")[0] == 0
    assert questions(small) == []
    assert {row["part"] for row in small.lacks("Alpha").rows.to_dicts()} == {"dynamo", "radiator"}


def test_a_second_answer_contradicts_and_brings_the_question_back(small, told):
    small.write("stock.csv", STOCK)
    small.load()
    before = meant(small)
    ((question, _),) = questions(small)
    assert told("answer", question, "dynamo", "--by", "Ann")[0] == 0
    assert meant(small) == [("dynamo", True, "decision")]
    assert questions(small) == []
    code, output = told("answer", question, "horn", "--by", "Bob")
    assert code == 0
    assert "None of them counts" in output
    assert not any(accepted for _, accepted, _ in meant(small))
    assert [asked for asked, _ in questions(small)] == [question]
    assert small.holders("dynamo").height == small.holders("horn").height == 0
    ((first,), (second,)) = small.rows("SELECT decision_id FROM decision ORDER BY decided_at")
    told("undo", second, "--by", "Bob")
    assert meant(small) == [("dynamo", True, "decision")]
    told("undo", first, "--by", "Ann")
    assert meant(small) == before


def test_an_answer_holds_for_past_and_future_lines_of_these_words(small, told):
    small.write("stock.csv", STOCK)
    small.load()
    ((question, _),) = questions(small)
    told("answer", question, "dynamo", "--by", "Ann")
    small.write("more.csv", "What,Qty,Whose\nHumming Pot,3,Cy Clay\n")
    assert small.load("more.csv").total("decision") == 0
    assert small.holders("dynamo").get_column("holder").to_list() == ["Bob Birch", "Cy Clay"]


def test_decisions_are_listed_with_what_was_asked(small, told):
    small.write("stock.csv", STOCK)
    small.load()
    ((question, _),) = questions(small)
    told("answer", question, "dynamo", "--by", "Ann")
    assert "humming pot" in told("decisions")[1]
    assert "humming pot" in told("decisions", "--format", "json")[1]


def test_a_remark_accepts_a_stand_in(small):
    small.write("register.csv", REGISTER)
    small.write("list.csv", PARTS.replace("HORN", "RADIATOR"))
    small.write("seen.csv", "Vehicle,Part,State,Remark\nAlpha,Radiator,stand-in,owner not hunting\n"
                "Alpha,Dynamo,stand-in,off a lorry\n")  # fmt: skip
    small.load()
    rows = small.lacks("Alpha").rows.to_dicts()
    assert [(row["part"], row["state"]) for row in rows] == [("dynamo", "stand-in")]

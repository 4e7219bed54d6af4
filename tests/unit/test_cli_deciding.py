"""Layouts told, questions answered, decisions undone: with effect in the answers."""

from __future__ import annotations

import csv
import io
import shutil

import pytest
from click.testing import CliRunner

from partmuster.cli import main

SHEETS = {
    "register.csv": (
        "Vehicle,Family,Mark,Phase,Role,Aim\nOtter 1,Otter,Mk 1,early,under restoration,runner\n"
    ),
    "list.csv": "Part No.,Description,No. off,Used on\nOT1,Dynamo,1,\nOT3,Radiator,1,\n",
    "survey.csv": "Survey of 3 March 2026\nPart,Otter 1\nDynamo,N\nRadiator,N\n",
    "spares.csv": (
        "What,How many,Bay,Sort\nDynamo,1,Rack 4,Elm Shed\nThingummy with two ears,1,Rack 5,\n"
    ),
}


def call(club, *words):
    result = CliRunner().invoke(main, ["--club", str(club), *words])
    if result.exception is not None and not isinstance(result.exception, SystemExit):
        raise result.exception
    return result


def rows(club, *words):
    result = call(club, *words, "--format", "csv")
    assert result.exit_code == 0, result.stderr
    return list(csv.DictReader(io.StringIO(result.stdout)))


def question(club, topic, words):
    [found] = [q for q in rows(club, "questions", "--topic", topic) if words in q["question"]]
    return found["question_id"]


@pytest.fixture(scope="module")
def imported(tmp_path_factory):
    """A club with the sheets imported, to be copied."""
    folder = tmp_path_factory.mktemp("imported")
    sheets, club = folder / "sheets", folder / "club"
    sheets.mkdir()
    for name, text in SHEETS.items():
        (sheets / name).write_text(text, encoding="utf-8")
    assert call(club, "init", "--country", "GB").exit_code == 0
    assert call(club, "import", str(sheets)).exit_code == 0
    return folder


@pytest.fixture
def club(tmp_path, imported):
    return shutil.copytree(imported, tmp_path, dirs_exist_ok=True) / "club"


def settled(club):
    for words in (("list.csv", "--family", "Otter"), ("survey.csv", "--mark", "N=missing")):
        assert call(club, "layout", *words, "--by", "Reg").exit_code == 0


def test_layout_shows_what_each_column_was_taken_for(club):
    taken = {one["heading"]: (one["line_kind"], one["field"]) for one in
             rows(club, "layout", "spares.csv")}  # fmt: skip
    assert taken["What"] == ("holding", "description")
    assert taken["How many"] == ("holding", "quantity")
    assert taken["Bay"] == ("holding", "place")
    assert all(one["reason"] for one in rows(club, "layout", "spares.csv"))


def test_a_family_told_makes_its_list_count(club):
    assert rows(club, "lacks") == []
    call(club, "layout", "list.csv", "--family", "Otter", "--by", "Reg")
    assert {one["state"] for one in rows(club, "lacks")} == {"not-looked-at"}


def test_a_mark_told_makes_the_survey_count(club):
    settled(club)
    assert {(one["part"], one["state"]) for one in rows(club, "lacks")} == {
        ("dynamo", "missing"), ("radiator", "missing"),
    }  # fmt: skip


def test_a_holder_told_has_what_the_list_holds(club):
    assert call(club, "layout", "spares.csv", "--holder", "Cy Dunn", "--by", "Reg").exit_code == 0
    [row] = rows(club, "holders", "dynamo")
    assert row["holder"] == "Cy Dunn"
    open_now = rows(club, "questions", "--topic", "layout")
    assert not [one for one in open_now if one["question"].startswith("Whose list")]


def test_a_field_told_is_read_from_that_column(club):
    words = ("--field", "Bay=remark", "--field", "Sort=place")
    assert call(club, "layout", "spares.csv", *words, "--by", "Reg").exit_code == 0
    [row] = rows(club, "holders", "dynamo")
    assert row["place"] == "Elm Shed"


def test_a_kind_told_makes_the_lines_of_that_kind(club):
    assert len(rows(club, "holders", "dynamo")) == 1
    assert call(club, "layout", "spares.csv", "--kind", "want", "--by", "Reg").exit_code == 0
    assert rows(club, "holders", "dynamo") == []
    taken = {one["line_kind"] for one in rows(club, "layout", "spares.csv")}
    assert taken == {"want"}


def test_a_decision_can_be_undone_and_only_once(club):
    call(club, "layout", "spares.csv", "--kind", "want", "--by", "Reg")
    [decision] = rows(club, "decisions")
    assert (decision["answer"], decision["decided_by"]) == ("want", "Reg")
    assert call(club, "undo", decision["decision_id"][:6], "--by", "Other").exit_code == 0
    assert len(rows(club, "holders", "dynamo")) == 1
    undone = [one for one in rows(club, "decisions") if one["undoes"]]
    assert [(one["undoes"], one["decided_by"]) for one in undone] == [
        (decision["decision_id"], "Other")
    ]
    again = call(club, "undo", decision["decision_id"], "--by", "Other")
    assert again.exit_code == 1
    assert "taken back already" in again.stderr


def test_decisions_that_contradict_each_other_are_told(club):
    call(club, "layout", "spares.csv", "--kind", "want", "--by", "Ann")
    answer = call(club, "layout", "spares.csv", "--kind", "holding", "--by", "Bo")
    assert "Different things are decided" in answer.stderr
    assert "holding, want" in answer.stderr


def test_a_part_question_takes_a_part_by_id_or_name_and_then_counts(club):
    asked = question(club, "part", "Thingummy")
    wrong = call(club, "answer", asked, "no such part", "--by", "Reg")
    assert wrong.exit_code == 1
    assert "no such part" in wrong.stderr
    assert rows(club, "holders", "lifting eye") == []
    right = call(club, "answer", asked[:6], "Lifting eye", "--by", "Reg", "--note", "two holes")
    assert right.exit_code == 0, right.stderr
    [row] = rows(club, "holders", "lifting eye")
    assert row["quantity"] == "1"
    assert "Reg" in call(club, "trace", row["trace"]).stdout
    assert [one["note"] for one in rows(club, "decisions")] == ["two holes"]
    assert not [q for q in rows(club, "questions") if "Thingummy" in q["question"]]
    [decision] = rows(club, "decisions")
    call(club, "undo", decision["decision_id"], "--by", "Reg")
    assert rows(club, "holders", "lifting eye") == []
    assert question(club, "part", "Thingummy") == asked


def test_a_marks_question_takes_only_what_can_be_seen(club):
    asked = question(club, "marks", "'N'")
    wrong = call(club, "answer", asked, "gibberish", "--by", "Reg")
    assert wrong.exit_code == 1
    assert "not-looked-at" in wrong.stderr
    assert call(club, "answer", asked, "not there", "--by", "Reg").exit_code == 0
    assert rows(club, "questions", "--topic", "marks") == []


def test_rematch_takes_up_a_new_word_of_the_clubs_own(club):
    folder = club / "vocabulary"
    folder.mkdir(exist_ok=True)
    (folder / "own.csv").write_text(OWN_PART, encoding="utf-8")
    result = call(club, "rematch", "--format", "csv")
    assert result.exit_code == 0, result.stderr
    [row] = list(csv.DictReader(io.StringIO(result.stdout)))
    assert int(row["changed"]) >= 1
    [held] = rows(club, "holders", "thingummy with two ears")
    assert held["part"] == "club-thingummy"


def test_a_faulty_vocabulary_of_the_clubs_own_is_named(club):
    folder = club / "vocabulary"
    folder.mkdir(exist_ok=True)
    (folder / "own.csv").write_text("part_id,name\nx,y\n", encoding="utf-8")
    result = call(club, "lacks")
    assert result.exit_code == 1
    assert "own.csv" in result.stderr


OWN_PART = (
    "part_id,name,noun_first,assembly,handed,positions,unit,supply_class,needed_for,"
    "sort,mated_with,companions,caution,identity_bearing,names_any,names_uk,names_us,names_au,names_period,replaced_by,source\n"
    "club-thingummy,thingummy,THINGUMMY,engine,same,,each,2805,,part,,,,no,"
    'thingummy with two ears,,,,,,"common practice, no source"\n'
)

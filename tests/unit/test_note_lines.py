"""What a statement in a note carries with it: rule, doubt, hearsay, speaker; to the last answer."""

from __future__ import annotations

import pytest

from partmuster.answers.trace import trace
from tests.unit.told_notes import with_notes, write_note

REGISTER = """No.,Vehicle,Family,Mark,Owner
2,Otter 2,Otter,Mk 1,Hester Crane
"""
OF_EACH_KIND = {
    "survey": {"vehicle": "Otter 2", "description": "dynamo", "presence": "missing"},
    "holding": {"holder": "Ivo Larch", "description": "dynamo"},
    "want": {"holder": "Ivo Larch", "description": "dynamo"},
    "fit": {"description": "dynamo", "to_description": "generator", "fit_grade": "as is"},
    "feature": {"vehicle": "Otter 2", "feature": "rear plate riveted"},
    "history": {"vehicle": "Otter 2", "statement": "came from the brickworks"},
    "promise": {"holder": "Ivo Larch", "vehicle": "Otter 2", "description": "dynamo",
                "stage": "offered"},
    "lead": {"holder": "Bert", "description": "dynamo", "statement": "two more up the valley"},
}  # fmt: skip


@pytest.fixture
def club(small):
    small.write("register.csv", REGISTER)
    return with_notes(small)


@pytest.mark.parametrize("kind", OF_EACH_KIND)
def test_trace_shows_who_said_it_how_surely_and_by_which_rule_it_was_read(club, kind):
    write_note(club, "note", {
        "kind": kind, **OF_EACH_KIND[kind], "words": "the sentence", "sure": False,
        "first_hand": False, "said_by": "old Amos", "rule": "two more up",
    })  # fmt: skip
    club.load()
    [(line_id,)] = club.rows(f"SELECT line_id FROM {kind} WHERE words = 'the sentence'")
    with club.club.reading() as con:
        shown = trace(con, line_id).row(0, named=True)
    told = ("words", "rule", "sure", "first_hand", "said_by")
    assert tuple(shown[name] for name in told) == (
        "the sentence", "two more up", False, False, "old Amos",
    )  # fmt: skip


def test_another_rule_that_reads_the_same_is_no_new_value(club):
    line = {"kind": "survey", **OF_EACH_KIND["survey"]}
    write_note(club, "note", {**line, "rule": "no X"})
    club.load()
    write_note(club, "note", {**line, "rule": "without X"})
    report = club.load(later=1)
    [file] = [file for file in report.files if file.name == "note.told"]
    assert (file.lines_new, file.lines_changed, file.lines_ended) == (0, 0, 0)


def seen_by_sheet(club):
    club.write("otter parts list.csv", "Family,Part,Qty,Fits\nOtter,Dynamo,1,all\n")
    club.write("otter 2 survey 2025-03-01.csv", "Vehicle,Part,Seen\nOtter 2,Dynamo,fitted\n")


def dynamo(club):
    club.load()
    [row] = [row for row in club.lacks("Otter 2", include_all=True).rows.to_dicts()
             if row["part"] == "dynamo"]  # fmt: skip
    return row


def test_the_newest_word_counts_and_says_what_an_older_sheet_says(club):
    seen_by_sheet(club)
    line = {"kind": "survey", **OF_EACH_KIND["survey"], "words": "Otter 2 has no dynamo"}
    write_note(club, "note 2026-05-02", line)
    row = dynamo(club)
    assert (row["state"], str(row["seen_on"])) == ("missing", "2026-05-02")
    assert "2025-03-01" in row["disagrees"]
    assert "otter 2 survey 2025-03-01.csv" in row["disagrees"]


@pytest.mark.parametrize("weaker", [{"sure": False}, {"first_hand": False, "said_by": "Amos"}])
def test_what_is_hedged_or_hearsay_counts_less_than_an_older_sight(club, weaker):
    seen_by_sheet(club)
    line = {"kind": "survey", **OF_EACH_KIND["survey"], "words": "no dynamo, says he"}
    write_note(club, "note 2026-05-02", {**line, **weaker})
    row = dynamo(club)
    assert row["state"] != "missing"
    assert "no dynamo, says he (2026-05-02, note 2026-05-02.told" in row["disagrees"]


DOUBTS = [
    ({"sure": False}, "said with doubt"),
    ({"first_hand": False, "said_by": "Amos"}, "hearsay"),
]


@pytest.mark.parametrize(("weaker", "word"), DOUBTS)
def test_what_somebody_may_have_is_no_offer(club, weaker, word):
    seen_by_sheet(club)
    missing = {"kind": "survey", **OF_EACH_KIND["survey"], "words": "no dynamo"}
    holding = {"kind": "holding", **OF_EACH_KIND["holding"], "availability": "offered",
               "quantity": "1", "words": "a dynamo"}  # fmt: skip
    write_note(club, "note 2026-05-02", missing, {**holding, **weaker})
    club.load()
    [held] = club.holders("dynamo").filter(holder="Ivo Larch").to_dicts()
    assert word in held["match_reason"]
    [donor] = club.donors("Otter 2").filter(source="Ivo Larch").to_dicts()
    assert donor["standing"] == "ask first"
    assert word in donor["reason"]

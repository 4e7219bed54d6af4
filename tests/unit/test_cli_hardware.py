"""Asking on the command line whether one piece of standard hardware serves for another."""

from __future__ import annotations

import json

import pytest

from .conftest import SmallClub
from .test_cli_deciding import call, rows


@pytest.fixture
def nowhere(tmp_path):
    """No club is needed: a specification is the same for everybody."""
    return tmp_path / "none"


def test_two_threads_are_compared_with_the_reason(nowhere):
    found = call(nowhere, "fits", "3/8 BSF bolt 1 1/4", "--with", "3/8 UNF bolt 1 1/4")
    assert found.exit_code == 0
    assert "never" in found.stdout
    assert "55 and 60 degree forms" in " ".join(found.stdout.split())


def test_the_duty_is_asked_for_its_grade(nowhere):
    words = ("fits", "3/8 BSF bolt 1 1/4", "--with", "3/8 BSF x 1 1/4 bolt", "--format", "json")
    (row,) = json.loads(call(nowhere, *words).stdout)
    assert (row["fit"], row["reason"]) == ("as-is", "same specification")
    (row,) = json.loads(call(nowhere, *words, "--duty", "lifting").stdout)
    assert row["fit"] == "unknown"
    assert "lifting: never on size alone" in row["reason"]
    assert "nobody under a load" in row["caution"]


def test_one_of_the_two_questions_is_asked(nowhere):
    for wrong in ([], ["--on", "Otter Mk 1", "--with", "nut"]):
        found = call(nowhere, "fits", "bolt", *wrong)
        assert found.exit_code == 2
        assert "--on" in found.stderr
        assert "--with" in found.stderr


LISTS = {
    "otter parts list.csv": (
        "Otter parts list\nPart No,Description,Qty,Assembly\n"
        'OT 11,"BOLT, HEX, 3/8""-20 BSF X 1.1/4",4,hull\n'
    ),
    "vehicles.csv": "Vehicle,Family,Aim\nOtter 1,Otter,full original\n",
    "survey Otter 1.csv": "Survey of Otter 1\nItem,Condition\nhex bolt 3/8 BSF x 1 1/4,missing\n",
    "Hester Crane spares.csv": (
        "Hester Crane: spares for sale\nItem,Size,Length,Qty\n"
        "Hex bolt,3/8 BSF,1 1/4,20\nHex bolt,3/8 UNC,1 1/4,20\n"
    ),
    "Bert Finch spares.csv": 'Bert Finch: spares for sale\nItem,Qty\n"bolts, 3/8 BSF, 1 1/2in",9\n',
}


@pytest.fixture(scope="module")
def bolted(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("bolted"), vocabulary)
    for name, text in LISTS.items():
        small.write(name, text)
    small.load()
    assert small.rows("SELECT count(*) FROM open_question") == [(0,)]
    return small.club.folder


def test_donors_of_a_bolt_go_by_what_sheets_say_of_it(bolted):
    found = rows(bolted, "donors", "Otter 1", "hex bolt")
    assert [(row["source"], row["fit"]) for row in found] == [
        ("Hester Crane", "as-is"), ("Bert Finch", "unknown"), ("Hester Crane", "never"),
    ]  # fmt: skip
    assert found[1]["reason"] == "same size, check duty: length: 1 1/2 in, wanted 1 1/4 in"


def test_a_refusal_is_explained_in_words(bolted, monkeypatch):
    monkeypatch.setenv("COLUMNS", "180")
    shown = " ".join(call(bolted, "explain", "hex bolt", "Otter 1").stdout.split())
    assert "same specification" in shown
    assert "Hester Crane never" in shown

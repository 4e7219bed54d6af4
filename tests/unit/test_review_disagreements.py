"""Sheets that contradict each other are shown beside what a person can settle."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from partmuster.cli import main

SHEETS = {
    "register.csv": "Vehicle,Family,Mark,Role,Aim\nAlpha,Otter,Mk 1,under restoration,runner\n",
    "list.csv": "Otter parts list\nPart No,Description,No off\nOT1,DYNAMO,1\nOT2,TOWING EYE,4\n",
    "copy of the old list.csv": "Otter parts list\nDescription,No off\nTowing eye,2\nDynamo,1\n",
    "ann.csv": (
        "Survey of 3 March 2026\nVehicle,Part,State\nAlpha,Dynamo,missing\nAlpha,Horn,fitted\n"
    ),
    "bob.csv": (
        "Survey of 9 March 2026\nVehicle,Part,State\nAlpha,Dynamo,fitted\nAlpha,Horn,fitted\n"
    ),
    "later.csv": "Survey of 9 September 2026\nVehicle,Part,State\nAlpha,Horn,missing\n",
}  # fmt: skip


@pytest.fixture
def disagreeing(small):
    for name, text in SHEETS.items():
        small.write(name, text)
    small.load()

    def review(*words):
        done = CliRunner().invoke(main, ["--club", str(small.club.folder), "review", *words])
        assert done.exit_code == 0, done.output
        return done.output

    return review


def test_sources_that_contradict_each_other_are_listed_with_who_says_what(disagreeing):
    rows = json.loads(disagreeing("--topic", "disagreement", "--format", "json"))
    assert {(row["words"], row["choices"]) for row in rows} == {
        ("dynamo on Alpha", "fitted (bob.csv, 2026-03-09);missing (ann.csv, 2026-03-03)"),
        ("towing-eye of Otter", "2 (copy of the old list.csv);4 (list.csv)"),
    }
    assert all(row["question_id"].count("-") >= 2 for row in rows)  # the lines' ids, to be traced
    shown = disagreeing()
    assert "Sources that disagree" in shown

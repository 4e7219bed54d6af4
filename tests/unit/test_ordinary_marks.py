"""Marks that mean one thing on one sheet and another on the next are asked about once a sheet."""

from __future__ import annotations

import csv
import io

import openpyxl
import pytest
from click.testing import CliRunner

from partmuster.cli import main
from partmuster.store.club import Club

SHEETS = {
    "Otters": (("Item", "Otter 1", "Otter 2"), ("Horn", "x", "x"), ("Idler", "x", None),
               ("Silencer", "fitted", "/")),
    "Brambles": (("Item", "Bramble 1", "Bramble 2"), ("Horn", "x", None), ("Bonnet", None, "x")),
}  # fmt: skip


@pytest.fixture
def club(tmp_path):
    book = openpyxl.Workbook()
    book.remove(book.active)
    for title, rows in SHEETS.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    book.save(tmp_path / "walk round.xlsx")
    folder = tmp_path / "club"
    call(folder, "init", "--country", "GB")
    call(folder, "import", str(tmp_path / "walk round.xlsx"))
    return folder


def call(club, *words):
    result = CliRunner().invoke(main, ["--club", str(club), *words])
    assert result.exit_code == 0, result.output
    return result.output


def questions(club):
    rows = csv.DictReader(io.StringIO(call(club, "questions", "--format", "csv")))
    return {row["question"]: (row["question_id"], int(row["lines"])) for row in rows
            if row["topic"] == "marks"}  # fmt: skip


def seen(club):
    with Club.open(club).reading() as con:
        found = con.execute("SELECT vehicle, description, presence FROM survey").fetchall()
    return {(vehicle, part): presence for vehicle, part, presence in found}


def test_each_mark_is_asked_once_a_sheet(club):
    assert {question: lines for question, (_, lines) in questions(club).items()} == {
        "What does 'x' mean on sheet 'Otters'?": 3,
        "What does '/' mean on sheet 'Otters'?": 1,
        "What does 'x' mean on sheet 'Brambles'?": 2,
    }


def test_a_mark_means_what_was_said_of_its_sheet(club):
    call(club, "layout", "walk round.xlsx", "--sheet", "Otters", "--mark", "x=missing", "--by", "R")
    assert seen(club)["Otter 1", "Horn"] == seen(club)["Otter 1", "Idler"] == "missing"
    assert seen(club)["Otter 2", "Idler"] == "not-looked-at"
    left = questions(club)
    assert set(left) == {
        "What does '/' mean on sheet 'Otters'?", "What does 'x' mean on sheet 'Brambles'?",
    }  # fmt: skip
    call(club, "answer", left["What does 'x' mean on sheet 'Brambles'?"][0], "fitted", "--by", "R")
    assert seen(club)["Bramble 1", "Horn"] == seen(club)["Bramble 2", "Bonnet"] == "fitted"
    assert seen(club)["Otter 1", "Horn"] == "missing"
    assert set(questions(club)) == {"What does '/' mean on sheet 'Otters'?"}

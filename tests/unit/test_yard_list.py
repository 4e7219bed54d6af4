"""A yard list: what it says, and what becomes of the club when it comes back filled in."""

from __future__ import annotations

import datetime as dt

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

import partmuster_plugins.spreadsheets
from partmuster.answers.holders import holders
from partmuster.answers.lacks import lacks
from partmuster.cli import main
from partmuster.host import load_plugins
from partmuster.runner import import_files
from partmuster.store.club import Club
from partmuster_trade import load_vocabulary

SHEETS = {
    "register.csv": """Vehicle,Family,Mark,Owner,Kept by,What it is,Aim,Date
Otter 1,Otter,Mk 1,Ada Reed,Ada Reed,under restoration,full original,2026-01-05
Otter 5,Otter,Mk 1,Bo Fenn,Bo Fenn,being broken,,2026-01-05
""",
    "list.csv": """Otter parts list
Part,Qty,Fits
Dynamo,1,all
Horn,1,all
Radiator,1,all
""",
    "survey.csv": """"Otters, walked round 1 February 2026"
Part,Otter 1,Otter 5
Dynamo,missing,ok
Horn,missing,missing
Radiator,missing,ok
""",
    "stock.csv": """Part,Qty,Condition,Fits,Available,Place,Holder,Date
horn,3,good,Otter,for sale,Reed Barn,Cy Marsh,2026-02-01
""",
}
MADE, SENT = (dt.datetime(2026, month, 3, 12) for month in (3, 5))  # noqa: DTZ001 - local time
VOCABULARY = load_vocabulary()


@pytest.fixture(scope="module")
def host():
    return load_plugins([partmuster_plugins.spreadsheets], outside=False)


@pytest.fixture(scope="module")
def made(tmp_path_factory, host):
    folder = tmp_path_factory.mktemp("yard")
    for name, text in SHEETS.items():
        (folder / name).write_text(text, encoding="utf-8")
    club = Club.open(folder / "club", create=True)
    import_files(club, host, [folder / name for name in SHEETS], VOCABULARY, now=MADE)
    form = folder / "trip.xlsx"
    done = CliRunner().invoke(main, ["--club", str(club.folder), "yard-list", "--vehicle",
                                     "Otter 1", "--workbook", str(form)])  # fmt: skip
    assert done.exit_code == 0, done.output
    return club, form


def rows_of(sheet):
    [head] = [row for row in sheet.iter_rows() if any(c.value == "Taken" for c in row)]
    names = {cell.value: cell.column for cell in head}
    return names, [row for row in sheet.iter_rows(min_row=head[0].row + 1)
                   if row[names["Part"] - 1].value]  # fmt: skip


def test_the_form_says_what_to_take_and_from_whom(made):
    _, form = made
    names, rows = rows_of(load_workbook(form)["Yard list"])
    told = {
        (row[names["Part"] - 1].value, row[names["From"] - 1].value,
         row[names["What to do"] - 1].value)
        for row in rows
    }  # fmt: skip
    assert ("horn", "Cy Marsh", "take") in told
    assert ("dynamo", "Otter 5", "take") in told
    assert ("radiator", "Otter 5", "take") in told


def test_a_form_for_members_has_no_words_of_lists(made, tmp_path):
    club, registrars = made
    form = tmp_path / "members.xlsx"
    asked = ["yard-list", "--vehicle", "Otter 1", "--audience", "members"]
    done = CliRunner().invoke(main, ["--club", str(club.folder), *asked, "--workbook", str(form)])
    assert done.exit_code == 0, done.output
    for path, told in ((registrars, True), (form, False)):
        names, rows = rows_of(load_workbook(path)["Yard list"])
        [horn] = [row for row in rows if row[names["From"] - 1].value == "Cy Marsh"]
        assert bool(horn[names["Look out for"] - 1].value) is told


@pytest.fixture(scope="module")
def after(made, tmp_path_factory, host):
    club, form = made
    book = load_workbook(form)
    sheet = book["Yard list"]
    label = next(c for row in sheet.iter_rows() for c in row
                 if str(c.value).startswith("Your name"))  # fmt: skip
    sheet.cell(label.row, label.column + 1).value = "Ada Reed"
    names, rows = rows_of(sheet)
    for row in rows:
        part, source = (row[names[name] - 1].value for name in ("Part", "From"))
        if (part, source) == ("horn", "Cy Marsh"):
            row[names["Taken"] - 1].value = 1
            row[names["What you found"] - 1].value = "bracket bent"
        if (part, source) == ("dynamo", "Otter 5"):
            row[names["Taken"] - 1].value = 1
        if (part, source) == ("radiator", "Otter 5"):
            row[names["Not there"] - 1].value = "yes"
    sent = tmp_path_factory.mktemp("sent") / "trip back.xlsx"
    book.save(sent)
    report = import_files(club, host, [sent], VOCABULARY, now=SENT)
    return club, sent, report


def test_what_was_taken_is_counted_down_and_held_by_who_took_it(after):
    club, _, report = after
    assert not report.failed, [str(one) for one in report.forms]
    assert "2 taken, 3 told of by Ada Reed" in str(report.forms[0])
    with club.reading() as con:
        horns = holders(con, VOCABULARY, "horn").to_dicts()
        dynamos = holders(con, VOCABULARY, "dynamo").to_dicts()
    assert {(row["holder"], row["quantity"], row["availability"]) for row in horns} == {
        ("Cy Marsh", "2", "offered"), ("Ada Reed", "1", "kept"),
    }  # fmt: skip
    assert [(row["holder"], row["availability"]) for row in dynamos if "Otter" not in
            row["availability"]] == [("Ada Reed", "kept")]  # fmt: skip


def test_what_was_taken_off_a_vehicle_or_was_not_there_is_missing_on_it(after):
    club, _, _ = after
    with club.reading() as con:
        seen = con.execute(
            "SELECT description, presence, said_on FROM survey WHERE vehicle = 'Otter 5' "
            "AND said_on = DATE '2026-05-03' ORDER BY 1"
        ).fetchall()
        rows = lacks(con, VOCABULARY, "Otter 5").rows
    assert [one[:2] for one in seen] == [("dynamo", "missing"), ("radiator", "missing")]
    missing = rows.filter(rows.get_column("state") == "missing").get_column("part").to_list()
    assert {"dynamo", "radiator"} <= set(missing)


def test_importing_it_again_changes_nothing(after, host):
    club, sent, _ = after
    again = import_files(club, host, [sent], VOCABULARY, now=SENT)
    assert {file.outcome for file in again.files} == {"unchanged"}
    with club.reading() as con:
        assert len(holders(con, VOCABULARY, "horn")) == 2

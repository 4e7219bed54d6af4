"""A stock-take: the form, what a holder fills in, and what the club knows after it."""

from __future__ import annotations

import datetime as dt

import pytest
from click.testing import CliRunner
from openpyxl import load_workbook

import partmuster_plugins.spreadsheets
from partmuster.answers.holders import holders
from partmuster.cli import main
from partmuster.host import load_plugins
from partmuster.runner import import_files
from partmuster.store.club import Club
from partmuster_trade import load_vocabulary

LIST = """Part,Side,Qty,Condition,Fits,Place,Holder,Date
dynamo,,2,good,Otter Mk 1,Reed Barn,Ada Reed,2026-02-01
track guard,LH,1,fair,Otter,Reed Barn,Ada Reed,2026-02-01
water pump,,1,good,Otter,Reed Barn,Ada Reed,2026-02-01
radiator,,1,good,Otter,Fen Shed,Bo Fenn,2026-02-01
"""
MADE, SENT, LATER = (dt.datetime(2026, month, day, 12)  # noqa: DTZ001 - local time
                     for month, day in ((3, 31), (5, 3), (5, 4)))  # fmt: skip
VOCABULARY = load_vocabulary()


@pytest.fixture(scope="module")
def host():
    return load_plugins([partmuster_plugins.spreadsheets], outside=False)


@pytest.fixture(scope="module")
def made(tmp_path_factory, host):
    folder = tmp_path_factory.mktemp("stock")
    (folder / "reed.csv").write_text(LIST, encoding="utf-8")
    club = Club.open(folder / "club", create=True)
    import_files(club, host, [folder / "reed.csv"], VOCABULARY, now=MADE)
    form = folder / "reed_form.xlsx"
    done = CliRunner().invoke(
        main, ["--club", str(club.folder), "stock-take", "ada reed", "--workbook", str(form)]
    )
    assert done.exit_code == 0, done.output
    assert "3 lines of Ada Reed" in done.output
    return club, form


def filled(form, path, entries, name="Ada Reed"):
    """Fill in a form: {word in 'Your list says': {heading: text}}."""
    book = load_workbook(form)
    sheet = book["Stock-take"]
    [head] = [row for row in sheet.iter_rows() if any(c.value == "Counted" for c in row)]
    columns = {cell.value: cell.column for cell in head}
    label = next(
        c for row in sheet.iter_rows() for c in row if str(c.value).startswith("Your name")
    )
    sheet.cell(label.row, label.column + 1).value = name
    for row in sheet.iter_rows(min_row=head[0].row + 1):
        words = str(row[columns["Your list says"] - 1].value)
        for word, said in entries.items():
            if word in words:
                for heading, text in said.items():
                    row[columns[heading] - 1].value = text
    book.save(path)
    return path


@pytest.fixture(scope="module")
def counted(made, tmp_path_factory, host):
    club, form = made
    sent = filled(form, tmp_path_factory.mktemp("sent") / "reed counted.xlsx", {
        "dynamo": {"Counted": 1, "Condition now": "fair", "Seen on": "2026-05-02"},
        "track guard": {"Gone": "yes", "Seen on": "2026-05-02"},
    })  # fmt: skip
    report = import_files(club, host, [sent], VOCABULARY, now=SENT)
    return club, sent, report


def rows_of(club, words):
    with club.reading() as con:
        return holders(con, VOCABULARY, words).to_dicts()


def test_what_was_counted_is_the_newer_word_on_the_same_thing(counted):
    club, _, report = counted
    [form] = report.forms
    assert str(form) == (
        "reed counted.xlsx: stock-take form: 2 counted by Ada Reed; kept as "
        "stock-takes/reed counted.csv"
    )
    [dynamo] = rows_of(club, "dynamo")
    assert (dynamo["quantity"], dynamo["condition"]) == ("1", "fair")
    assert dynamo["said_on"] == dt.date(2026, 5, 2)
    assert dynamo["place"] == "Reed Barn"
    assert len(dynamo["trace"].split(";")) == 2
    assert rows_of(club, "track-guard") == []
    [pump] = rows_of(club, "water-pump")
    assert pump["said_on"] == dt.date(2026, 2, 1), "what was not counted stays as it was"


def test_nothing_is_lost_and_importing_twice_changes_nothing(counted, host):
    club, sent, report = counted
    assert all(file.adds_up for file in report.files)
    with club.reading() as con:
        before = con.execute("SELECT count(*) FROM decision").fetchall()
    again = import_files(club, host, [sent], VOCABULARY, now=SENT)
    assert [file.outcome for file in again.files] == ["unchanged"]
    assert "2 as before" in str(again.forms[0])
    with club.reading() as con:
        assert con.execute("SELECT count(*) FROM decision").fetchall() == before


def test_yesterdays_answer_can_be_asked_for_again(counted):
    club, _, _ = counted
    with club.reading() as con:
        [dynamo] = holders(con, VOCABULARY, "dynamo", as_of=dt.date(2026, 4, 1)).to_dicts()
    assert (dynamo["quantity"], dynamo["condition"]) == ("2", "good")


@pytest.mark.parametrize(("said", "code"), [
    ({"Counted": "several"}, "no-number"),
    ({"Gone": "perhaps"}, "not-yes"),
    ({"Gone": "yes", "Counted": 2}, "both"),
    ({"Counted": 1, "Seen on": "31/02/2026"}, "no-date"),
    ({"Counted": "=1+1"}, "formula"),
])  # fmt: skip
def test_what_is_not_understood_is_named_with_its_cell(made, tmp_path, host, said, code):
    club, form = made
    sent = filled(form, tmp_path / f"{code}.xlsx", {"water pump": said})
    report = import_files(club, host, [sent], VOCABULARY, now=LATER)
    [problem] = report.forms[0].problems
    assert problem.code == code
    assert problem.row
    assert problem.column
    assert report.files == []
    assert report.failed


def test_a_form_without_a_name_is_refused(made, tmp_path, host):
    club, form = made
    sent = filled(form, tmp_path / "nobody.xlsx", {"water pump": {"Counted": 1}}, name=None)
    report = import_files(club, host, [sent], VOCABULARY, now=LATER)
    assert report.forms[0].refused
    assert "nobody's name" in report.forms[0].message


def test_who_holds_nothing_gets_no_form(made, tmp_path):
    club, _ = made
    done = CliRunner().invoke(main, ["--club", str(club.folder), "stock-take", "Cy Marsh",
                                     "--workbook", str(tmp_path / "x.xlsx")])  # fmt: skip
    assert done.exit_code == 1
    assert "Ada Reed, Bo Fenn" in done.output

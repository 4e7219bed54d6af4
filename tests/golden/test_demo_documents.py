"""Documents of the demo club: the same each time, none a source, and sensible of an empty club."""

from __future__ import annotations

import datetime as dt

import pytest

import partmuster_plugins.publishers as built_in
import partmuster_plugins.spreadsheets
from partmuster.answers.documents.months import Month, last_full_month, read_month, year_before
from partmuster.answers.documents.report import Report
from partmuster.answers.documents.vehicle_file import VehicleFile
from partmuster.answers.documents.view import MonthlyView
from partmuster.answers.documents.yard_list import YardList
from partmuster.host import load_plugins
from partmuster.model import PartmusterError
from partmuster.runner import import_files
from partmuster.running.own_documents import is_own_document
from partmuster.store.club import Club

PUBLISHERS = built_in.partmuster_publishers()
OCTOBER = read_month("2026-10")


def monthly(con, vocabulary, audience="registrar", month=OCTOBER):
    return MonthlyView(Report(con, vocabulary, month), audience, "Vale of Ashmere", "salt")


@pytest.fixture(scope="module")
def con(walked):
    assert walked.code == 0, walked.told
    with Club.open(walked.club).reading() as con:
        yield con


@pytest.fixture(scope="module")
def report(con, vocabulary):
    return Report(con, vocabulary, OCTOBER)


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    return Club.open(tmp_path_factory.mktemp("empty") / "club", create=True)


@pytest.mark.parametrize("publisher", PUBLISHERS, ids=lambda one: one.name)
def test_the_same_club_and_month_give_the_same_bytes(
    walked, report, vocabulary, tmp_path, publisher
):
    first, second = tmp_path / "first", tmp_path / "second"
    for folder in (first, second):
        folder.mkdir()
    one = publisher.publish(MonthlyView(report, "registrar", "Vale of Ashmere", "salt"), first)
    with Club.open(walked.club).reading() as again:
        two = publisher.publish(monthly(again, vocabulary), second)
    assert [path.name for path in one] == [path.name for path in two]
    assert [path.read_bytes() for path in one] == [path.read_bytes() for path in two]


@pytest.mark.parametrize("audience", ["registrar", "members", "circulated"])
@pytest.mark.parametrize("publisher", PUBLISHERS, ids=lambda one: one.name)
def test_no_document_is_a_source(report, tmp_path, publisher, audience):
    view = MonthlyView(report, audience, "Vale of Ashmere", "salt")
    for path in publisher.publish(view, tmp_path):
        named_otherwise = path.with_name(f"list of mine{path.suffix}")
        path.rename(named_otherwise)
        assert is_own_document(named_otherwise), path.name


def test_an_import_refuses_a_document_in_words(report, vocabulary, tmp_path, empty):
    host = load_plugins([partmuster_plugins.spreadsheets], outside=False)
    [book] = [one for one in PUBLISHERS if one.name == "workbook"]
    book.publish(MonthlyView(report, "members", "Vale of Ashmere", "salt"), tmp_path)
    (tmp_path / "stock.csv").write_text("Part,Qty,Holder\ndynamo,1,Ada\n", encoding="utf-8")
    report = import_files(empty, host, [tmp_path], vocabulary)
    outcomes = {file.name: file.outcome for file in report.files}
    assert outcomes == {"stock.csv": "new", "2026-10-registrar.xlsx": "not claimed"} or (
        outcomes["stock.csv"] == "new" and "not claimed" in outcomes.values()
    )
    [refused] = [file for file in report.files if file.outcome == "not claimed"]
    assert "no source" in refused.message
    assert report.failed


def test_a_members_own_list_is_no_document(demo_sheets):
    assert [one.name for one in demo_sheets.iterdir() if is_own_document(one)] == []


@pytest.mark.parametrize("audience", ["registrar", "members", "circulated"])
def test_a_club_without_anything_has_a_report(tmp_path_factory, vocabulary, audience):
    club = Club.open(tmp_path_factory.mktemp("nothing") / "club", create=True)
    folder = tmp_path_factory.mktemp("out")
    with club.reading() as con:
        view = monthly(con, vocabulary, audience)
        assert "nothing is compared" in " ".join(view.head)
        for section in view.sections():
            rows = view.ask(section.name)
            assert rows.height == 0 or section.name == "figures", section.name
        assert view.ask("figures").get_column("value").sum() == 0
        for publisher in PUBLISHERS:
            assert publisher.publish(view, folder)


def test_a_club_without_vehicles_or_holdings_has_a_report(tmp_path, vocabulary):
    host = load_plugins([partmuster_plugins.spreadsheets], outside=False)
    (tmp_path / "wants.csv").write_text(
        "Wanted,Qty,Who,Date\ndynamo,1,Ada Reed,2026-10-02\n", encoding="utf-8"
    )
    club = Club.open(tmp_path / "club", create=True)
    import_files(club, host, [tmp_path / "wants.csv"], vocabulary, now=dt.datetime(2026, 10, 3, 9))  # noqa: DTZ001 - local time
    with club.reading() as con:
        view = monthly(con, vocabulary, "members")
        assert view.ask("wants").get_column("part").to_list() == ["dynamo"]
        assert view.ask("vehicles").height == view.ask("holdings").height == 0
        scarce = view.ask("scarcest").row(0, named=True)
    assert (scarce["part"], scarce["wanted"], scarce["offered"]) == ("dynamo", 1, 0)


def test_a_section_that_is_not_there_is_named(con, vocabulary):
    view = monthly(con, vocabulary, "circulated")
    with pytest.raises(PartmusterError, match="offered"):
        view.ask("holdings")


def test_months_and_days():
    assert last_full_month(dt.date(2027, 1, 1)) == Month(2026, 12)
    assert read_month("2024-02").last_day == dt.date(2024, 2, 29)
    assert read_month("2026-01").before == Month(2025, 12)
    assert year_before(dt.date(2024, 2, 29)) == dt.date(2023, 2, 28)
    for text in ("2026-13", "October", "2026", "0000-01"):
        with pytest.raises(PartmusterError, match="write it as"):
            read_month(text)


def test_a_vehicle_file_says_what_is_original_and_what_stands_in(con, vocabulary):
    view = VehicleFile(con, vocabulary, "Otter 2", "registrar", "Club", dt.date(2026, 10, 31))
    fabric = {row["part"]: row["made"] for row in view.ask("fabric").to_dicts()}
    assert fabric["radiator"] == "stand-in"
    assert fabric["water pump"] == "is not there"
    assert any("hybrid" in line for line in view.head)
    facts = {row["fact"]: row["value"] for row in view.ask("identities").to_dicts()}
    assert facts["hull number"] == "1302"
    assert {"water pump", "dynamo"} <= set(view.ask("lacks").get_column("part"))


def test_a_yard_list_tells_what_to_take_refuse_and_measure(con, vocabulary):
    view = YardList(con, vocabulary, "registrar", "Club", dt.date(2026, 10, 31), vehicle="Otter 1")
    take = view.ask("take")
    assert "Otter 5" in take.filter(take["part"] == "fan cowl").get_column("source")
    [refused] = view.ask("refuse").to_dicts()
    assert (refused["part"], refused["source"]) == ("fan cowl", "Dale Brandt")
    assert "two inches lower" in refused["reason"]
    measure = view.ask("measure")
    assert measure.get_column("to_check").null_count() == 0
    with pytest.raises(PartmusterError, match="has nothing"):
        YardList(con, vocabulary, "registrar", "Club", dt.date(2026, 10, 31), at="Nobody")

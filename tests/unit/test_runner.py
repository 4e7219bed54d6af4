"""One import as a registrar lives it: new, again, newer, partial, doubled, broken."""

from __future__ import annotations

import pytest

from partmuster.model import PartmusterError
from partmuster.running import attempt
from tests.unit.conftest import SmallClub

SPARES = """What,How many,State,Where is it,Whose
Dynamo,1,good,Barn,Hester Crane
Track guard LH,1,fair,Barn,Hester Crane
Water pump,2,good,Barn,Hester Crane
Road wheel,several,rough,Field,Ivo Larch
Fuel lift pump,1,NOS,Barn,Hester Crane
Silencer,1,good,Barn,Hester Crane
"""


def outcomes(report):
    return {file.name: file.outcome for file in report.files}


def held(small, day=None):
    where = "" if day is None else f"_as_of(DATE '{day}', false)"
    return dict(
        small.rows(f"SELECT description, quantity_text FROM holding{where} ORDER BY description")
    )


def test_a_first_import_loads_and_its_sum_adds_up(small):
    small.write("spares.csv", SPARES)
    report = small.load()
    (file,) = report.files
    assert (file.outcome, file.read, file.not_data) == ("new", 7, 1)
    assert file.loaded + file.decision == 6
    assert file.adds_up
    assert not report.failed
    assert set(held(small)) == {
        "Dynamo", "Track guard LH", "Water pump", "Road wheel", "Fuel lift pump", "Silencer",
    }  # fmt: skip


def test_importing_again_changes_nothing(small):
    small.write("spares.csv", SPARES)
    small.load()
    tables = [t for (t,) in small.rows("SELECT table_name FROM duckdb_tables()")]
    before = {t: small.rows(f"SELECT * FROM {t} ORDER BY ALL") for t in tables}
    report = small.load(later=1)
    assert outcomes(report) == {"spares.csv": "unchanged"}
    assert {t: small.rows(f"SELECT * FROM {t} ORDER BY ALL") for t in tables} == before


def test_the_same_content_under_another_name_changes_nothing(small):
    small.write("spares.csv", SPARES)
    small.load()
    small.write("copy of spares.csv", SPARES)
    report = small.load("copy of spares.csv")
    assert outcomes(report) == {"copy of spares.csv": "unchanged"}
    assert "spares.csv" in report.files[0].message
    assert len(held(small)) == 6


def test_two_files_of_one_import_with_the_same_content_count_once(small):
    small.write("a.csv", SPARES)
    small.write("b.csv", SPARES)
    assert outcomes(small.load()) == {"a.csv": "new", "b.csv": "unchanged"}


def test_a_newer_version_keeps_the_history(small):
    small.write("spares.csv", SPARES)
    small.load()
    newer = SPARES.replace("Water pump,2", "Water pump,1").replace(
        "Silencer,1,good,Barn,Hester Crane\n", "Fan belt,3,NOS,Barn,Ivo Larch\n"
    )
    small.write("spares.csv", newer)
    (file,) = small.load(later=30).files
    assert (file.outcome, file.lines_new, file.lines_changed, file.lines_ended) == (
        "new version", 1, 1, 1,
    )  # fmt: skip
    assert held(small)["Water pump"] == "1"
    assert "Silencer" not in held(small)
    assert held(small, "2026-12-01")["Water pump"] == "2"
    assert "Silencer" in held(small, "2026-12-01")


def test_going_back_to_an_older_version_has_to_be_asked_for(small):
    small.write("spares.csv", SPARES)
    small.load()
    small.write("spares.csv", SPARES.replace("Water pump,2", "Water pump,1"))
    small.load(later=1)
    small.write("spares.csv", SPARES)
    (file,) = small.load(later=2).files
    assert file.outcome == "unchanged"
    assert "--again" in file.message
    assert held(small)["Water pump"] == "1"
    assert small.load(later=3, again=True).files[0].outcome == "new version"
    assert held(small)["Water pump"] == "2"


def test_a_newer_version_that_looks_partial_ends_nothing_until_confirmed(small):
    small.write("spares.csv", SPARES)
    small.load()
    filtered = "\n".join(SPARES.splitlines()[:2]) + "\n"
    small.write("spares.csv", filtered)
    (file,) = small.load(later=1).files
    assert file.outcome == "partial"
    assert file.lines_ended == 0
    assert len(held(small)) == 6
    (file,) = small.load(later=2, again=True, complete=True).files
    assert file.lines_ended == 5
    assert set(held(small)) == {"Dynamo"}


def test_another_name_with_most_lines_equal_asks(small):
    small.write("spares.csv", SPARES)
    small.load()
    small.write("spares new.csv", SPARES + "Fan belt,1,good,Barn,Ivo Larch\n")
    report = small.load("spares new.csv", later=1)
    assert outcomes(report) == {"spares new.csv": "asks"}
    assert report.failed
    assert len(held(small)) == 6
    report = small.load("spares new.csv", later=2, replaces="spares.csv")
    assert outcomes(report) == {"spares new.csv": "new version"}
    assert len(held(small)) == 7
    assert small.rows("SELECT count(*) FROM source") == [(1,)]


def test_a_list_of_its_own_may_be_like_another(small):
    small.write("spares.csv", SPARES)
    small.load()
    small.write("spares new.csv", SPARES + "Fan belt,1,good,Barn,Ivo Larch\n")
    assert outcomes(small.load("spares new.csv", separate=True)) == {"spares new.csv": "new"}
    assert small.rows("SELECT count(*) FROM holding") == [(13,)]


def test_one_bad_file_does_not_stop_the_rest(small):
    small.write("broken.xlsx", b"PK\x03\x04 this was a workbook once")
    small.write("picture.png", b"\x89PNG\r\n\x1a\n" + bytes(64))
    small.write("spares.csv", SPARES)
    report = small.load()
    assert outcomes(report) == {
        "broken.xlsx": "failed", "picture.png": "not claimed", "spares.csv": "new",
    }  # fmt: skip
    assert report.failed
    assert all(file.message for file in report.files if file.outcome != "new")
    assert len(held(small)) == 6


def test_a_fault_names_file_row_words_and_what_to_do(small):
    small.write("spares.csv", "What,Qty,Owner,Date\nDynamo,1,Ivo Larch,31/02/2025\n"
                "Silencer,1,Ivo Larch,28/02/2025\n")  # fmt: skip
    report = small.load()
    (fault,) = report.problems
    assert (fault.file, fault.row, fault.value, fault.code) == (
        "spares.csv", 2, "31/02/2025", "impossible-date",
    )  # fmt: skip
    assert fault.what_to_do
    assert report.files[0].mending == 1
    assert set(held(small)) == {"Silencer"}


def test_order_of_import_does_not_matter(tmp_path, vocabulary):
    sheets = {
        "members.csv": "Name,Code,Region,Country\nHester Crane,A1,East,GB\nDale Brandt,A2,Far,US\n",
        "list.csv": "Otter parts list\nPart No.,Description,No. off\nOT6001,DYNAMO,1\n"
        'OT6002,"REGULATOR, VOLTAGE",1\n',
        "stock.csv": "What,Part No.,Qty,Keeper\nbig round thing,OT6001,1,Hester Crane\n"
        "fender,,1,Dale Brandt\n",
        "register.csv": "Vehicle,Family,Mark,Owner,Role,Aim\nOtter 1,Otter,Mk 1,Hester Crane,"
        "under restoration,runner\n",
        "seen.csv": "Vehicle,Part,State\nOtter 1,Dynamo,missing\n",
    }
    told = []
    at_once = [sorted(sheets)]
    backwards = [[name] for name in sorted(sheets, reverse=True)]
    mixed = [["stock.csv"], ["seen.csv", "list.csv"], ["members.csv"], ["register.csv"]]
    for order in (at_once, backwards, mixed):
        folder = tmp_path / str(len(told))
        folder.mkdir()
        small = SmallClub(folder, vocabulary)
        for names in order:
            for name in names:
                small.write(name, sheets[name])
            small.load(*names)
        told.append(
            (
                small.rows("SELECT role, key, rank, target, accepted, method FROM "
                           "identification_now ORDER BY ALL"),
                small.rows("SELECT file, outcome, reason FROM (SELECT v.name AS file, r.* FROM "
                           "raw_line r JOIN source_sum v USING (source_id)) ORDER BY ALL"),
            )
        )  # fmt: skip
    assert told[0] == told[1] == told[2]
    keyed = {row[1]: row for row in told[0][0] if row[0] == "part" and row[3] == "dynamo"}
    assert any(row[5] == "number" and row[4] for row in keyed.values())


def test_nothing_to_import_is_said(small, tmp_path):
    with pytest.raises(PartmusterError, match="no such file"):
        small.load(tmp_path / "nowhere")
    with pytest.raises(PartmusterError, match="no file"):
        small.load()


def test_a_file_that_nobody_foresaw_fails_alone(small, monkeypatch):
    def lay_out(batches, told, *, name):
        if name == "odd.csv":
            raise ZeroDivisionError("nobody thought of this")
        return plainly(batches, told, name=name)

    plainly = attempt.lay_out
    monkeypatch.setattr(attempt, "lay_out", lay_out)
    small.write("odd.csv", "What,Qty,Owner\nHeadlamp,1,Ivo Larch\n")
    small.write("spares.csv", SPARES)
    report = small.load()
    assert outcomes(report) == {"odd.csv": "failed", "spares.csv": "new"}
    assert "ZeroDivisionError" in report.files[0].message
    assert len(held(small)) == 6


def test_a_familys_lists_settle_between_namesakes_whatever_comes_first(tmp_path, vocabulary):
    sheets = {
        "list.csv": "Otter parts list\nDescription,No. off\nRUNNING GEAR,\nROAD WHEEL,8\n",
        "spares.csv": "What,Qty,For,Whose\nRoad wheel,2,Otter,Ivo Larch\n",
        "seen.csv": "Vehicle,Part,State\nOtter 1,Road wheel,missing\n",
        "register.csv": "Vehicle,Family,Mark,Owner\nOtter 1,Otter,Mk 1,Ivo Larch\n",
    }
    for at, order in enumerate((sorted(sheets), sorted(sheets, reverse=True))):
        folder = tmp_path / str(at)
        folder.mkdir()
        small = SmallClub(folder, vocabulary)
        for name in order:
            small.write(name, sheets[name])
            small.load(name)
        meant = small.rows(
            "SELECT DISTINCT k.description, i.target FROM item_key k JOIN identification_now i "
            "ON i.key = k.item_key AND i.role = 'part' WHERE i.accepted ORDER BY ALL"
        )
        assert meant == [("ROAD WHEEL", "road-wheel-tracked"), ("Road wheel", "road-wheel-tracked")]

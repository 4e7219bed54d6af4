"""What rows and cells say: struck ones, comments, counts in words, wants among spares, fits."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path
from types import SimpleNamespace

import polars as pl
import pytest

from partmuster.plugin_api import Claim, Grid, hookimpl

from .conftest import SmallClub
from .golden_sheets import assert_again_changes_nothing, raw_lines, said_lines, wrong_in

FOLDER = Path(__file__).parents[1] / "golden" / "cells"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())


class CellsWithMarks:
    """Reads cells and marks from JSON: see the README beside the sheets."""

    name, version = "cells-with-marks", "1"

    def sniff(self, source):
        return Claim(0.9) if source.name.endswith(".cells.json") else None

    def read(self, source):
        for sheet in json.loads(Path(source.path).read_bytes()):
            longest = max(map(len, sheet["cells"]))
            wide = range(1, longest + 1)
            rows = [row + [None] * (longest - len(row)) for row in sheet["cells"]]
            cells = pl.DataFrame(
                [[at, *row] for at, row in enumerate(rows, start=1)],
                schema={"row": pl.Int32, **{str(number): pl.String for number in wide}},
                orient="row",
            )
            marks = pl.DataFrame(
                sheet["marks"], orient="row",
                schema={"row": pl.Int32, "column": pl.Int32, "mark": pl.String,
                        "value": pl.String},
            )  # fmt: skip
            yield Grid(cells, sheet=sheet["sheet"], marks=marks)


@hookimpl
def partmuster_importers():
    return [CellsWithMarks()]


def club_in(folder, vocabulary):
    from partmuster.host import load_plugins
    from partmuster_plugins import spreadsheets

    small = SmallClub(folder, vocabulary)
    plugin = SimpleNamespace(__name__="cells_with_marks", partmuster_importers=partmuster_importers)
    small.host = load_plugins([spreadsheets, plugin], outside=False)
    return small


@pytest.fixture(scope="module")
def cells(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, the report, raw and said lines."""
    small = club_in(tmp_path_factory.mktemp("cells"), vocabulary)
    report = small.load(FOLDER / "sheets")
    return small, report, raw_lines(small), said_lines(small)


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 20
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(cells, name):
    small, _, raw, said = cells
    assert wrong_in(small, raw, said, FOLDER, name) == []


def test_the_sum_adds_up(cells):
    _, report, raw, _ = cells
    assert not report.failed
    for file in report.files:
        outcomes = [rest[0] for place, rest in raw.items() if place[0] == file.name]
        assert file.adds_up
        assert file.read == len(outcomes)


def test_importing_again_changes_nothing(cells):
    assert_again_changes_nothing(cells[0], FOLDER / "sheets")


def test_nobodys_telephone_or_address_is_shown_to_members(cells):
    from partmuster_schemas.columns import described
    from partmuster_schemas.said import MODELS

    for lines in cells[3].values():
        for line in lines:
            columns = described(MODELS[line["kind"]])
            seen = [str(line[name]) for name, about in columns.items()
                    if about["audience"] != "registrar"]  # fmt: skip
            assert not [text for text in seen if re.search(r"\.example|\d{5} \d{6}", text)]


# Struck through from one version to the next.


def write(small, name, rows, struck=()):
    cells = [[None if cell is None else str(cell) for cell in row] for row in rows]
    marks = [[at, column, "struck", None] for at, column in struck]
    sheet = {"sheet": "Sheet", "cells": cells, "marks": marks}
    small.write(f"{name}.cells.json", json.dumps([sheet]))


BEFORE, LATER = dt.date(2026, 11, 22), 10


def test_a_holding_struck_through_ends_and_stays_in_the_records(tmp_path, vocabulary):
    small = club_in(tmp_path, vocabulary)
    rows = [["Part", "Qty", "Held by"], ["Dynamo", 2, "Hester Crane"], ["Horn", 1, "Rupert Foy"]]
    write(small, "stores", rows)
    small.load()
    assert [row["at_least"] for row in small.holders("dynamo").to_dicts()] == [2]
    write(small, "stores", rows, struck=[(2, 1), (2, 2), (2, 3)])
    small.load(later=LATER)
    assert small.holders("dynamo").height == 0
    assert small.holders("horn").height == 1
    assert [row["at_least"] for row in small.holders("dynamo", as_of=BEFORE).to_dicts()] == [2]
    assert small.holders("dynamo", as_of=dt.date(2026, 12, 5)).height == 0
    assert small.rows("SELECT revision, gone FROM said_holding WHERE description = 'Dynamo' "
                      "ORDER BY revision") == [(1, False), (2, True)]  # fmt: skip


def surveyed(small):
    small.write("otter parts list.csv", "Otter parts list\nPart No,Description,Qty,Used on\n"
                "OT 4101,Dynamo,1,all\nOT 4102,Horn,1,all\n")  # fmt: skip
    small.write("register.csv", "Vehicle,Family,Mark\nOtter 1,Otter,Mk 1\n")


def state_of(small, part, day=None):
    answer = small.lacks("Otter 1", include_all=True, as_of=day)
    return {row["state"] for row in answer.rows.to_dicts() if row["part"] == part}


def test_a_survey_cell_struck_through_says_no_more(tmp_path, vocabulary):
    small = club_in(tmp_path, vocabulary)
    surveyed(small)
    rows = [["Item", "Otter 1", "Otter 2"], ["Dynamo", "missing", "fitted"],
            ["Horn", "missing", "fitted"]]  # fmt: skip
    write(small, "seen", rows)
    small.load()
    assert state_of(small, "dynamo") == {"missing"}
    write(small, "seen", rows, struck=[(2, 2)])
    small.load(later=LATER)
    assert state_of(small, "dynamo") == {"not-looked-at"}
    assert state_of(small, "horn") == {"missing"}
    assert state_of(small, "dynamo", BEFORE) == {"missing"}


def test_a_requirement_struck_through_is_withdrawn(tmp_path, vocabulary):
    small = club_in(tmp_path, vocabulary)
    small.write("register.csv", "Vehicle,Family,Mark\nOtter 1,Otter,Mk 1\n")
    rows = [["Otter parts list"], ["Part No", "Description", "Qty", "Used on"],
            ["OT 4101", "Dynamo", 1, "all"], ["OT 4102", "Horn", 1, "all"]]  # fmt: skip
    write(small, "otter parts list", rows)
    small.load()
    assert state_of(small, "dynamo") == {"not-looked-at"}
    write(small, "otter parts list", rows, struck=[(3, 1), (3, 2)])
    small.load(later=LATER)
    assert state_of(small, "dynamo") == set()
    assert state_of(small, "horn") == {"not-looked-at"}
    assert state_of(small, "dynamo", BEFORE) == {"not-looked-at"}
    assert small.rows("SELECT description FROM requirement") == [("Horn",)]


def test_a_fit_struck_through_counts_no_more(tmp_path, vocabulary):
    small = club_in(tmp_path, vocabulary)
    rows = [["Part", "From build", "To build", "Does it fit?"], ["Horn", "Mk 1", "Mk 2", "never"]]
    write(small, "fits", rows)
    small.load()
    assert small.rows("SELECT fit_grade FROM fit") == [("never",)]
    write(small, "fits", rows, struck=[(2, 1)])
    small.load(later=LATER)
    assert small.rows("SELECT fit_grade FROM fit") == []
    assert small.rows("SELECT fit_grade FROM fit_as_of(DATE '2026-11-22', false)") == [("never",)]


# Builds in words.

MARKS = ("Otter parts list\nPart No,Description,Qty,Used on\n"
         "OT 1,Dynamo,1,Mk 1 & 2 late\nOT 2,Horn,1,Mk 2 onwards\nOT 3,Idler,2,all except Mk 1\n"
         "OT 4,Silencer,1,up to Mk 2\nOT 5,Radiator,1,before Mk 2\n"
         "OT 6,Headlamp,2,except Mk 1 and Mk 2\n")  # fmt: skip
REGISTER = ("Vehicle,Family,Mark\nOtter 1,Otter,Mk 1 early\nOtter 2,Otter,Mk 1 late\n"
            "Otter 3,Otter,Mk 2 early\nOtter 4,Otter,Mk 2 late\nOtter 5,Otter,Mk 3\n"
            "Otter 6,Otter,\n")  # fmt: skip
REQUIRED = {
    # "Mk 1 & 2 late" may mean late of both: only what both readings give is sure.
    "dynamo": {"Otter 1": "build-not-known", "Otter 2": "not-looked-at",
               "Otter 4": "not-looked-at", "Otter 6": "build-not-known"},
    "horn": {"Otter 3": "not-looked-at", "Otter 4": "not-looked-at", "Otter 5": "not-looked-at",
             "Otter 6": "build-not-known"},
    "idler": {"Otter 3": "not-looked-at", "Otter 4": "not-looked-at", "Otter 5": "not-looked-at",
              "Otter 6": "build-not-known"},
    "silencer": {"Otter 1": "not-looked-at", "Otter 2": "not-looked-at",
                 "Otter 3": "not-looked-at", "Otter 4": "not-looked-at",
                 "Otter 6": "build-not-known"},
    "radiator": {"Otter 1": "not-looked-at", "Otter 2": "not-looked-at",
                 "Otter 6": "build-not-known"},
    "headlamp": {"Otter 5": "not-looked-at", "Otter 6": "build-not-known"},
}  # fmt: skip


def test_builds_in_words_hold_for_the_vehicles_they_name(tmp_path, vocabulary):
    small = club_in(tmp_path, vocabulary)
    small.write("otter parts list.csv", MARKS)
    small.write("register.csv", REGISTER)
    small.load()
    found = {}
    for row in small.lacks(include_all=True).rows.to_dicts():
        found.setdefault(row["part"], {})[row["vehicle"]] = row["state"]
    assert found == REQUIRED


def test_a_comma_is_a_decimal_or_a_thousand_by_country(tmp_path, vocabulary):
    from partmuster.store.settings import put_setting

    small = club_in(tmp_path, vocabulary)
    with small.club.writing() as con:
        put_setting(con, "country", "DE")
    small.write("stores.csv", 'Part,Qty\nTrack links,"1,200"\nHorn,2\n')
    small.load()
    assert small.rows("SELECT code, value FROM mending") == [("quantity-not-read", "1,200")]

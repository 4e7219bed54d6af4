"""What fits, and why or why not, as it is asked on the command line."""

from __future__ import annotations

import csv
import io
import json

import pytest

from .conftest import SmallClub
from .test_cli_deciding import call

SHEETS = {
    "vehicles.csv": (
        "Vehicle,Family,Mark,Aim\nOtter 1,Otter,Mk 1,full original\nOtter 2,Otter,Mk 2,\n"
        "Otter 3,Otter,Mk 3,\nOtter 4,Otter,Mk 4,\n"
    ),
    "fits.csv": (
        "From part,From build,To part,To build,Grade,Work,Why\n"
        "Idler,Otter Mk 2,Idler,Otter Mk 1,with work,ream the bush,\n"
        "Idler,Otter Mk 3,Idler,Otter Mk 2,as is,,\n"
        "Idler,Otter Mk 4,Idler,Otter Mk 1,never,,the drive turns the other way\n"
    ),
    "otter parts list.csv": "Otter parts list\nDescription,Qty,Assembly\nIdler,1,running gear\n",
    "survey Otter 1.csv": "Survey of Otter 1\nItem,Condition\nIdler,missing\n",
    "Hester Crane spares.csv": (
        "Hester Crane: spares for sale\nItem,From,Qty\nIdler,Otter Mk 3,1\nIdler,Otter Mk 4,1\n"
    ),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("fits"), vocabulary)
    for name, text in SHEETS.items():
        small.write(name, text)
    small.load()
    assert small.rows("SELECT topic, question FROM open_question") == []
    assert small.rows("SELECT count(*) FROM fit") == [(3,)]
    return small.club.folder


def shown(folder, *words):
    """Return what a table says, in one line."""
    found = call(folder, *words)
    assert found.exit_code == 0, found.output
    return " ".join(found.stdout.split())


def told(folder, form, *words):
    """Return the rows that CSV or JSON carries."""
    text = call(folder, *words, "--format", form).stdout
    return json.loads(text) if form == "json" else list(csv.DictReader(io.StringIO(text)))


@pytest.fixture(autouse=True)
def _wide(monkeypatch):
    monkeypatch.setenv("COLUMNS", "240")


@pytest.mark.parametrize("on", ["Otter Mk 1", "Otter 1"])
def test_a_table_says_what_goes_and_what_never_does(folder, on):
    table = shown(folder, "fits", "idler", "--on", on)
    assert "Otter Mk 3 > Otter Mk 2 > Otter Mk 1" in table
    assert "ream the bush" in table
    assert "the drive turns the other way" in table
    assert "fits.csv, row" in table


@pytest.mark.parametrize("form", ["csv", "json"])
@pytest.mark.parametrize("on", ["Otter Mk 1", "Otter 1"])
def test_csv_and_json_carry_the_same_with_its_chain(folder, form, on):
    rows = {row["build"]: row for row in told(folder, form, "fits", "idler", "--on", on)}
    along = rows["Otter Mk 3"]
    assert (along["fit"], along["work"]) == ("with-work", "ream the bush")
    assert along["chain"] == "Otter Mk 3 > Otter Mk 2 > Otter Mk 1"
    assert along["sources"].count("fits.csv") == 2
    never = rows["Otter Mk 4"]
    assert (never["fit"], never["chain"] or None) == ("never", None)
    assert "the drive turns the other way" in never["reason"]


@pytest.mark.parametrize("wrong", [["fits", "idler", "--on", "Otter Mk 9"],
                                   ["fits", "idler", "--on", "Badger"],
                                   ["explain", "idler", "Badger"]])  # fmt: skip
def test_what_is_not_there_is_named(folder, wrong):
    found = call(folder, *wrong)
    assert found.exit_code == 1
    assert "Mk 1, Mk 2, Mk 3, Mk 4" in found.stderr or "Badger" in found.stderr

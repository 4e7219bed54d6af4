"""Three months of the demo club against tables worked out by hand before the code."""

from __future__ import annotations

import csv
from pathlib import Path

import polars as pl
import pytest

from partmuster.answers.documents.months import read_month
from partmuster.answers.documents.report import Report
from partmuster.answers.documents.view import MonthlyView
from partmuster.store.club import Club

TABLES = Path(__file__).resolve().parents[1] / "publishing" / "demo_months"
MONTHS = ("2026-07", "2026-08", "2026-09", "2026-10")


def by_hand(name):
    with (TABLES / name).open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@pytest.fixture(scope="module")
def con(walked):
    assert walked.code == 0, walked.told
    with Club.open(walked.club).reading() as con:
        yield con


@pytest.fixture(scope="module")
def reports(con, vocabulary):
    return {month: Report(con, vocabulary, read_month(month)) for month in MONTHS}


@pytest.fixture(scope="module")
def views(reports):
    return {
        (month, audience): MonthlyView(reports[month], audience, "Vale of Ashmere", "salt")
        for month in MONTHS
        for audience in ("registrar", "members", "circulated")
    }


def text(value):
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


@pytest.mark.parametrize("month", MONTHS)
@pytest.mark.parametrize("section", ["moves", "matches"])
def test_what_moved_and_what_met(views, month, section):
    rows = [row for row in by_hand(f"{section}.csv") if row["month"] == month]
    columns = [name for name in (rows or by_hand(f"{section}.csv"))[0]
               if name not in ("month", "why")]  # fmt: skip
    found = views[month, "registrar"].ask(section).select(columns)
    assert sorted(tuple(map(text, row)) for row in found.iter_rows()) == sorted(
        tuple(row[name].replace("-", " ") if name.startswith("cond") else row[name]
              for name in columns)
        for row in rows
    )  # fmt: skip


@pytest.mark.parametrize("month", MONTHS)
def test_wants_that_are_new_or_found(views, month):
    rows = views[month, "registrar"].ask("wants")
    told = [row for row in by_hand("wants.csv") if row["month"] == month]
    changed = rows.filter(pl.col("state") != "open").select("state", "part", "holder", "vehicle")
    assert sorted(changed.iter_rows()) == sorted(
        (row["state"], row["part"], row["holder"], row["vehicle"])
        for row in told
        if row["state"] != "open"
    )
    if month == "2026-07":
        assert rows.get_column("state").unique().to_list() == ["open"]
        [want] = told
        assert want["part"] in rows.get_column("part")


@pytest.mark.parametrize("row", by_hand("vehicles.csv"), ids=lambda row: row["month"])
def test_how_far_a_vehicle_is_and_was(views, row):
    found = views[row["month"], "members"].ask("vehicles")
    [vehicle] = found.filter(pl.col("vehicle") == row["vehicle"]).to_dicts()
    for name in ("low_before", "low", "high_before", "high"):
        assert vehicle[name] == pytest.approx(float(row[name]), abs=0.00006), name
    for name in ("lacking_before", "lacking"):
        assert vehicle[name] == int(row[name]), name
    assert vehicle["change"] == pytest.approx(vehicle["low"] - vehicle["low_before"])


@pytest.mark.parametrize("row", by_hand("figures.csv"),
                         ids=lambda row: " ".join(list(row.values())[:3]))  # fmt: skip
def test_figures_change_by_what_happened(views, row):
    found = views[row["month"], "registrar"].ask("figures")
    [figure] = found.filter(
        pl.col("trace") == f"{row['month']}:{row['section']}:{row['key']}"
    ).to_dicts()
    assert figure["change"] == float(row["change"])
    assert figure["value"] - figure["before"] == figure["change"]


def test_a_first_month_compares_nothing(views):
    view = views["2026-07", "registrar"]
    assert any("nothing is compared" in line for line in view.head)
    assert view.ask("moves").height == view.ask("matches").height == 0
    figures = view.ask("figures")
    assert figures.get_column("before").null_count() == figures.height
    assert not view.ask("lacks").get_column("new").any()

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


@pytest.mark.parametrize("audience", ["registrar", "members", "circulated"])
@pytest.mark.parametrize("month", MONTHS)
def test_sums_agree_across_the_sections(views, month, audience):
    view = views[month, audience]
    there = {section.name for section in view.sections()}
    figures = {row["trace"].split(":", 1)[1]: row for row in view.ask("figures").to_dicts()}
    rows = {name: view.ask(name) for name in there}
    for name in there & {"offered", "matches", "scarcest", "holdings", "holders", "unsighted",
                         "vehicles", "offers", "stand_ins", "disagreements", "basis"}:  # fmt: skip
        assert figures[f"{name}:all"]["value"] == rows[name].height, name
    wants = rows["wants"].get_column("state").value_counts()
    counted = dict(wants.iter_rows())
    assert figures["wants:new"]["value"] == counted.get("new", 0)
    assert figures["wants:open"]["value"] == counted.get("new", 0) + counted.get("open", 0)
    assert figures["wants:found"]["value"] == counted.get("found", 0)
    if audience == "circulated":
        return
    assert rows["holders"].get_column("lines").sum() == rows["holdings"].height
    assert rows["holders"].get_column("unsighted").sum() == rows["unsighted"].height
    known = rows["holdings"].get_column("part").is_not_null().sum()
    assert rows["holders"].get_column("identified").sum() == known
    lacking = rows["lacks"].get_column("state").is_in(["missing", "unserviceable", "stand-in"])
    assert figures["lacks:lacking"]["value"] == lacking.sum()
    assert rows["assemblies"].get_column("lacking").sum() == lacking.sum()
    asked = rows["vehicles"].join(rows["lacks"], on="vehicle", how="semi")
    assert asked.get_column("lacking").sum() == lacking.sum()
    moved = rows["moves"].get_column("what").value_counts()
    told = sum(figures[f"moves:{key}"]["value"]
               for key in ("came-in", "went-out", "moved", "counted", "condition"))  # fmt: skip
    assert told == moved.get_column("count").sum()
    basis = rows["basis"]
    parts = basis.select("accepted", "in_review", "to_mend", "not_data").sum_horizontal()
    assert (parts == basis.get_column("lines_read")).all()
    assert figures["basis:read"]["value"] == parts.sum()


@pytest.mark.parametrize("month", MONTHS[:2])
def test_every_figure_leads_to_lines(reports, views, con, month):
    from partmuster.answers.trace import trace

    view = views[month, "registrar"]
    for row in view.ask("figures").iter_rows(named=True):
        found = reports[month].lines_of(row["trace"])
        assert bool(found) == bool(row["value"]), row["trace"]
    for section in ("holders", "vehicles", "scarcest"):
        figure = view.ask(section).row(0, named=True)["trace"]
        rows = trace(con, ";".join(reports[month].lines_of(figure)))
        assert rows.get_column("file").null_count() == 0, figure
        assert rows.get_column("row").null_count() < rows.height, figure
    [question] = view.ask("waiting").filter(pl.col("waits_for") == "decision")["trace"][:1]
    assert trace(con, question).height


def test_a_past_month_is_told_as_it_was_known_then(con, vocabulary, reports):
    """The survey of September tells of a day in September; in August's report it is not known."""
    then = reports["2026-08"].rows("vehicles").filter(pl.col("vehicle") == "Otter 1")
    assert then["lacking"].item() == 10
    now = Report(con, vocabulary, read_month("2026-09"), known_now=True).rows("vehicles")
    assert now.filter(pl.col("vehicle") == "Otter 1")["lacking"].item() == 9
    early = Report(con, vocabulary, read_month("2026-06"))
    assert early.rows("holdings").height == 0
    known_now = Report(con, vocabulary, read_month("2026-06"), known_now=True)
    assert known_now.rows("holdings").height > 30

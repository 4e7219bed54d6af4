"""The demo club's answers against the tables worked out by hand from its sheets."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict

import polars as pl
import pytest
from partmuster.answers.donors import donors
from partmuster.answers.holders import holders
from partmuster.answers.lacks import lacks
from partmuster.output import plain
from partmuster.runner import import_files
from partmuster.running.words import identifier_of

from tests.golden.conftest import IMPORTED, expected

ITEM = ("part_id", "hand", "position")


@pytest.fixture(scope="session")
def ask(demo, vocabulary):
    club = demo[0]

    def ask(question, *arguments, words=False, **options):
        with club.reading() as con:
            if words:
                options["identify"] = identifier_of(con, vocabulary)
            return question(con, vocabulary, *arguments, **options)

    return ask


def as_text(frame, columns):
    return [tuple(plain(row[name]) for name in columns) for row in frame.iter_rows(named=True)]


def test_the_demo_imports_without_a_failure(demo):
    _, _, first, second = demo
    assert not first.failed, [(f.name, f.outcome, f.message) for f in first.files]
    assert not second.failed


def test_every_raw_line_has_the_outcome_counted_by_hand(demo):
    club = demo[0]
    rows = expected("counts.csv")
    with club.reading() as con:
        found = {
            (name, sheet or ""): counts
            for name, sheet, *counts in con.execute(
                "SELECT v.name, CASE WHEN v.name LIKE '%.xlsx' THEN r.sheet END, "
                "count(*) FILTER (outcome <> 'not-data'), count(*) FILTER (outcome = 'not-data'), "
                "count(*) FILTER (outcome = 'decision'), count(*) FILTER (outcome = 'mending') "
                "FROM raw_line r JOIN source_sum v ON v.source_id = r.source_id "
                "AND v.version = r.source_version GROUP BY ALL"
            ).fetchall()
        }
    hand = {
        (row["file"], row["sheet"]): [
            int(row[name]) for name in ("raw_lines", "not_data", "needs_decision", "needs_mending")
        ]
        for row in rows
    }
    assert found == hand


VEHICLES = sorted({row["vehicle"] for row in expected("lacks.csv")})
WHOLE = {row["vehicle"] for row in expected("lacks.csv") if row["state"] == "not-looked-at"}


@pytest.mark.parametrize("vehicle", VEHICLES)
def test_lacks(ask, vehicle):
    columns = ("assembly", *ITEM, "state", "quantity")
    rows = ask(lacks, vehicle=vehicle).rows
    states = ["missing", "unserviceable", "stand-in"]
    if vehicle in WHOLE:
        states.append("not-looked-at")
    found = as_text(rows.filter(pl.col("state").is_in(states)), columns)
    hand = [
        tuple(row[name] for name in columns)
        for row in expected("lacks.csv")
        if row["vehicle"] == vehicle
    ]
    assert sorted(found) == sorted(hand)


@pytest.mark.parametrize("row", expected("as_of.csv"), ids=lambda row: f"{row['as_of']}")
def test_as_of(ask, row):
    day = dt.date.fromisoformat(row["as_of"])
    rows = ask(lacks, vehicle=row["vehicle"], as_of=day, known_now=row["known_now"] == "yes").rows
    found = as_text(
        rows.filter(pl.col("state").is_in(["missing", "stand-in", "unserviceable"])),
        ("part_id", "state", "quantity"),
    )
    hand = [(row["part_id"], row["state"], row["quantity"])] if row["part_id"] else []
    assert found == hand


QUERIES = list(dict.fromkeys(row["query"] for row in expected("holders.csv")))


@pytest.mark.parametrize("query", QUERIES)
def test_holders(ask, query):
    columns = ("holder", *ITEM, "quantity", "availability", "condition")
    rows = ask(holders, query, words=True)
    hand = [
        tuple(row[name] for name in columns)
        for row in expected("holders.csv")
        if row["query"] == query
    ]
    assert as_text(rows, columns) == hand


def _lacks_with_donors():
    lacked = defaultdict(list)
    for row in expected("donors.csv"):
        lacked[(row["vehicle"], *(row[name] for name in ITEM))].append(row)
    return lacked


DONORS = _lacks_with_donors()


@pytest.mark.parametrize("lack", DONORS, ids=" ".join)
@pytest.mark.parametrize("include_all", [False, True], ids=["offers", "all"])
def test_donors(ask, lack, include_all):
    vehicle, part_id, hand_, position = lack
    columns = ("rank", "standing", "source", "from", "fit", "correctness")
    rows = ask(donors, vehicle=vehicle, part=part_id.replace("-", " "), include_all=include_all,
               words=True)  # fmt: skip
    rows = rows.filter(
        (pl.col("part_id") == part_id)
        & (pl.col("hand").fill_null("") == hand_)
        & (pl.col("position").fill_null("") == position)
    )
    hand = [row for row in DONORS[lack] if include_all or row["only_with_all"] != "yes"]
    if include_all and any(row["only_with_all"] == "yes" for row in hand):
        hand = [row for row in hand if row["rank"]]
    assert as_text(rows, columns) == [tuple(row[name] for name in columns) for row in hand]


def test_importing_the_demo_again_changes_nothing(demo, demo_sheets, vocabulary):
    club, host, _, _ = demo
    with club.reading() as con:
        before = con.execute("SELECT value FROM setting WHERE name = 'generation'").fetchone()
    report = import_files(club, host, [demo_sheets], vocabulary, now=IMPORTED)
    with club.reading() as con:
        after = con.execute("SELECT value FROM setting WHERE name = 'generation'").fetchone()
    assert {file.outcome for file in report.files} == {"unchanged"}
    assert before == after

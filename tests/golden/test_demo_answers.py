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

#: The tables were worked out for this day, with all that is known of it.
DAY = dt.date(2026, 6, 30)
ITEM = ("part_id", "hand", "position")


@pytest.fixture(scope="module")
def ask(demo, vocabulary):
    """Ask one question after the other while the club is open."""
    with demo[0].reading() as con:
        identify = identifier_of(con, vocabulary)

        def ask(question, *arguments, words=False, **options):
            options = {"as_of": DAY, "known_now": True, **options}
            if words:
                options["identify"] = identify
            return question(con, vocabulary, *arguments, **options)

        yield ask


def as_text(frame, columns):
    frame = frame.rename({"part": "part_id"})
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
                "SELECT v.name, "
                "CASE WHEN v.name SIMILAR TO '.*\\.(xlsx|xlsm|ods)' THEN r.sheet END, "
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


#: The numbers of the hand-worked table, in the answer's words.
FROM = {
    "1": "loose spare offered",
    "2": "surplus left over by a restoration",
    "3": "hulk being broken",
    "4": "incomplete hulk, if its owner agrees",
    "5": "loose, not known to be offered",
    "": "",
}
COLUMNS = ("rank", "standing", "source", "from", "fit", "correctness")


def _donors(ask, lack, **options):
    vehicle, part_id, hand, position = lack
    rows = ask(donors, vehicle=vehicle, part=part_id.replace("-", " "), words=True, **options)
    return rows.filter(
        (pl.col("part") == part_id)
        & (pl.col("hand").fill_null("") == hand)
        & (pl.col("position").fill_null("") == position)
    )


def _by_hand(row):
    return tuple(FROM[row[name]] if name == "from" else row[name] for name in COLUMNS)


@pytest.mark.parametrize("lack", DONORS, ids=" ".join)
def test_donors(ask, lack):
    hand = [_by_hand(row) for row in DONORS[lack] if row["only_with_all"] != "yes"]
    assert as_text(_donors(ask, lack), COLUMNS) == hand


NOT_OFFERED = [row for rows in DONORS.values() for row in rows if row["only_with_all"] == "yes"]


@pytest.mark.parametrize("row", NOT_OFFERED, ids=lambda row: f"{row['vehicle']} {row['source']}")
def test_a_vehicle_that_is_kept_is_shown_only_when_all_is_asked_for(ask, row):
    lack = (row["vehicle"], *(row[name] for name in ITEM))
    shown = ("standing", "source", "fit", "correctness")
    hand = tuple(row[name] for name in shown)
    assert hand not in as_text(_donors(ask, lack), shown)
    assert hand in as_text(_donors(ask, lack, include_all=True), shown)


def test_completeness(ask):
    for row in expected("completeness.csv"):
        found = ask(lacks, vehicle=row["vehicle"]).completeness.filter(
            (pl.col("sort") == "part")
            & pl.col("assembly").is_null()
            & (pl.col("aim") == row["aim"])
        )
        assert [f"{found[name].item():.4f}" for name in ("low", "high")] == [
            row["low"], row["high"],
        ]  # fmt: skip


def test_importing_the_demo_again_changes_nothing(demo, demo_sheets, vocabulary):
    club, host, _, _ = demo
    with club.reading() as con:
        before = con.execute("SELECT value FROM setting WHERE name = 'generation'").fetchone()
    report = import_files(club, host, [demo_sheets], vocabulary, now=IMPORTED)
    with club.reading() as con:
        after = con.execute("SELECT value FROM setting WHERE name = 'generation'").fetchone()
    assert {file.outcome for file in report.files} == {"unchanged"}
    assert before == after

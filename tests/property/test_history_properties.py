"""Whatever versions a list goes through, its history answers for every day."""

import datetime as dt
import runpy
from pathlib import Path
from types import SimpleNamespace

import duckdb
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partmuster.store.lines import Arrival, write_lines
from partmuster.store.migrations import migrations, refresh_views
from tests.long import examples

made = SimpleNamespace(**runpy.run_path(str(Path(__file__).parents[1] / "kill" / "small_club.py")))

#: A version: rows of (part, how many); few parts, so that lines repeat.
VERSION = st.lists(st.tuples(st.sampled_from("ab"), st.integers(1, 3)), max_size=6)
FIRST = dt.date(2026, 1, 1)


@pytest.fixture(scope="module")
def con():
    with duckdb.connect() as con:
        for step in migrations():
            con.execute(step.sql)
        refresh_views(con)
        yield con


def frame(rows, said_on):
    given_rows = [{"description": part, "at_least": float(number)} for part, number in rows]
    return {"holding": made.typed("holding", given_rows, said_on=said_on)}["holding"]


def write(con, number, rows, said_on, recorded):
    moment = dt.datetime.combine(recorded, dt.time(12))
    arrival = Arrival("s1", number, said_on, moment, ends_missing=True)
    return write_lines(con, "holding", [(arrival, frame(rows, said_on))])["s1"]


def as_of(con, day, known_now=False):
    sql = "SELECT description, at_least FROM holding_as_of(?, ?)"
    return sorted((part, int(n)) for part, n in con.execute(sql, [day, known_now]).fetchall())


@settings(max_examples=examples(40), deadline=None)
@given(st.lists(VERSION, min_size=1, max_size=4), st.randoms(use_true_random=False))
def test_each_version_can_be_asked_for_again(con, versions, shuffler):
    con.execute("BEGIN")
    try:
        days = [FIRST + dt.timedelta(days=10 * n) for n in range(len(versions))]
        for number, (rows, day) in enumerate(zip(versions, days, strict=True), start=1):
            write(con, number, rows, day, day + dt.timedelta(days=3))
            assert as_of(con, None) == sorted(rows)
        for rows, day in zip(versions, days, strict=True):
            assert as_of(con, day + dt.timedelta(days=3)) == sorted(rows)
        again = list(versions[-1])
        shuffler.shuffle(again)
        before = con.execute("SELECT * FROM said_holding ORDER BY ALL").fetchall()
        counts = write(con, 9, again, days[-1], days[-1] + dt.timedelta(days=5))
        assert (counts.new, counts.changed, counts.ended) == (0, 0, 0)
        assert con.execute("SELECT * FROM said_holding ORDER BY ALL").fetchall() == before
    finally:
        con.execute("ROLLBACK")


@settings(max_examples=examples(40), deadline=None)
@given(st.lists(st.tuples(VERSION, st.integers(0, 30)), min_size=1, max_size=4))
def test_no_line_says_two_things_on_one_day(con, versions):
    con.execute("BEGIN")
    try:
        for number, (rows, offset) in enumerate(versions, start=1):
            recorded = FIRST + dt.timedelta(days=40 + number)
            write(con, number, rows, FIRST + dt.timedelta(days=offset), recorded)
        current = con.execute("SELECT line_id FROM holding").fetchall()
        assert len(set(current)) == len(current) == len(versions[-1][0])
        for offset in range(32):
            day = FIRST + dt.timedelta(days=offset)
            sql = "SELECT line_id FROM holding_as_of(?, true)"
            found = con.execute(sql, [day]).fetchall()
            assert len(set(found)) == len(found)
        revisions = con.execute(
            "SELECT line_id, count(*), max(revision), count(*) FILTER (recorded_to IS NULL) "
            "FROM said_holding GROUP BY line_id"
        ).fetchall()
        assert all(count == last and now <= 1 for _, count, last, now in revisions)
    finally:
        con.execute("ROLLBACK")


@settings(max_examples=examples(30), deadline=None)
@given(st.lists(VERSION, min_size=1, max_size=4))
def test_with_later_days_each_what_was_so_is_what_the_version_said(con, versions):
    con.execute("BEGIN")
    try:
        days = [FIRST + dt.timedelta(days=10 * n) for n in range(len(versions))]
        for number, (rows, day) in enumerate(zip(versions, days, strict=True), start=1):
            write(con, number, rows, day, FIRST + dt.timedelta(days=100 + number))
        for rows, day in zip(versions, days, strict=True):
            assert as_of(con, day, known_now=True) == sorted(rows)
    finally:
        con.execute("ROLLBACK")

"""Where a figure comes from, and the one door to all answers."""

from __future__ import annotations

import datetime as dt

import duckdb
import pandera.polars as pa
import polars as pl
import pytest

from partmuster.answers.ask import ANSWERS, answer
from partmuster.answers.trace import UnknownIdError, trace
from partmuster.model import PartmusterError
from partmuster.store.frames import worked_out
from partmuster_schemas import answers as columns
from partmuster_schemas.columns import described
from partmuster_trade.vocabulary import Vocabulary

MARCH = dt.datetime.combine(dt.date(2026, 3, 5), dt.time())
APRIL = dt.datetime.combine(dt.date(2026, 4, 1), dt.time())


def imported(club):
    """Say a holding that stands in row 12 of a file, and that somebody decided about."""
    line = club.holding("Ann", "lamp", source="s1")
    club.rows["said_holding"][0]["recorded_to"] = APRIL
    changed = dict(club.rows["said_holding"][0])
    changed |= {"revision": 2, "source_version": 2, "words": "lamp, fair", "recorded_to": None,
                "recorded_from": APRIL}  # fmt: skip
    club.rows["said_holding"].append(changed)
    for version, row in ((1, 12), (2, 15)):
        club.add("source_version", {"source_id": "s1", "version": version,
                                    "name": f"shed v{version}.csv"})  # fmt: skip
        club.add("line_origin", {"line_id": line, "source_id": "s1", "source_version": version,
                                 "raw_number": row - 1})  # fmt: skip
        club.add("raw_line", {"source_id": "s1", "source_version": version,
                              "raw_number": row - 1, "row": row, "outcome": "loaded"})  # fmt: skip
    club.add("decision", {"decision_id": "d1", "topic": "part", "subject": "lamp",
                          "answer": "lamp", "decided_by": "Ivo",
                          "decided_at": MARCH})  # fmt: skip
    return line


def test_every_revision_has_its_file_and_row_its_meaning_and_who_decided(club):
    line = imported(club)
    rows = trace(club.connect(), line).filter(pl.col("names") == "part").to_dicts()
    assert [(r["revision"], r["file"], r["row"]) for r in rows] == [
        (1, "shed v1.csv", 12),
        (2, "shed v2.csv", 15),
    ]
    assert rows[1]["words"] == "lamp, fair"
    assert {(r["meaning"], r["reasons"]) for r in rows} == {("lamp", "the same words")}
    assert {r["decided_by"] for r in rows} == {"Ivo (2026-03-05)"}


def test_a_decision_that_was_taken_back_decides_nothing(club):
    line = imported(club)
    club.add("decision", {"decision_id": "d2", "topic": "part", "subject": "lamp",
                          "decided_by": "Ivo", "undoes": "d1"})  # fmt: skip
    rows = trace(club.connect(), line).to_dicts()
    assert {row["decided_by"] for row in rows} == {None}


def test_a_raw_line_leads_to_its_lines_and_one_that_was_not_loaded_says_why(club):
    line = imported(club)
    club.add("raw_line", {"source_id": "s1", "source_version": 1, "raw_number": 3, "row": 4,
                          "words": "lamp | 31/02/2025", "outcome": "mending"})  # fmt: skip
    club.add("mending", {"source_id": "s1", "source_version": 1, "raw_number": 3, "code": "x",
                         "problem": "no such day", "what_to_do": "correct the date"})  # fmt: skip
    con = club.connect()
    assert set(trace(con, "s1.2.14")["id"]) == {line}
    (row,) = trace(con, "s1.1.3").to_dicts()
    assert (row["file"], row["row"], row["words"]) == ("shed v1.csv", 4, "lamp | 31/02/2025")
    assert row["reasons"] == "mending; no such day; correct the date"


def test_a_question_leads_to_the_lines_it_is_about(club):
    line = club.holding("Ann", "lamp", reading=("lamp", 0.6))
    club.holding("Bea", "tray")
    club.add("question", {"question_id": "q1", "topic": "part", "subject": "unsure lamp"})
    assert set(trace(club.connect(), "q1")["id"]) == {line}


def test_ids_may_be_joined_and_an_unknown_one_is_named(club):
    one, two = club.holding("Ann", "lamp"), club.holding("Bea", "tray")
    con = club.connect()
    assert set(trace(con, f"{one};{two}")["id"]) == {one, two}
    for bad in ("holding-999", "s9.1.1", "", ";"):
        with pytest.raises(UnknownIdError):
            trace(con, bad)


def full(club):
    """Say a little of everything."""
    club.vehicle("Otter 1", mark="Mk 1", aim=None, place="Home")
    club.place("Home", 1.0, 1.0)
    club.requirement("lamp", 2)
    club.requirement("tray")
    club.survey("Otter 1", "lamp", "missing", 1)
    return club.holding("Ann", "lamp", family="Otter", place="Home")


def test_every_answer_has_exactly_the_columns_that_are_described(club, vocabulary):
    line = full(club)
    club.fit("lamp", "as-is", family="Otter", mark="Mk 2", to_family="Otter", to_mark="Mk 1")
    con = club.connect()
    for name in ANSWERS:
        frame = answer(con, name, vocabulary, words=line if name == "trace" else "lamp",
                       vehicle="Otter 1" if name in {"fits", "explain"} else None)  # fmt: skip
        assert frame.height
        columns.ANSWERS[name].validate(frame)
        assert list(described(columns.ANSWERS[name])) == frame.columns


def test_an_answer_with_a_column_more_would_be_noticed(club, vocabulary):
    full(club)
    frame = answer(club.connect(), "lacks", vocabulary).with_columns(extra=pl.lit(1))
    with pytest.raises(pa.errors.SchemaError):
        columns.Lack.validate(frame)


def test_the_views_give_the_same_rows_as_the_answers(club, vocabulary):
    full(club)
    con = club.connect()
    for view in ("lacks", "completeness"):
        assert answer(con, view, vocabulary).equals(worked_out(con, f"FROM {view}"))
    assert answer(con, "donors", vocabulary).equals(worked_out(con, "FROM donors"))
    day = dt.date(2026, 5, 1)
    asked = answer(con, "lacks", vocabulary, as_of=day, known_now=True)
    told = worked_out(con, "FROM lacks_as_of(DATE '2026-05-01', true)")
    assert asked.equals(told)
    asked = answer(con, "donors", vocabulary, vehicle="Otter 1", words="lamp", as_of=day)
    told = worked_out(con, "FROM donors_as_of(['otter 1'], ['lamp'], DATE '2026-05-01', false)")
    assert asked.equals(told)


def test_nothing_temporary_is_left_even_after_an_error(club, vocabulary):
    full(club)
    con = club.connect()
    answer(con, "donors", vocabulary)
    with pytest.raises(PartmusterError):
        answer(con, "donors", vocabulary, vehicle="no such vehicle")
    left = con.execute(
        "SELECT table_name FROM duckdb_tables() WHERE starts_with(table_name, 'kept_') "
        "UNION ALL SELECT function_name FROM duckdb_functions() "
        "WHERE database_name = 'temp' AND NOT internal"
    ).fetchall()
    assert left == []


def test_answers_work_on_a_file_opened_read_only(club, vocabulary, tmp_path):
    full(club)
    con = club.connect()
    file = tmp_path / "club.duckdb"
    con.execute(f"ATTACH '{file}' AS kept")
    try:
        con.execute("COPY FROM DATABASE memory TO kept")
    finally:
        con.execute("DETACH kept")
    with duckdb.connect(str(file), read_only=True) as reader:
        assert answer(reader, "lacks", vocabulary).height == 3


def test_another_vocabulary_than_the_clubs_counts_for_the_question_only(club, vocabulary):
    full(club)
    con = club.connect()
    without_tray = Vocabulary(
        (part for part in vocabulary.parts if part.part_id != "tray"), vocabulary.assemblies()
    )
    assert set(answer(con, "lacks", without_tray)["part"]) == {"lamp"}
    assert set(answer(con, "lacks", vocabulary)["part"]) == {"lamp", "tray"}


def test_an_unknown_answer_or_a_missing_part_is_an_error(club, vocabulary):
    con = club.connect()
    with pytest.raises(PartmusterError, match="lacks, completeness"):
        answer(con, "plan", vocabulary)
    with pytest.raises(PartmusterError, match="needs a part"):
        answer(con, "holders", vocabulary, words=" ")

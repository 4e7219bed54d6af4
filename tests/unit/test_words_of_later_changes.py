"""Words that surveys are read by, and that evidence is left out by, tell of the same changes."""

from __future__ import annotations

import re
from importlib.resources import files

import duckdb
import pytest

from partmuster.reading.later_changes import read_later_change
from partmuster_trade.tables import bundled_rows


def words(meaning):
    return [
        one
        for row in bundled_rows("words_later_change.csv")
        if row["later_change"] == meaning
        for one in row["words"].split(";")
    ]


@pytest.fixture(scope="module")
def told():
    """Tell of words whether evidence is left out for them, by the macro alone."""
    sql = (files("partmuster_schemas") / "sql" / "answers_2_build_evidence.sql").read_text("utf-8")
    macro = re.search(r"CREATE OR REPLACE MACRO says_later_change\(.*?\);\n", sql, re.DOTALL)
    con = duckdb.connect()
    con.execute(macro[0])
    return lambda said: con.execute("SELECT says_later_change(?)", [said]).fetchone()[0]


def test_what_surveys_are_told_is_a_later_change_is_no_evidence_of_a_build(told):
    assert len(words("yes")) > 50
    assert [one for one in words("yes") if not told(f"Bracket, {one}.")] == []


def test_what_surveys_are_told_is_the_works_is_evidence(told):
    assert words("no")
    assert [one for one in words("no") if told(f"Bracket, {one}.")] == []


@pytest.mark.parametrize(
    "said",
    ["not a later change", "never altered later", "as it left the works", "no depot job",
     "not a field mod", "not since altered"],
)  # fmt: skip
def test_what_is_denied_is_told_by_neither(told, said):
    assert not told(said)
    assert read_later_change(said).later is not True

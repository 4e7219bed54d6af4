"""Cells a spreadsheet program would take for formulas are made harmless; no raw escapes."""

from __future__ import annotations

import csv
import io

import polars as pl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partmuster.spreadsheet_safe import csv_text, formulas_as_text, words_of_text
from partmuster.terminal_safe import visible

FORMULAS = [
    '=HYPERLINK("http://x","y")', "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "=1", " =1+1",
    "\t=1+1", "\r=1", "\n=1", "＝1+1", "＋1+1", "－1+1", "＠SUM(A1)", "\ufeff=1+1", "\u200b=1",
    "+44 1632 960001", "- 2 brackets", "--help", "'=1", "\tplain", "\x00=1",
]  # fmt: skip
HARMLESS = [
    "Dynamo", "", "-", "–", "-3", "+4", "-2.5", "+1,000", "3-4", "a=b", "it's", "'Otter'", "?",
    "12 volt", "mudguard @ front",
]  # fmt: skip


def safe(text):
    return pl.select(formulas_as_text(pl.lit(text, pl.String))).item()


@pytest.mark.parametrize("text", FORMULAS)
def test_what_could_be_a_formula_gets_an_apostrophe_before_it(text):
    assert safe(text) == f"'{text}"


@pytest.mark.parametrize("text", HARMLESS)
def test_other_text_and_plain_numbers_stay_as_they_are(text):
    assert safe(text) == text


def test_an_empty_cell_stays_empty():
    assert safe(None) is None


@given(st.text(alphabet="'=+-@ \t\na1.\ufeff＝", max_size=6))
def test_the_words_can_be_had_back(text):
    assert pl.select(words_of_text(pl.lit(safe(text), pl.String))).item() == text


def test_a_csv_holds_no_formula_in_cells_or_headings():
    frame = pl.DataFrame(
        {"words": FORMULAS, "=heading": "plain", "count": range(len(FORMULAS)), "less": -1}
    )
    heading, *rows = csv.reader(io.StringIO(csv_text(frame), newline=""))
    assert heading == ["words", "'=heading", "count", "less"]
    assert [row[0] for row in rows] == [f"'{text}" for text in FORMULAS]
    assert {row[3] for row in rows} == {"-1"}


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x1b[2J gone", "␛[2J gone"),
        ("\x1b]0;title\x07", "␛]0;title␇"),
        ("a\x9b31mb", "a\ufffd31mb"),
        ("over\u202etxt.exe", "over\ufffdtxt.exe"),
        ("a\u2066b\u2069", "a\ufffdb\ufffd"),
        ("del\x7f", "del␡"),
        ("back\b\b", "back␈␈"),
        ("שלום bracket", "שלום bracket"),
        ("two\nlines\tand a tab", "two\nlines\tand a tab"),
        ("half\ud800", "half\ufffd"),
        ("½ × Ø ü", "½ × Ø ü"),
    ],
)
def test_controls_are_shown_and_not_obeyed(text, shown):
    assert visible(text) == shown

"""Rows of a table that are no lines."""

from __future__ import annotations

import polars as pl
import pytest

from partmuster.tables.rows import headings_again


@pytest.mark.parametrize(
    ("header", "again"),
    [
        (["Part", "Qty"], [True, False]),
        (["Part", None], [False, False]),
        ([None, None], [False, False]),
        (None, [False, False]),
    ],
    ids=["both", "one of two", "headings without words", "no headings"],
)
def test_a_row_repeats_headings_that_have_words(header, again):
    rows = pl.DataFrame({"1": ["Part", "Horn"], "2": ["Qty", "1"], "n": [2, 2]})
    assert rows.with_columns(again=headings_again(["1", "2"], header))["again"].to_list() == again

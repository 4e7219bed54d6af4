"""That a frame passes is told at once: by what the models say, and never where pandera objects."""

import datetime as dt

import polars as pl
import pytest
from pandera.errors import SchemaErrors

from partmuster.stages.check import _is_faultless, _schema
from partmuster_schemas.said import MODELS

PLAIN = {pl.String: "x", pl.Boolean: True, pl.Int32: 1, pl.Int64: 1, pl.Float64: 1.0,
         pl.Date: dt.date(2026, 3, 14)}  # fmt: skip


def told(column):
    """Return each check of a column with its figures or words."""
    return {check.name: next(iter(check.statistics.values())) for check in column.checks}


def fair(column):
    said = told(column)
    if "isin" in said:
        return next(iter(said["isin"]))
    return said.get("greater_than_or_equal_to", PLAIN[column.dtype.type])


def wrong(column):
    """Return values that the column may not have."""
    said = told(column)
    found = [] if column.nullable else [None]
    if "isin" in said:
        found.append("no such word")
    if "greater_than_or_equal_to" in said:
        found.append(said["greater_than_or_equal_to"] - 1)
    if "less_than_or_equal_to" in said:
        found.append(said["less_than_or_equal_to"] + 1)
    return found


def frame(kind, **instead):
    """Return two lines of a kind, the second with other values."""
    names, schema = _schema(kind)
    first = {name: fair(schema.columns[name]) for name in names}
    types = {name: schema.columns[name].dtype.type for name in names}
    return pl.DataFrame([first, first | instead], schema=types)


def pandera_passes(kind, lines):
    try:
        _schema(kind)[1].validate(lines, lazy=True)
    except SchemaErrors:
        return False
    return True


@pytest.mark.parametrize("kind", MODELS)
def test_what_passes_and_what_does_not_is_as_pandera_says(kind):
    names, schema = _schema(kind)
    assert _is_faultless(kind, frame(kind))
    assert pandera_passes(kind, frame(kind))
    tried = 0
    for name in names:
        for value in wrong(schema.columns[name]):
            assert not _is_faultless(kind, frame(kind, **{name: value})), name
            tried += 1
            if tried % 8 == 1:  # to ask pandera is dear: of every eighth
                assert not pandera_passes(kind, frame(kind, **{name: value})), name
        if schema.columns[name].nullable:
            assert _is_faultless(kind, frame(kind, **{name: None})), name
    assert tried > 4


def test_a_column_of_another_type_or_none_is_left_to_pandera():
    lines = frame("holding")
    assert not _is_faultless("holding", lines.with_columns(pl.col("words").cast(pl.Categorical)))
    assert not _is_faultless("holding", lines.drop("remark"))

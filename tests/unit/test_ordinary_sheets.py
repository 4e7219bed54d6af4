"""Some ninety sheets as members keep them, imported into one club, held to what they say."""

from __future__ import annotations

import codecs
import datetime as dt
import re
from pathlib import Path

import openpyxl
import pytest

from .conftest import SmallClub
from .golden_sheets import assert_again_changes_nothing, raw_lines, said_lines, wrong_in

FOLDER = Path(__file__).parents[1] / "golden" / "ordinary"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())
LATER_HALF = SHEETS[len(SHEETS) // 2 :]
SEPARATORS = {".tsv": "\t", ".txt": "|"}
GIVEN = {"line_id", "source_id", "source_version", "revision", "values_hash", "recorded_from",
         "recorded_to"}  # fmt: skip


@pytest.fixture(scope="module")
def ordinary(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, and the report."""
    small = SmallClub(tmp_path_factory.mktemp("ordinary"), vocabulary)
    return small, small.load(FOLDER / "sheets")


@pytest.fixture(scope="module")
def lines(ordinary):
    return raw_lines(ordinary[0]), said_lines(ordinary[0])


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 80
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(ordinary, lines, name):
    assert wrong_in(ordinary[0], *lines, FOLDER, name) == []


def records(path):
    """Return (sheet, rows of a file as lists of texts), read without the importer."""
    if path.suffix == ".xlsx":
        book = openpyxl.load_workbook(path)
        return [
            (sheet.title, [[str(c).strip() for c in row if c is not None]
                           for row in sheet.iter_rows(values_only=True)])
            for sheet in book
        ]  # fmt: skip
    data = path.read_bytes()
    wide = data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        text = data.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252")
    lines = [line for line in re.split(r"\r\n|\r|\n", text) if not line.startswith("sep=")]
    return [("", [re.sub(r'[",;|\t ]', "", line) and [line] for line in lines])]


@pytest.mark.parametrize("name", SHEETS)
def test_no_row_is_lost(lines, name):
    raw, _ = lines
    for sheet, rows in records(FOLDER / "sheets" / name):
        filled = {at for at, row in enumerate(rows, start=1) if any(row)}
        # A sheet with nothing on it is one raw line without a row.
        assert {at for file, where, at, _ in raw if (file, where) == (name, sheet)} == (
            filled or {None}
        )


def test_the_sum_adds_up(ordinary, lines):
    _, report = ordinary
    raw, _ = lines
    assert not report.failed
    assert all(file.adds_up for file in report.files)
    for file in report.files:
        outcomes = [rest[0] for place, rest in raw.items() if place[0] == file.name]
        assert file.read == len(outcomes)
        assert (file.loaded, file.decision, file.mending, file.not_data) == tuple(
            outcomes.count(one) for one in ("loaded", "decision", "mending", "not-data")
        )


def everything(small):
    """Return all that a club holds of its sources but ids and times of recording."""
    names = dict(small.rows("SELECT source_id, name FROM source_sum"))
    known = {"raw": sorted((place, rest[0]) for place, rest in raw_lines(small).items()
                           if place[3] is None),
             "cells": sorted((place, rest[0]) for place, rest in raw_lines(small).items()
                             if place[3] is not None)}  # fmt: skip
    for (source, number), found in said_lines(small).items():
        texts = sorted(str({k: v for k, v in line.items() if k not in GIVEN}) for line in found)
        known[names[source], number] = texts
    return known


def test_importing_again_changes_nothing(ordinary):
    small, _ = ordinary
    assert_again_changes_nothing(small, FOLDER / "sheets")


def test_the_order_of_import_never_matters(ordinary, tmp_path, vocabulary):
    other = SmallClub(tmp_path, vocabulary)
    other.load(*(FOLDER / "sheets" / name for name in reversed(LATER_HALF)))
    other.load(FOLDER / "sheets")
    assert everything(other) == everything(ordinary[0])


def test_nothing_is_said_of_a_day_to_come(lines):
    _, said = lines
    days = [line["said_on"] for found in said.values() for line in found]
    assert max(days) <= dt.date(2026, 11, 20)

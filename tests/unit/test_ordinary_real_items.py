"""Published lists of surplus equipment, imported as holdings and counted by another reader."""

from __future__ import annotations

import csv
import os
import re
from pathlib import Path

import pytest

from .conftest import SmallClub

BESIDE = Path(__file__).parents[3] / "shared" / "practice" / "real-items"
REAL = Path(os.environ.get("PARTMUSTER_REAL_ITEMS", BESIDE))
pytestmark = pytest.mark.skipif(
    not REAL.is_dir(), reason="the lists lie where PARTMUSTER_REAL_ITEMS says"
)


@pytest.fixture(scope="module")
def published(tmp_path_factory, vocabulary):
    small = SmallClub(tmp_path_factory.mktemp("published"), vocabulary)
    paths = sorted(REAL.glob("* data.csv"))
    assert paths
    return small, paths, small.load(*paths)


def rows_of(path):
    """Return a file's filled rows below its headings as dicts, read by the csv module."""
    with path.open(newline="", encoding="cp1252") as file:
        found = [row for row in csv.DictReader(file) if any((cell or "").strip() for cell in
                                                          row.values())]  # fmt: skip
    assert found
    return found


def test_every_row_is_a_holding_or_needs_mending(published):
    small, paths, report = published
    assert not report.failed
    for path in paths:
        rows = rows_of(path)
        (file,) = [one for one in report.files if one.name.endswith(path.name)]
        assert file.adds_up
        assert file.read == len(rows) + 1, path.name
        assert file.not_data == 1, path.name
        held, items = small.rows(
            "SELECT count(*), count(DISTINCT o.raw_number) FROM said_holding h JOIN line_origin o "
            "ON o.line_id = h.line_id WHERE h.source_id = ?", file.source_id
        )[0]  # fmt: skip
        assert held >= items == file.loaded + file.decision == len(rows) - file.mending
        assert file.mending <= 0.01 * len(rows) + 3, path.name


def test_numbers_quantities_and_words_are_those_of_the_list(published):
    small, paths, report = published
    for path in paths:
        (file,) = [one for one in report.files if one.name.endswith(path.name)]
        rows = rows_of(path)
        stock, name, quantity = (
            next(key for key in rows[0] if key and re.search(words, key, re.IGNORECASE))
            for words in (r"nsn|stock", r"item name|name", r"quantity|qty")
        )
        found = small.rows(
            'SELECT r."row", h.description, h.stock_number, h.at_least, h.unit '
            "FROM said_holding h JOIN line_origin o ON o.line_id = h.line_id JOIN raw_line r "
            "ON r.source_id = o.source_id AND r.raw_number = o.raw_number "
            "WHERE h.source_id = ? AND h.side IS NULL", file.source_id,
        )  # fmt: skip
        assert found
        for at, description, number, at_least, unit in found:
            row = rows[at - 2]
            assert (description or "") == row[name].strip()
            assert (number or "") == re.sub(r"\W", "", row[stock])
            if unit == "each":
                assert at_least == float(row[quantity])

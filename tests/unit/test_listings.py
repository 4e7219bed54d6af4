"""Parts lists, registers, contacts and fits as members keep them, held to what they say."""

from __future__ import annotations

from pathlib import Path

import pytest

from .conftest import SmallClub
from .golden_sheets import (
    assert_adds_up,
    assert_again_changes_nothing,
    raw_lines,
    said_lines,
    wrong_in,
)

FOLDER = Path(__file__).parents[1] / "golden" / "listings"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())


@pytest.fixture(scope="module")
def listings(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, the report, raw and said lines."""
    small = SmallClub(tmp_path_factory.mktemp("listings"), vocabulary)
    report = small.load(FOLDER / "sheets")
    return small, report, raw_lines(small), said_lines(small)


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 10
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(listings, name):
    small, _, raw, said = listings
    assert wrong_in(small, raw, said, FOLDER, name) == []


def test_the_sum_adds_up(listings):
    _, report, raw, _ = listings
    assert_adds_up(report, raw)


def test_importing_again_changes_nothing(listings):
    assert_again_changes_nothing(listings[0], FOLDER / "sheets")

"""What family files, feature sheets, fits and surveys of later changes say: see golden/builds."""

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

FOLDER = Path(__file__).parents[1] / "golden" / "builds"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())
#: Vehicles of which the sheets speak; whether these are known is no matter of what they say.
REGISTER = """Vehicle,Family,Mark
Edna,Otter,Mk 1
Maud,Otter,Mk 2
Otter 3,Otter,Mk 2
Otter 4,Otter,
"""


@pytest.fixture(scope="module")
def builds(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, the report, raw and said lines."""
    small = SmallClub(tmp_path_factory.mktemp("builds"), vocabulary)
    small.load(small.write("register.csv", REGISTER))
    report = small.load(FOLDER / "sheets")
    return small, report, raw_lines(small), said_lines(small)


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 9
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(builds, name):
    small, _, raw, said = builds
    assert wrong_in(small, raw, said, FOLDER, name) == []


def test_counts_add_up_and_importing_again_changes_nothing(builds):
    small, report, raw, _ = builds
    names = {file.name for file in report.files}
    assert_adds_up(report, {place: rest for place, rest in raw.items() if place[0] in names})
    assert_again_changes_nothing(small, FOLDER / "sheets")

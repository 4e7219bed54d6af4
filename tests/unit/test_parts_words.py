"""Words in the cells of parts lists, held to what they say."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from partmuster.model import Grid
from partmuster.stages.layout import lay_out
from partmuster.tables.told import told_by

from .conftest import SmallClub
from .golden_sheets import (
    assert_adds_up,
    assert_again_changes_nothing,
    raw_lines,
    said_lines,
    wrong_in,
)

FOLDER = Path(__file__).parents[1] / "golden" / "parts_words"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())


@pytest.fixture(scope="module")
def words_club(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, the report, raw and said lines."""
    small = SmallClub(tmp_path_factory.mktemp("parts_words"), vocabulary)
    report = small.load(FOLDER / "sheets")
    return small, report, raw_lines(small), said_lines(small)


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 6
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(words_club, name):
    small, _, raw, said = words_club
    assert wrong_in(small, raw, said, FOLDER, name) == []


def test_the_sum_adds_up(words_club):
    _, report, raw, _ = words_club
    assert_adds_up(report, raw)


def test_importing_again_changes_nothing(words_club):
    assert_again_changes_nothing(words_club[0], FOLDER / "sheets")


def test_a_code_is_asked_once_and_an_answer_settles_all_its_lines():
    rows = [("Part No", "Description", "Qty", "UOC"), ("H-1-1", "Dynamo", "1", "C"),
            ("H-1-2", "Horn", "1", "C"), ("H-1-3", "Idler", "2", None)]  # fmt: skip
    columns = {str(at + 1): [row[at] for row in rows] for at in range(4)}
    cells = pl.DataFrame(columns, schema=dict.fromkeys(columns, pl.String))
    cells = cells.with_row_index("row", offset=1).with_columns(pl.col("row").cast(pl.Int32))
    grid = Grid(cells, title="Otter parts list")
    asked = lay_out([grid]).questions.to_dicts()
    assert [(one["subject"], one["lines"]) for one in asked] == [("|code C", 2)]
    told = told_by([("layout", asked[0]["subject"], "Mk 3")])
    again = lay_out([grid], told)
    assert again.questions.is_empty()
    assert again.lines["effectivity"].to_list() == ["Mk 3", "Mk 3", None]

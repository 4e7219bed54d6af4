"""Sheets whose layout is not plain, imported into one club, held to what is written beside them."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest

from .conftest import SmallClub
from .golden_sheets import raw_lines, said_lines, wrong_in

FOLDER = Path(__file__).parents[1] / "golden" / "messy"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())


@pytest.fixture(scope="module")
def messy(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, and the report."""
    small = SmallClub(tmp_path_factory.mktemp("messy"), vocabulary)
    return small, small.load(FOLDER / "sheets")


@pytest.fixture(scope="module")
def lines(messy):
    return raw_lines(messy[0]), said_lines(messy[0])


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 20
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(messy, lines, name):
    assert wrong_in(messy[0], *lines, FOLDER, name) == []


def rows_of(path):
    """Return (sheet, row, texts of its cells), read without the importer."""
    if path.suffix == ".xlsx":
        for sheet in openpyxl.load_workbook(path):
            for at, row in enumerate(sheet.iter_rows(values_only=True), 1):
                yield sheet.title, at, [str(cell) for cell in row if cell is not None]
    else:
        with path.open(encoding="utf-8", newline="") as file:
            for at, row in enumerate(csv.reader(file), 1):
                yield "", at, [cell for cell in row if cell.strip()]


@pytest.mark.parametrize("name", SHEETS)
def test_every_cell_stands_in_the_words_of_a_raw_line(messy, name):
    small, _ = messy
    words = {}
    for sheet, row, text in small.rows(
        'SELECT r.sheet, r."row", r.words FROM raw_line r JOIN source_sum v '
        "ON v.source_id = r.source_id AND v.version = r.source_version WHERE v.name = ?", name
    ):  # fmt: skip
        words[sheet or "", row] = f"{words.get((sheet or '', row), '')} | {text}"
    # What stands beside the cells of a matrix is in the remark of each of them.
    for sheet, row, text in small.rows(
        'SELECT a.sheet, a."row", s.remark FROM said_survey s JOIN line_address a USING (line_id) '
        "JOIN source_sum v ON v.source_id = s.source_id "
        'WHERE v.name = ? AND a."column" IS NOT NULL AND s.remark IS NOT NULL', name
    ):  # fmt: skip
        words[sheet or "", row] += f" | {text}"
    for sheet, row, cells in rows_of(FOLDER / "sheets" / name):
        for cell in cells:
            assert cell.strip() in words[sheet, row], (row, cell)


def test_the_sum_adds_up(messy, lines):
    _, report = messy
    raw, _ = lines
    assert not report.failed
    assert all(file.adds_up for file in report.files)
    for file in report.files:
        outcomes = [rest[0] for place, rest in raw.items() if place[0] == file.name]
        assert file.read == len(outcomes)


def test_a_colour_is_asked_about_once(messy):
    small, _ = messy
    asked = small.rows(
        "SELECT q.question, q.choices, q.lines FROM open_question q JOIN source_sum v "
        "ON starts_with(q.subject, v.source_id) WHERE v.name = 'colours.xlsx' "
        "AND q.topic = 'marks' ORDER BY 1"
    )
    assert [question.partition(" on ")[0] for question, _, _ in asked] == [
        "What does red mean", "What does yellow mean"]  # fmt: skip
    assert "Bonnet" in asked[0][0]
    assert {lines for _, _, lines in asked} == {1}
    assert asked[0][1].split(";") == ["gone", "kept", "offered", "swap", "promised",
                                      "unserviceable", "nothing"]  # fmt: skip


@pytest.mark.parametrize("name", ["banded.xlsx", "colour_key.xlsx", "merged.xlsx"])
def test_bands_and_keyed_colours_are_not_asked_about(messy, name):
    small, _ = messy
    assert not small.rows(
        "SELECT q.question FROM open_question q JOIN source_sum v "
        "ON starts_with(q.subject, v.source_id) WHERE v.name = ? AND q.topic = 'marks'", name
    )  # fmt: skip

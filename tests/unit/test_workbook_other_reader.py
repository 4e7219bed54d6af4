"""Workbooks made at random: marks and words are those that openpyxl finds, cell by cell."""

from __future__ import annotations

import io
import random

import openpyxl
import pytest
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.cell.text import InlineFont
from openpyxl.comments import Comment
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.colors import COLOR_INDEX, Color

from partmuster_plugins.spreadsheets import sheet_scan

from .sheet_files import only_grid

FILLS = ["FFFF00", "92D050", "FFFFFF", "000000", 13, 22, None, None]
INKS = ["FF0000", "000000", 12, None, None, None]


def coloured(choice):
    return Color(indexed=choice) if isinstance(choice, int) else Color(rgb=f"FF{choice}")


def random_workbook(seed):
    rng = random.Random(seed)
    book = openpyxl.Workbook()
    sheet = book.active
    height, width = rng.randrange(1, 30), rng.randrange(1, 9)
    for row in range(2, height + 2):
        whole = rng.choice(FILLS) if rng.random() < 0.3 else None
        for column in range(2, width + 2):
            dress(sheet.cell(row, column), whole, rng)
        sheet.row_dimensions[row].hidden = rng.random() < 0.1
    if rng.random() < 0.5:
        sheet.merge_cells(start_row=2, start_column=2, end_row=4, end_column=3)
    sheet.column_dimensions["C"].hidden = rng.random() < 0.5
    sheet["B2"] = "Part"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def dress(cell, whole, rng):
    if rng.random() < 0.7:
        cell.value = rng.choice(["Lamp", "Hinge, LH", 3, 2.5, True, "=A1+1", "½ set", "#N/A"])
    if whole or rng.random() < 0.4:
        fill = whole or rng.choice(FILLS)
        cell.fill = PatternFill("solid", fgColor=coloured(fill)) if fill else PatternFill()
    if rng.random() < 0.3:
        ink = rng.choice(INKS)
        cell.font = Font(strike=rng.random() < 0.5, color=coloured(ink) if ink else None)
    if rng.random() < 0.1:
        words = rng.sample(["old ", "new", " 2", "LH "], rng.randrange(1, 4))
        fonts = [InlineFont(strike=rng.random() < 0.5) for _ in words]
        cell.value = CellRichText(*map(TextBlock, fonts, words))
    if rng.random() < 0.05:
        cell.comment = Comment("Al:\nask first", "Al")


def rgb_of(colour):
    kind = None if colour is None else colour.type
    known = ""
    if kind == "rgb":
        known = colour.rgb[-6:].lower()
    elif kind == "indexed" and colour.indexed < len(COLOR_INDEX):
        known = COLOR_INDEX[colour.indexed][-6:].lower()
    return known if known not in {"", "ffffff", "000000"} else None


def marks_by_openpyxl(data, grid):
    """Return marks as openpyxl tells them, by a loop of cells; no marks of whole rows."""
    sheet = openpyxl.load_workbook(io.BytesIO(data), rich_text=True).active
    values = openpyxl.load_workbook(io.BytesIO(data), data_only=True).active
    last_row, last_column = grid.cells.height, int(grid.cells.columns[-1])
    found = set()
    covered = set()
    for area in sheet.merged_cells.ranges:
        first, *others = [(row, column) for row, column in area.cells]
        covered |= set(others)
        if first[0] <= last_row and first[1] <= last_column:
            found.add((*first, "merged", f"{area.size['rows']}x{area.size['columns']}"))
    for line in sheet.iter_rows():
        for cell in line:
            place = (cell.row, cell.column)
            if cell.comment:
                found.add((*place, "comment", cell.comment.text.split(":\n", 1)[1]))
            if isinstance(cell.value, str) and cell.value.startswith("="):
                found.add((*place, "formula", cell.value))
            words = values.cell(*place).value
            fill = rgb_of(cell.fill.fgColor) if cell.fill.patternType == "solid" else None
            inside = place[0] <= last_row and 2 <= place[1] <= last_column
            if fill and inside and (words is not None or place not in covered):
                found.add((*place, "fill", fill))
            if words is not None:
                found |= {(*place, *mark) for mark in marks_of_words(cell)}
    found |= {
        (row, None, "hidden", "row")
        for row, one in sheet.row_dimensions.items()
        if one.hidden and row <= last_row
    }
    if sheet.column_dimensions["C"].hidden and last_column >= 3:
        found.add((None, 3, "hidden", "column"))
    return found


def marks_of_words(cell):
    if isinstance(cell.value, CellRichText):
        struck = {bool(part.font.strike) for part in cell.value if part.text.strip()}
        if struck == {True, False}:
            left = "".join(part.text for part in cell.value if not part.font.strike)
            yield "partly-struck", left.strip()
        elif struck == {True}:
            yield "struck", None
        return
    if cell.font.strike:
        yield "struck", None
    if ink := rgb_of(cell.font.color):
        yield "ink", ink


@pytest.mark.parametrize("seed", range(25))
def test_the_marks_are_those_that_another_reader_finds(make_source, monkeypatch, seed):
    data = random_workbook(seed)
    grid = only_grid(make_source("made.xlsx", data))
    expected = marks_by_openpyxl(data, grid)
    told = set()
    for row, column, mark, value in grid.marks.rows():
        if mark in {"fill", "ink"} and column is None:
            columns = grid.cells.columns[1:]
            words = [name for name in columns if grid.cells[name][row - 1] is not None]
            told |= {(row, int(name), mark, value) for name in words}
            # One mark of the row stands for its empty cells of that colour too.
            told |= {one for one in expected if (one[0], one[2], one[3]) == (row, mark, value)}
        elif (mark, value) != ("struck", "row"):
            told.add((row, column, mark, value))
    assert told == expected
    monkeypatch.setattr(sheet_scan, "_CHUNK", 200)
    assert only_grid(make_source("made.xlsx", data)).marks.equals(grid.marks)


@pytest.mark.parametrize("seed", range(25))
def test_no_cell_is_lost_against_another_reader(make_source, seed):
    data = random_workbook(100 + seed)
    grid = only_grid(make_source("made.xlsx", data))
    for line in openpyxl.load_workbook(io.BytesIO(data), data_only=True).active.iter_rows():
        for cell in line:
            if cell.value is not None:
                value = str(cell.value).upper() if isinstance(cell.value, bool) else str(cell.value)
                assert grid.cells[str(cell.column)][cell.row - 1] == value

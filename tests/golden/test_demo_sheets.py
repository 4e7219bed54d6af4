"""The demo club's sheets are those that its tables make, and carry what members put on sheets."""

from __future__ import annotations

import shutil
import subprocess
import sys

import numpy as np
import pytest
from PIL import Image, ImageSequence

from partmuster.host import source_file
from partmuster.model import Grid
from partmuster_plugins.spreadsheets.importer import Spreadsheets
from tests.golden.conftest import MAKING, SAMPLES

WORKBOOKS = {".xlsx", ".xlsm", ".ods"}
#: Notes are kept as their writers left them, and so are the short sheets of July 2026.
NOTES = {".txt", ".md", ".eml", ".html"}
OF_JULY = {
    "otter_hulls.csv", "otter_hull_numbers.csv", "otter_engines.csv", "bramble_bodies.csv",
    "bramble_from_the_works.csv", "what_was_seen.csv", "new_in_july.csv", "gwen_bench_book.csv",
}  # fmt: skip


def grids(path):
    """Return the sheets of a workbook by name, as an importer hands them over."""
    batches = Spreadsheets().read(source_file(path))
    return {batch.sheet: batch for batch in batches if isinstance(batch, Grid)}


def pages(path):
    """Return the pages of a picture file."""
    with Image.open(path) as picture:
        return [np.asarray(page.convert("L")) for page in ImageSequence.Iterator(picture)]


def marks(name, sheet):
    """Return the marks of a sheet as a set of row, column, mark and value."""
    return set(grids(SAMPLES / name)[sheet].marks.rows())


def test_the_sheets_are_those_that_the_tables_make(tmp_path):
    making = shutil.copytree(MAKING, tmp_path / MAKING.name)
    (tmp_path / "ashmere").mkdir()
    subprocess.run([sys.executable, "-B", making / "make_sheets.py"], check=True)
    made = {path.name: path for path in (tmp_path / "ashmere").iterdir()}
    kept = {path.name: path for path in SAMPLES.iterdir() if path.suffix not in NOTES}
    assert set(made) == set(kept) - OF_JULY
    answers = "answers.csv"
    assert (making / answers).read_bytes() == (MAKING / answers).read_bytes()
    for name, path in made.items():
        if path.suffix == ".tif":
            # letters may be drawn a little otherwise by another version of the drawing program
            for new, old in zip(pages(path), pages(kept[name]), strict=True):
                assert new.shape == old.shape, name
                assert (new != old).mean() < 0.005, name
            continue
        if path.suffix not in WORKBOOKS:
            assert path.read_bytes() == kept[name].read_bytes(), name
            continue
        new, old = grids(path), grids(kept[name])
        assert list(new) == list(old), name
        for sheet, grid in new.items():
            assert grid.cells.equals(old[sheet].cells), (name, sheet)
            assert grid.marks.equals(old[sheet].marks), (name, sheet)


@pytest.mark.parametrize(
    ("name", "sheet", "carried"),
    [
        ("shed_list.xlsx", "Shed", (9, None, "struck", "row")),
        ("shed_list.xlsx", "Shed", (12, None, "hidden", "row")),
        ("shed_list.xlsx", "Shed", (13, None, "fill", "ffff00")),
        ("shed_list.xlsx", "Shed", (15, 2, "partly-struck", "2")),
        ("shed_list.xlsx", "Shed", (17, 2, "comment", "promised")),
        ("shed_list.xlsx", "Shed", (22, 2, "formula", "=B19*2")),
        ("shed_list.xlsx", "Shed", (4, 7, "merged", "1x2")),
        ("register.xlsx", "Vehicles", (4, 1, "merged", "1x5")),
        ("survey_otters.xlsx", "Survey", (15, 2, "comment", "four rivet holes left")),
        ("survey_otters.xlsx", "Survey", (23, 4, "struck", None)),
        ("bramble_parts_list.xlsm", "Parts", (9, 1, "merged", "17x1")),
        ("bramble_parts_list.xlsm", "Parts", (17, None, "struck", "row")),
    ],
)
def test_the_sheets_carry_these_marks(name, sheet, carried):
    near = {one for one in marks(name, sheet) if one[::2] == carried[::2]}  # its row and mark
    alike = carried[1] is None and {one[3] for one in near} == {carried[3]}  # cell by cell
    assert alike or carried in near, near


def test_a_hidden_sheet_and_a_hidden_column_are_among_them():
    assert {one[2] for one in marks("register.xlsx", "Places")} == {"hidden"}
    assert (None, 5, "hidden", "column") in marks("shed_list.xlsx", "Shed")


def test_stored_values_of_formulas_are_read_and_missing_ones_are_not_made_up():
    shed = grids(SAMPLES / "shed_list.xlsx")["Shed"].cells
    counts = dict(zip(shed["row"], shed["2"], strict=True))
    assert (counts[10], counts[22], counts[24]) == ("1", None, "14")

"""Golden sheets: each sample input stands beside the grids it must give, written by hand."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest

from partmuster.host import source_file
from partmuster.model import Grid, NotData
from partmuster.stages.read import read_source
from partmuster_plugins.spreadsheets.importer import Spreadsheets

FOLDER = Path(__file__).parents[1] / "golden" / "sheets"
INPUTS = sorted(path for path in FOLDER.iterdir() if ".expected." not in path.name)


def expected_path(path: Path) -> Path:
    return path.with_suffix(".expected.csv")


def as_text(path: Path) -> str:
    """Write what a file gives as CSV: a head and rows a grid, its marks, reasons for no data."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for batch in read_source(Spreadsheets(), source_file(path)).batches:
        if isinstance(batch, NotData):
            words = [batch.words] if batch.words else []
            writer.writerow([batch.sheet, "no data", batch.reason, *words])
            continue
        assert isinstance(batch, Grid)
        writer.writerow(["sheet", *batch.cells.columns])
        writer.writerows([batch.sheet, *row] for row in batch.cells.rows())
        if batch.saved_on:
            writer.writerow([batch.sheet, "saved on", batch.saved_on.isoformat()])
        if batch.marks is not None:
            writer.writerows([batch.sheet, "mark", *row] for row in batch.marks.rows())
    return out.getvalue()


@pytest.mark.parametrize("path", INPUTS, ids=lambda path: path.name)
def test_golden(path):
    assert as_text(path) == expected_path(path).read_text(encoding="utf-8")


def test_every_expectation_has_its_input():
    stems = {path.stem for path in INPUTS}
    assert len(INPUTS) >= 6
    assert {path.name.split(".")[0] for path in FOLDER.glob("*.expected.csv")} == stems

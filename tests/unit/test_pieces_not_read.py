"""Pieces of text that are on a page and cannot be read: nothing of them is lost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import polars as pl
import pytest
from PIL import ImageDraw

from partmuster.model import Grid
from partmuster.plugin_api import NotData, SourceFile
from partmuster.stages.layout import lay_out
from partmuster_plugins.parts_lists.importer import PartsLists
from tests.pages.drawing import draw_page
from tests.pages.lists import HEADINGS, PLACES, ROWS, TITLE

from .test_cli_deciding import call, rows
from .test_layout_golden import grid_of

if TYPE_CHECKING:
    from pathlib import Path

DOTS = 200
TOP, ROW = 1.0, 0.27
UNREAD = "\N{REPLACEMENT CHARACTER}"


@dataclass(frozen=True)
class Script:
    """Signs of no script that anybody reads, drawn with a pen."""

    chance: np.random.Generator

    def write(self, page, x, row, signs, *, titles=0):
        """Draw so many signs at a row, ``x`` in inches."""
        pen = ImageDraw.Draw(page)
        y = round((TOP + titles * ROW * 1.5 + row * ROW + 0.03) * DOTS)
        left, size = round(x * DOTS), round(0.115 * DOTS)
        for _ in range(signs):
            for at in (0, size // 3, 2 * size // 3, size):
                start, end = sorted(int(one) for one in self.chance.integers(0, size, 2))
                pen.line(
                    [left + start // 2, y + at, left + size - (size - end) // 2, y + at], 20, 2
                )
                pen.line(
                    [left + at, y + start // 2, left + at, y + size - (size - end) // 2], 20, 2
                )
            left += size + 6


def script_page(count=5, *, titles=()):
    """A parts list whose descriptions are in a script that nobody reads."""
    listed = [(item, number, "", quantity) for item, number, _, quantity in ROWS[:count]]
    page = draw_page([HEADINGS, *listed], PLACES, None, titles)
    script = Script(np.random.default_rng(3))
    for at in range(count):
        script.write(page, PLACES[2], at + 1, 6 + at, titles=len(titles))
    return page


def read(path: Path) -> list[Grid | NotData]:
    head = path.read_bytes()[:4096]
    return list(PartsLists().read(SourceFile(path, path.name, path.stat().st_size, head, None)))


@pytest.fixture(scope="module")
def unread(tmp_path_factory):
    path = tmp_path_factory.mktemp("script") / "page.png"
    script_page().save(path)
    return read(path)


def test_a_piece_that_cannot_be_read_is_a_cell_of_no_confidence_with_its_box(unread):
    grid = unread[0]
    assert isinstance(grid, Grid)
    assert grid.cells.drop("row").rows()[1:] == [
        (item, number, UNREAD, quantity) for item, number, _, quantity in ROWS[:5]
    ]
    marks = grid.marks.filter(column=3).filter(row=3)
    found = dict(zip(marks["mark"], marks["value"], strict=True))
    assert found["confidence"] == "0"
    x0, y0, x1, y1 = (float(edge) for edge in found["box"].split(","))
    assert x0 < PLACES[2] * DOTS + 10
    assert x1 > PLACES[2] * DOTS + 200
    assert y0 < (TOP + 2 * ROW + 0.05) * DOTS < y1


def test_how_many_cannot_be_read_is_told_with_their_page(unread):
    told = [(one.reason, one.page) for one in unread[1:]]
    reason = (
        "5 pieces of text could not be read, being in a script that is not known here: "
        "see 'partmuster proof'"
    )
    assert told == [(reason, 1)]


def test_part_of_a_line_that_cannot_be_read_is_not_left_out(tmp_path):
    page = draw_page([HEADINGS, *ROWS[:4]], PLACES)
    Script(np.random.default_rng(5)).write(page, PLACES[2] + 1.3, 1, 6)
    page.save(tmp_path / "page.png")
    grid, *_ = read(tmp_path / "page.png")
    assert isinstance(grid, Grid)
    cells = grid.cells.drop("row").rows()
    assert cells[1][2].startswith("BOX, steering")
    assert UNREAD in cells[1][2]
    assert cells[2:] == list(ROWS[1:4])


def test_a_page_of_which_most_cannot_be_read_is_told_of(tmp_path):
    page = draw_page([("", "", "", "")], PLACES)
    script = Script(np.random.default_rng(4))
    for at in range(8):
        for place in PLACES:
            script.write(page, place, at, 4)
    page.save(tmp_path / "page.png")
    (told,) = read(tmp_path / "page.png")
    assert isinstance(told, NotData)
    assert "a script the reader does not know" in told.reason


def test_rows_with_pieces_that_cannot_be_read_need_a_person(tmp_path):
    folder, club = tmp_path / "papers", tmp_path / "club"
    folder.mkdir()
    script_page(titles=(TITLE,)).save(folder / "otter script parts list.png")
    draw_page([HEADINGS, *ROWS[:3]], PLACES, None, (TITLE,)).save(folder / "otter parts list.png")
    (folder / "otter more parts list.csv").write_text(
        "Otter parts list\nPart No,Description,Qty\nOT 1,Dynamo,1\n", "utf-8"
    )
    call(club, "init", "--country", "GB")
    result = call(club, "import", str(folder))
    assert result.exit_code == 0, result.stdout
    lines = {line.split(":")[0]: line for line in result.stdout.splitlines()}
    assert "5 pieces of text could not be read" in lines["otter script parts list.png"]
    assert "could not be read" not in lines["otter parts list.png"]
    assert "1 requirement" in lines["otter more parts list.csv"]
    sums = {row["name"]: row for row in rows(club, "sources")}
    waiting = sums["otter script parts list.png"]
    assert int(waiting["lines_loaded"]) == 0
    assert int(waiting["lines_decision"]) + int(waiting["lines_mending"]) == 5


def laid_out(text):
    return lay_out([Grid(grid_of(text, None, None).cells, page=1)], name="otter parts list.png")


def test_a_cell_that_could_not_be_read_is_empty_and_asked_about():
    out = laid_out(
        "OTTER PARTS LIST\nItem | Part No | Description | Qty | Remarks\n"
        f"1 | OT 1 | {UNREAD} | 1\n2 | OT 2 | HORN | {UNREAD}\n3 | {UNREAD} | DYNAMO | 1\n"
        f"4 | OT 4 | FAN, {UNREAD} | 1\n5 | OT 5 | IDLER | 2 | {UNREAD}\n6 | OT 6 | PIN | 2\n"
    )
    names = ["part_number", "description", "quantity", "remark"]
    assert out.lines.select(names).rows() == [
        ("OT 1", None, "1", None), ("OT 2", "HORN", None, None), (None, "DYNAMO", "1", None),
        ("OT 4", "FAN", "1", None), ("OT 5", "IDLER", "2", None), ("OT 6", "PIN", "2", None),
    ]  # fmt: skip
    *asked, clear = out.lines["doubt"].to_list()
    assert all("could not be read" in doubt for doubt in asked)
    assert clear is None


def test_a_row_of_which_nothing_could_be_read_is_a_line_for_a_person():
    out = laid_out(
        "OTTER PARTS LIST\nItem | Part No | Description | Qty\n1 | OT 1 | HORN | 1\n"
        f" | | {UNREAD} | \n2 | OT 2 | DYNAMO | 1\n{UNREAD} | {UNREAD} | {UNREAD} | {UNREAD}\n"
    )
    asked = {row["row"]: row["doubt"] for row in out.lines.to_dicts() if row["doubt"]}
    assert 6 in asked
    assert asked.keys() & {3, 4}  # a line of its own, or more of the one above
    assert set(out.raw.filter(pl.col("outcome") == "line")["row"]) >= {3, 5, 6}


def test_a_heading_that_could_not_be_read_leaves_its_column_to_a_person():
    out = laid_out(
        f"OTTER PARTS LIST\nItem | Part No | {UNREAD} | Qty\n1 | OT 1 | {UNREAD} | 1\n"
        f"2 | OT 2 | {UNREAD} | 1\n"
    )
    assert out.lines["description"].to_list() == [None, None]
    assert all("could not be read" in (doubt or "") for doubt in out.lines["doubt"])

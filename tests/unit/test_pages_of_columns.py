"""Pages whose columns stand each for a hand or a build, drawn, read and laid out."""

from __future__ import annotations

import pytest

from partmuster.model import Grid
from partmuster.plugin_api import SourceFile
from partmuster.stages.layout import lay_out
from partmuster_plugins.parts_lists.importer import PartsLists
from tests.pages.drawing import Look, draw_page
from tests.pages.lists import TITLE

PLACES = (0.8, 1.5, 2.9, 5.6, 6.7)
LISTED = [
    ("1", "H-101-2", "BOX, steering", "1", "1"),
    ("2", "H-103-1", "ARM, drop", "2", "4"),
    ("3", "H-104-1", "LEVER, brake", "", "3"),
]
HANDS = [("Item", "Part No.", "Description", "LH", "RH"), *LISTED]
UNDER_ONE = [("", "", "", "No. off", ""), *HANDS]
BUILDS = [("Item", "Part No.", "Description", "Mk 1", "Mk 2"), *LISTED]


def lines_of(tmp_path, rows, look=None):
    path = tmp_path / "otter parts list.png"
    draw_page(rows, PLACES, look, (TITLE,)).save(path)
    head = path.read_bytes()[:4096]
    read = PartsLists().read(SourceFile(path, path.name, path.stat().st_size, head, None))
    grids = [one for one in read if isinstance(one, Grid)]
    return lay_out(grids, name=path.name).lines


@pytest.mark.parametrize("rows", [HANDS, UNDER_ONE], ids=["hands", "under one heading"])
def test_each_hand_has_the_number_of_its_column(tmp_path, rows):
    lines = lines_of(tmp_path, rows)
    assert lines.select("item_number", "quantity").rows() == [
        ("1", "1 LH, 1 RH"), ("2", "2 LH, 4 RH"), ("3", "3 RH"),
    ]  # fmt: skip


def test_each_build_has_the_number_of_its_column(tmp_path):
    lines = lines_of(tmp_path, BUILDS, Look(ruled=True))
    assert sorted(lines.select("item_number", "effectivity", "quantity").rows()) == [
        ("1", "Mk 1, Mk 2", "1"), ("2", "Mk 1", "2"), ("2", "Mk 2", "4"), ("3", "Mk 2", "3"),
    ]  # fmt: skip

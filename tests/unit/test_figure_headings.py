"""A heading among the rows of a parts list that says the figure: "FIG. 4 STEERING"."""

from __future__ import annotations

import pytest

from partmuster.model import Grid
from partmuster.stages.layout import lay_out

from .test_layout_golden import grid_of

HEADED = "OTTER PARTS LIST\nItem | Part No | Description | Qty\n"


def figures(*pages):
    grids = [Grid(grid_of(text, None, None).cells, page=at) for at, text in enumerate(pages, 1)]
    lines = lay_out(grids, name="otter parts list.pdf").lines
    return list(zip(lines["figure"], lines["assembly"], strict=True))


@pytest.mark.parametrize(
    ("words", "figure", "assembly"),
    [
        ("FIG. 4 STEERING", "4", "steering"),
        ("FIGURE 12A - GEARBOX", "12A", "gearbox"),
        ("Fig 6: Brakes", "6", "brakes"),
        ("PLATE 7. STEERING", "7", "steering"),
        ("FIG. 4-2 STEERING", "4-2", "steering"),
        ("STEERING (FIG. 4)", "4", "steering"),
        ("STEERING - Fig. 4", "4", "steering"),
        ("GROUP 3. STEERING", None, "steering"),
    ],
)
def test_a_section_says_figure_and_assembly(words, figure, assembly):
    text = f"{HEADED}{words}\n1 | OT 1 | HORN | 1\n2 | OT 2 | DYNAMO | 1\n"
    assert figures(text) == [(figure, assembly)] * 2


def test_each_section_has_its_own_figure_until_it_ends():
    text = (
        f"{HEADED}FIG. 4 STEERING\n1 | OT 1 | HORN | 1\nFIG. 5 BRAKES\n1 | OT 2 | DYNAMO | 1\n"
        "END OF FIGURE\n1 | OT 3 | FAN | 1\n"
    )
    assert [figure for figure, _ in figures(text)] == ["4", "5", None]


def test_the_figure_goes_on_over_the_page_with_its_section():
    first = f"{HEADED}FIG. 4 STEERING\n1 | OT 1 | HORN | 1\n"
    second = f"{HEADED}2 | OT 2 | DYNAMO | 1\nFIG. 5 BRAKES\n1 | OT 3 | FAN | 1\n"
    assert figures(first, second) == [("4", "steering"), ("4", "steering"), ("5", "brakes")]


def test_a_title_above_the_headings_says_it_too():
    text = HEADED.replace("Item", "FIG. 4 STEERING\nItem", 1)
    text += "1 | OT 1 | HORN | 1\n2 | OT 2 | FAN | 1\n"
    assert figures(text) == [("4", "steering")] * 2


def test_a_column_of_figures_says_more_than_a_section():
    text = (
        "OTTER PARTS LIST\nFig | Item | Part No | Description | Qty\nFIG. 4 STEERING\n"
        "9 | 1 | OT 1 | HORN | 1\n9 | 2 | OT 2 | FAN | 1\n"
    )
    assert [figure for figure, _ in figures(text)] == ["9", "9"]

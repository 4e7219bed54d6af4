"""The scores of pages that were read: what is right, wrong, doubted and invented."""

from __future__ import annotations

import pytest

from tests.bench.page_baselines import grouped
from tests.bench.page_scores import Score, score

NAMES = ("item", "part_no", "description", "qty")
TRUTH = [
    ("1", "H-101-2", "HOUSING, steering box", "1"),
    ("2", "H-102-2", "SHAFT, sector, upper", "1"),
    ("3", "H-103-1", "BOLT, hexagon", "4"),
]


def test_what_is_read_as_it_is_is_all_right() -> None:
    told = score(TRUTH, [("OTTER", "", "", ""), *TRUTH], NAMES)
    assert (told.rows, told.rows_right, told.usable, told.numbers_right) == (3, 3, 3, 3)
    assert (told.letters_wrong, told.in_columns, told.invented, told.wrong) == (0, 3, 0, [])


def test_a_row_that_is_not_read_and_one_that_is_read_twice_are_both_told() -> None:
    told = score(TRUTH, [TRUTH[0], TRUTH[1], TRUTH[1]], NAMES)
    assert (told.numbers_right, told.invented, told.in_columns) == (2, 1, 2)
    assert told.letters_wrong == len("".join(TRUTH[2]))


def test_headings_are_no_rows_that_were_invented() -> None:
    head = ("Item", "Part No.", "Description", "Qty")
    assert score(TRUTH, [head, *TRUTH], NAMES).invented == 1
    assert score(TRUTH, [head, *TRUTH], NAMES, set(), [" ".join(head)]).invented == 0


def test_a_flag_counts_on_the_number_of_its_row_only() -> None:
    wrong = ("2", "H-102-Z", "SHAFT, sector, upper", "1")
    told = score(TRUTH, [TRUTH[0], wrong, TRUTH[2]], NAMES, {(1, 1), (2, 1), (0, 2)})
    assert (told.numbers_right, told.numbers_wrong) == (2, 1)
    assert (told.wrong_flagged, told.right_flagged) == (1, 1)


def test_a_row_is_usable_with_number_and_quantity_and_most_of_the_words() -> None:
    read = [
        ("1", "H-101-2", "HOUSINC, steering box", "1"),
        ("2", "H-102-2", "SHAFT", "1"),
        ("3", "H-103-1", "BOLT, hexagon", "1"),
    ]
    told = score(TRUTH, read, NAMES)
    assert (told.usable, told.rows_right, told.cells_right) == (1, 0, 9)


def test_cells_in_another_column_are_told() -> None:
    read = [(*row[:3], "", row[3]) for row in TRUTH]
    told = score(TRUTH, read, NAMES)
    assert (told.rows_right, told.in_columns) == (3, 3)
    moved = [TRUTH[0], ("2 H-102-2", "", "SHAFT, sector, upper", "1"), TRUTH[2]]
    assert score(TRUTH, moved, NAMES).in_columns == 2


def test_sums_of_pages() -> None:
    told = score(TRUTH, TRUTH, NAMES) + score(TRUTH, TRUTH[:2], NAMES)
    assert told.pages == 2
    assert told.share("rows_right") == pytest.approx(100 * 5 / 6)
    assert Score().share("rows_right") == 0


def test_lines_are_grouped_by_their_middles_into_the_columns_of_the_truth() -> None:
    def box(left: float, right: float) -> list[list[float]]:
        return [[left, 10], [right, 10], [right, 30], [left, 30]]

    truth = {
        "order": ["item", "part_no"],
        "rows": [{"boxes": {"item": box(10, 30), "part_no": box(100, 200)}}],
    }
    lines = [("H-1", 98.0, 12.0, 32.0), ("1", 9.0, 10.0, 30.0), ("2", 9.0, 50.0, 70.0)]
    assert grouped(lines, truth) == [["1", "H-1"], ["2", ""]]

"""Letters in a column of whole numbers are figures that they look like, or variants of items."""

from __future__ import annotations

import pytest

from partmuster_plugins.parts_lists.figures import as_figures

ITEMS = [str(n) for n in range(2, 17)]


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        (["Item", "I", *ITEMS], {1: "1"}),
        (["1", *ITEMS, "I7", "1B", "19"], {16: "17", 17: "18"}),
        (["OTTER CARRIER, GROUP 3", "Qty", "l", "AR", "2", "4", "REF", "I2", "- 27 -"],
         {2: "1", 7: "12"}),
    ],
)  # fmt: skip
def test_letters_like_figures_among_figures_are_figures(
    read: list[str | None], meant: dict[int, str]
) -> None:
    assert as_figures(read) == meant


@pytest.mark.parametrize(
    "read",
    [
        # Variants of an item are lettered (published component manuals; I and O are not used).
        ["1", "1A", "1B", *ITEMS],
        [*ITEMS, "17", "17B", "18"],
        ["A", "B", "C", "B", "S"],
        ["1", "B", "B", "B"],
        ["Qty"],
        [],
        [None],
    ],
)
def test_letters_that_are_letters_stay(read: list[str | None]) -> None:
    assert as_figures(read) == {}

"""Quantities of a parts list in a column for each build: none is taken to be for all builds."""

from __future__ import annotations

import pytest

from .test_layout_golden import grid_of


def lines_of(heads, rows, above=None):
    from partmuster.stages.layout import lay_out

    if above is None:
        top = f"Item | Part No | Description | {heads}\n"
    elif above.startswith("^"):
        top = f" | | | {above[1:]} | \nItem | Part No | Description | {heads}\n"
    else:
        top = f"Item | Part No | Description | {above} | \n | | | {heads}\n"
    body = "".join(f"{at} | OT {at} | HORN | {row}\n" for at, row in enumerate(rows, 1))
    text = f"Otter parts list\n{top}{body}"
    lines = lay_out([grid_of(text, None, None)], name="otter parts list.csv").lines
    assert set(lines["kind"]) == {"requirement"}
    return lines.select("item_number", "effectivity", "quantity").rows()


@pytest.mark.parametrize("above", [None, "Quantity", "^Quantity", "No. off", "^Qty per vehicle"])
@pytest.mark.parametrize(
    ("heads", "first", "second"),
    [
        ("Mk 1 | Mk 2", "Mk 1", "Mk 2"),
        ("Early | Late", "Early", "Late"),
        ("SN 1-1250 | SN 1251 on", "SN 1-1250", "SN 1251 on"),
        ("Hull nos 1-99 | Hull nos 100 & on", "Hull nos 1-99", "Hull nos 100 & on"),
    ],
)
def test_each_quantity_is_for_its_build(above, heads, first, second):
    found = lines_of(heads, ["1 | 2", "1 | ", "A/R | REF", "- | 4", "2 | 2"], above)
    assert found == [
        ("1", first, "1"), ("1", second, "2"), ("2", first, "1"), ("3", first, "A/R"),
        ("3", second, "REF"), ("4", second, "4"), ("5", f"{first}, {second}", "2"),
    ]  # fmt: skip


def test_a_row_that_no_build_has_is_not_for_all():
    found = lines_of("Mk 1 | Mk 2", ["1 | 2", "- | -"])
    assert ("2", None, None) not in found


def test_words_under_builds_that_are_no_quantities_are_not_passed_over(small):
    small.write(
        "otter parts list.csv",
        "Otter parts list\nItem,Part No,Description,Early,Late\n1,OT 1,Horn,see note,2\n"
        "2,OT 2,Fan,1,2\n",
    )
    small.load()
    everywhere = small.rows("SELECT description FROM said_requirement WHERE all_builds")
    waiting = small.rows("SELECT outcome FROM raw_line WHERE outcome IN ('decision', 'mending')")
    assert ("Horn",) not in everywhere or waiting

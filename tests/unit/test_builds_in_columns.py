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


@pytest.mark.parametrize(
    ("on_it", "not_on_it"),
    [("yes", "no"), ("Y", "N"), ("used", "not used"), ("fitted", "not fitted"), ("X", "n/a")],
)
def test_words_for_on_it_and_not_on_it_are_ticks(on_it, not_on_it):
    rows = [f"{on_it} | {not_on_it}", f" | {on_it}", f"{on_it} | {on_it}", f"{not_on_it} | "]
    found = [build for _, build, _ in lines_of("Early | Late", rows)]
    assert found == ["Early", "Late", "Early, Late", "none of Early, Late"]


def test_serials_under_builds_are_what_the_part_is_for():
    found = lines_of("Early | Late", ["to SN 1250 | ", " | SN 1251 on", "all | all", " | "])
    assert [build for _, build, _ in found] == ["to SN 1250", "SN 1251 on", "Early, Late", None]


@pytest.mark.parametrize("cell", ["with bracket", "OT 21", "see note 3"])
def test_other_words_under_builds_make_no_part_of_all_builds(small, cell):
    small.write(
        "otter parts list.csv",
        f"Otter parts list\nPart No,Description,Qty,Early,Late\nOT 1,Horn,1,,{cell}\n"
        "OT 2,Fan,1,yes,\nOT 3,Idler,2,yes,yes\n",
    )
    small.load()
    everywhere = small.rows("SELECT description FROM said_requirement WHERE all_builds")
    assert everywhere == []
    kept = small.rows("SELECT words FROM raw_line WHERE outcome IN ('decision', 'mending')")
    assert [cell in words for (words,) in kept] == [True]

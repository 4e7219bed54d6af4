"""Numbers that may have been read wrongly: the line waits, and the question has both readings."""

from __future__ import annotations

import polars as pl

from partmuster.model import Grid
from partmuster.stages.layout import lay_out

ROWS = [
    ("Part No", "Description", "Qty"),
    ("H-1O2-1", "Track guard", "2"),
    ("H-103-1", "Horn", "1"),
    ("H-104-1", "Dynamo", "1"),
    ("H-105-1", "Idler", "2"),
    ("H-106-1", "Radiator", "1"),
]


def laid_out(*marks):
    """Return the lines of a parts list of which some cells carry marks."""
    columns = {
        str(at + 1): pl.Series([row[at] for row in ROWS], dtype=pl.String) for at in range(3)
    }
    cells = pl.DataFrame({"row": pl.Series(range(1, len(ROWS) + 1), dtype=pl.Int32), **columns})
    schema = {"row": pl.Int32, "column": pl.Int32, "mark": pl.String, "value": pl.String}
    frame = pl.DataFrame(list(marks), schema=schema, orient="row")
    grid = Grid(cells, page=1, title="Otter parts list", marks=frame)
    return {line["row"]: line for line in lay_out([grid]).lines.to_dicts()}


def test_a_number_or_quantity_read_with_doubt_leaves_its_line_unsure():
    lines = laid_out(
        (2, 1, "confidence", "0.62"),
        (3, 3, "confidence", "0.79"),
        (4, 2, "confidence", "0.3"),
        (5, 1, "confidence", "0.8"),
    )
    assert lines[2]["doubt"] == "read with doubt: 'H-1O2-1'"
    assert lines[3]["doubt"] == "read with doubt: '1'"
    assert [lines[row]["sure"] for row in (2, 3, 4, 5, 6)] == [False, False, True, True, True]
    assert [lines[row]["doubt"] for row in (4, 5, 6)] == [None, None, None]


def test_a_cell_put_right_is_asked_about_with_both_readings():
    lines = laid_out((4, 2, "repaired", "Dynam0"), (6, 1, "repaired", "H-1O6-1"))
    assert lines[4]["doubt"] == "read as 'Dynam0', taken for 'Dynamo'"
    assert lines[6]["doubt"] == "read as 'H-1O6-1', taken for 'H-106-1'"
    assert not lines[4]["sure"]
    assert lines[6]["part_number"] == "H-106-1"


def outcomes(small, name):
    return small.rows(
        'SELECT r."row", r.outcome, r.reason FROM raw_line r JOIN source_sum v '
        "ON v.source_id = r.source_id AND v.version = r.source_version WHERE v.name = ? "
        "AND r.outcome <> 'not-data' ORDER BY r.\"row\"",
        name,
    )


def test_a_number_like_one_the_club_knows_waits_with_both_readings(small):
    small.write("otter parts list.csv", "Part No,Description,Qty\nH-102-1,Dynamo,1\nH-7B,Horn,1\n")
    small.load("otter parts list.csv")
    small.write(
        "otter parts list 2.csv",
        "Otter parts list\nPart No,Description,Qty\nH-1O2-1,Dynamo,1\nH-102-1,Dynamo,1\n"
        "H-103-1,Idler,2\nH-78,Radiator,1\n",
    )
    small.load("otter parts list 2.csv", later=1)
    found = {row: (outcome, reason) for row, outcome, reason in
             outcomes(small, "otter parts list 2.csv")}  # fmt: skip
    assert found[3][0] == "decision"
    assert "'H-1O2-1'" in found[3][1]
    assert "'H-102-1'" in found[3][1]
    assert [found[row][0] for row in (4, 5, 6)] == ["loaded", "loaded", "loaded"]
    said = small.rows("SELECT part_number FROM requirement WHERE part_number = 'H-1O2-1'")
    assert len(said) == 1


def test_a_number_like_another_of_its_own_list_waits_with_both_readings(small):
    small.write(
        "otter parts list.csv",
        "Otter parts list\nPart No,Description,Qty,Remarks\n"
        "OT1O10-1,Dynamo,1,\nOT1010-1,Dynamo,1,\n"
        "OT2010-1,Horn,1,\nOT2O10-1,Horn,1,rear\nOT2010-1,Horn,1,front\nOT3S1,Fan,1,\n"
        "OT351,Idler,1,\n",
    )
    small.load()
    found = {row: (outcome, reason) for row, outcome, reason in
             outcomes(small, "otter parts list.csv")}  # fmt: skip
    for row in (3, 4):  # either may be right
        assert found[row][0] == "decision"
        assert "'OT1O10-1'" in found[row][1]
        assert "'OT1010-1'" in found[row][1]
    assert [found[row][0] for row in (5, 6, 7, 8, 9)] == [
        "loaded", "decision", "loaded", "loaded", "loaded",
    ]  # fmt: skip
    said = small.rows("SELECT part_number FROM requirement ORDER BY ALL")
    assert ("OT1O10-1",) in said
    assert ("OT2O10-1",) in said

"""The rows of parts lists, held to what they say: levels, attaching parts, quantities, pages."""

from __future__ import annotations

from pathlib import Path

import polars as pl
import pytest

from partmuster.model import Grid
from partmuster.stages.layout import lay_out
from partmuster.tables.told import told_by

from .conftest import SmallClub
from .golden_sheets import (
    assert_adds_up,
    assert_again_changes_nothing,
    raw_lines,
    said_lines,
    wrong_in,
)
from .test_cli_deciding import call, rows
from .test_layout_golden import grid_of

FOLDER = Path(__file__).parents[1] / "golden" / "parts_lists"
SHEETS = sorted(path.name for path in (FOLDER / "sheets").iterdir())


@pytest.fixture(scope="module")
def lists(tmp_path_factory, vocabulary):
    """The club after one import of the whole folder, the report, raw and said lines."""
    small = SmallClub(tmp_path_factory.mktemp("parts_lists"), vocabulary)
    report = small.load(FOLDER / "sheets")
    return small, report, raw_lines(small), said_lines(small)


def test_every_sheet_has_expectations():
    assert len(SHEETS) >= 6
    assert {f"{name}.csv" for name in SHEETS} == {p.name for p in (FOLDER / "expected").iterdir()}


@pytest.mark.parametrize("name", SHEETS)
def test_each_line_is_what_the_sheet_says(lists, name):
    small, _, raw, said = lists
    assert wrong_in(small, raw, said, FOLDER, name) == []


def test_the_sum_adds_up(lists):
    _, report, raw, _ = lists
    assert_adds_up(report, raw)


def test_importing_again_changes_nothing(lists):
    assert_again_changes_nothing(lists[0], FOLDER / "sheets")


def test_one_question_asks_what_quantities_count_for(lists):
    small = lists[0]
    asked = small.rows(
        "SELECT subject, choices, lines FROM open_question WHERE topic = 'layout' "
        "AND subject LIKE '%|basis'"
    )
    assert [(choices, lines) for _, choices, lines in asked] == [("vehicle;figure;assembly", 1)]


def test_a_person_says_what_quantities_count_for():
    grid = grid_of(
        "OTTER PARTS LIST\nPart No | Description | Qty\nOT 1 | HEADLAMP | 2\nOT 2 | . LENS | 1",
        "List", None,
    )  # fmt: skip
    (asked,) = lay_out([grid]).questions.filter(pl.col("topic") == "layout").to_dicts()
    assert asked["subject"] == "List|basis"
    for answer, times in (("assembly", "2"), ("vehicle", None), ("figure", None)):
        out = lay_out([grid], told_by([("layout", "List|basis", answer)]))
        assert out.questions.is_empty()
        assert out.lines["doubt"].to_list() == [None, None]
        assert out.lines["quantity_basis"].to_list() == [answer, answer]
        assert out.lines["times"].to_list() == [None, times]


def test_the_same_part_on_several_lines_adds_and_two_lists_of_it_do_not(small):
    small.write("fleet.csv", "Vehicle,Family,Mark\nOtter 3,Otter,Mk 1\n")
    small.write(
        "otter parts list.csv",
        "Otter parts list\nPart No,Description,Qty\nOT 1,Dynamo,2\nOT 2,Horn,1\nOT 1,Dynamo,3\n",
    )
    small.load()
    lacks = small.lacks("Otter 3").rows.filter(pl.col("part") == "dynamo")
    assert lacks["required"].to_list() == [5]
    small.write(
        "otter parts list of another member.csv",
        "Otter parts list\nPart No,Description,Qty,Remarks\nOT 1,Dynamo,5,both ends\n",
    )
    small.load(later=1)
    lacks = small.lacks("Otter 3").rows.filter(pl.col("part") == "dynamo")
    assert lacks["required"].to_list() == [5]


@pytest.mark.parametrize(
    ("below", "reason"),
    [
        ("Mk 2 only", "section heading"),
        ("for Mk 2 only", None),
        ("LEFT HAND", None),
        ("with nut", "goes on from row 2"),
    ],
)
def test_builds_and_hands_below_a_part_are_no_guess(below, reason):
    text = f"Part No | Description | Qty\nOT 1 | HORN | 1\n | {below} | \nOT 2 | COIL | 1"
    out = lay_out([grid_of(text, "Parts list", None)])
    assert out.raw.filter(pl.col("row") == 3)["reason"].to_list() == [reason]
    asked = out.lines.filter(pl.col("row") == 3)["doubt"].to_list()
    assert asked == ([] if reason else ["does this go on from row 2, or is it a part of its own?"])
    assert out.lines["section"].to_list()[-1] == (below if reason == "section heading" else None)


def test_a_level_that_cannot_be_read_is_asked():
    text = "Level | Part No | Description | Qty per NHA\n0 | OT 1 | HUB | 2\nB | OT 2 | BUSH | 1"
    out = lay_out([grid_of(text, "Parts list", None)])
    assert out.lines["doubt"].to_list() == [None, "what level is 'B'?"]


def test_the_command_layout_says_what_quantities_count_for(tmp_path):
    club, sheet = tmp_path / "club", tmp_path / "otter parts list.csv"
    sheet.write_text(
        "Otter parts list\nPart No,Description,Qty\nOT 1,Headlamp,2\nOT 2,. Lens,1\n", "utf-8"
    )
    call(club, "init", "--country", "GB")
    call(club, "import", str(sheet))
    assert len(rows(club, "questions", "--topic", "layout")) == 1
    assert call(club, "layout", sheet.name, "--basis", "pound", "--by", "R").exit_code == 2
    told = call(club, "layout", sheet.name, "--basis", "assembly", "--by", "R")
    assert told.exit_code == 0, told.stderr
    assert not rows(club, "questions", "--topic", "layout")
    assert any(row["answer"] == "assembly" for row in rows(club, "decisions"))


PAGE_1 = """\
OTTER PARTS LIST
Quantity per next higher assembly
Item | Part No | Description | Qty
GROUP 3. STEERING
1 | OT 1001 | STEERING BOX | 2
2 | OT 1002 | . DROP ARM | 1
ATTACHING PARTS
3 | OT 1003 | . BOLT | 4
3A | OT 1003A | . PIN | 4
"""
PAGE_2 = """\
OTTER PARTS LIST
4 | OT 1004 | . WASHER | 4
***
5 | OT 1005 | . BUSH | 1
3-5
"""


def page(text, number):
    return Grid(cells=grid_of(text, None, None).cells, page=number)


def test_a_page_without_headings_goes_on_from_the_page_before():
    out = lay_out([page(PAGE_1, 4), page(PAGE_2, 5)], name="otter parts list.pdf")
    assert out.questions.is_empty()
    names = ["page", "row", "item_number", "description", "section", "assembly", "parent_words",
             "attaching", "times", "level"]  # fmt: skip
    group = "GROUP 3. STEERING"
    assert out.lines.select(names).rows() == [
        (4, 5, "1", "STEERING BOX", group, "steering", None, None, None, "0"),
        (4, 6, "2", "DROP ARM", group, "steering", "STEERING BOX", None, "2", "1"),
        (4, 8, "3", "BOLT", group, "steering", "DROP ARM", "yes", "2", "1"),
        (4, 9, "3A", "PIN", group, "steering", "DROP ARM", "yes", "2", "1"),
        (5, 2, "4", "WASHER", group, "steering", "DROP ARM", "yes", "2", "1"),
        (5, 4, "5", "BUSH", group, "steering", "STEERING BOX", None, "2", "1"),
    ]
    reasons = out.raw.filter((pl.col("page") == 5) & (pl.col("outcome") == "not-data"))
    assert reasons.select("row", "reason").rows() == [
        (1, "running head"), (3, "end of attaching parts"), (5, "page number"),
    ]  # fmt: skip
    assert all("headings of page 4" in reason for reason in out.layout.tail(4)["reason"])


def test_a_page_with_other_columns_is_asked_about():
    wider = "4 | OT 1004 | . WASHER | 4 | OT 9 | greased\n5 | OT 1005 | . BUSH | 1 | OT 8 | oiled\n"
    out = lay_out([page(PAGE_1, 4), page(wider, 5)], name="otter parts list.pdf")
    assert out.lines.filter(pl.col("page") == 5)["kind"].to_list() == [None, None]
    assert out.questions["lines"].to_list() == [2]


def test_what_may_go_on_from_the_page_before_is_asked():
    second = "oiled\n4 | OT 1004 | . WASHER | 4\n5 | OT 1005 | . BUSH | 1\n"
    cells = page(second, 5).cells.with_columns(
        pl.when(pl.col("row") == 1).then(pl.lit(None, pl.String)).otherwise("1").alias("1"),
        pl.when(pl.col("row") == 1).then(pl.lit("oiled")).otherwise("3").alias("3"),
    )
    out = lay_out([page(PAGE_1, 4), Grid(cells=cells, page=5)], name="otter parts list.pdf")
    first, second_line, _ = out.lines.filter(pl.col("page") == 5).to_dicts()
    assert "page before" in first["doubt"]
    assert second_line["section"] == "GROUP 3. STEERING"


def test_a_page_with_the_same_headings_goes_on_too():
    second = (
        "OTTER PARTS LIST\nItem | Part No | Description | Qty\n4 | OT 1004 | . WASHER | 4\n***\n"
    )
    out = lay_out([page(PAGE_1, 4), page(second, 5)], name="list.pdf")
    (line,) = out.lines.filter(pl.col("page") == 5).to_dicts()
    assert (line["section"], line["parent_words"], line["attaching"], line["family"]) == (
        "GROUP 3. STEERING", "DROP ARM", "yes", "Otter",
    )  # fmt: skip
    other = "BRAMBLE PARTS LIST\nItem | Part No | Description | Qty\n4 | B 1 | WASHER | 4\n"
    out = lay_out([page(PAGE_1, 4), page(other, 5)], name="list.pdf")
    (line,) = out.lines.filter(pl.col("page") == 5).to_dicts()
    assert (line["section"], line["parent_words"], line["attaching"], line["family"]) == (
        None, None, None, "Bramble",
    )  # fmt: skip


def test_a_wrapped_line_keeps_the_places_of_both_rows():
    text = "Part No | Description | Qty\nOT 1 | RADIATOR, | 1\n | with cap | \nOT 2 | HORN | 1"
    marks = pl.DataFrame(
        [(2, 2, "box", "10,20,90,30"), (3, 2, "box", "12,32,60,42")], orient="row",
        schema={"row": pl.Int32, "column": pl.Int32, "mark": pl.String, "value": pl.String},
    )  # fmt: skip
    grid = Grid(cells=grid_of(text, None, None).cells, page=1, marks=marks)
    out = lay_out([grid], name="otter parts list.png")
    first = out.lines.row(0, named=True)
    assert first["description"] == "RADIATOR, with cap"
    assert first["box"] == "10,20,90,42"
    assert out.raw.filter(pl.col("row") == 3).select("reason", "box").rows() == [
        ("goes on from row 2", "12,32,60,42")
    ]


WRAPPED_NUMBERS = """\
OTTER PARTS LIST
Item | Part No | Description | Qty | Remarks
1 | OT1010- | STEERING BOX, | 2
 | 204 | COMPLETE | | greased
2 | OT1010-205 | DROP ARM | 1
3 | OT1010 | BOLT | 4
 | -206
4 | OT1011/ | RING | 4
 | 3
5 | OT1012 | WASHER | 4
 | 44
6 | OT1013- | NUT | 4
7 | OT1014 | PIN | 4
8 | - | CLIP | 2
9 | OT1015 | SPRING | 4
"""


@pytest.mark.parametrize("number", [None, 1])
def test_a_part_number_goes_on_in_the_row_below(number):
    grid = Grid(cells=grid_of(WRAPPED_NUMBERS, None, None).cells, page=number)
    out = lay_out([grid], name="otter parts list.pdf")
    read = {row["row"]: row for row in out.lines.to_dicts()}
    rows = (3, 5, 6, 8, 13, 14, 15)
    assert [(at, read[at]["part_number"], read[at]["doubt"]) for at in rows] == [
        (3, "OT1010-204", None),
        (5, "OT1010-205", None),
        (6, "OT1010-206", None),
        (8, "OT1011/3", None),
        (13, "OT1014", None),
        (14, "-", None),
        (15, "OT1015", None),
    ]  # fmt: skip
    assert (read[3]["description"], read[3]["remark"]) == ("STEERING BOX, COMPLETE", "greased")
    gone_on = out.raw.filter(pl.col("row").is_in([4, 7, 9]))
    assert gone_on["outcome"].to_list() == ["not-data"] * 3
    assert gone_on["reason"].to_list() == [f"goes on from row {at}" for at in (3, 6, 8)]
    # "44" may be more of the number, or a part of its own; "OT1013-" lacks its end.
    assert "row 11" in read[10]["doubt"]
    assert "go on from row 10" in read[11]["doubt"]
    assert "'OT1013-'" in read[12]["doubt"]


def test_a_number_that_may_go_on_over_the_page_is_asked_about():
    first = "OTTER PARTS LIST\nPart No | Description | Qty\nOT1001 | HORN | 1\nOT1010- | BOX | 2\n"
    second = "OTTER PARTS LIST\nPart No | Description | Qty\n204 | | \nOT1011 | RING | 4\n"
    out = lay_out([page(first, 1), page(second, 2)], name="otter parts list.pdf")
    doubts = [row["doubt"] for row in out.lines.to_dicts()]
    assert (doubts[0], doubts[3]) == (None, None)
    assert "'OT1010-'" in doubts[1]
    assert "page before" in doubts[2]


def test_the_doubt_of_a_wrapped_numbers_end_is_the_lines():
    text = "Part No | Description | Qty\nOT1010- | RADIATOR | 1\n204 | | \nOT1011 | HORN | 1"
    marks = pl.DataFrame(
        [(3, 1, "confidence", "0.5"), (3, 1, "box", "12,32,60,42"), (2, 1, "box", "12,20,60,30")],
        orient="row",
        schema={"row": pl.Int32, "column": pl.Int32, "mark": pl.String, "value": pl.String},
    )  # fmt: skip
    grid = Grid(cells=grid_of(text, None, None).cells, page=1, marks=marks)
    line = lay_out([grid], name="otter parts list.png").lines.row(0, named=True)
    assert (line["part_number"], line["box"], line["sure"]) == ("OT1010-204", "12,20,60,42", False)
    assert "read with doubt" in line["doubt"]


def test_a_note_below_one_part_does_not_change_what_its_columns_are():
    text = (
        "Otter parts list\nItem | Part No | Description | Qty\n8 | OT1008 | HEADLAMP | 2\n"
        "* Hand tight only"
    )
    (line,) = lay_out([grid_of(text, None, None)], name="otter parts list.csv").lines.to_dicts()
    assert (line["item_number"], line["description"]) == ("8", "HEADLAMP")


NOTED_PAGES = (
    """\
OTTER CARRIER PARTS LIST
Item | Part No | Description | Qty | Remarks
1 | OT1001 | HORN * | 1
2 | OT1002 | DYNAMO† | 1
3 | OT1003 | RADIATOR | 1 | see note 2
4 | OT1004 | IDLER¹ | 2
5 | OT1005 | FAN ‡ | 1
6 | OT1006 | DOOR, 2 IN (3) | 1
""",
    """\
OTTER CARRIER PARTS LIST
Item | Part No | Description | Qty | Remarks
7 | OT1007 | SILENCER * | 1
8 | OT1008 | BATTERY ‡ | 1
‡ Supplied with gasket
""",
    """\
OTTER CARRIER PARTS LIST
Item | Part No | Description | Qty | Remarks
9 | OT1009 | HEADLAMP ‡ | 2
10 | OT1010 | REAR LAMP § | 2
‡ Hand tight only
""",
    """\
NOTES
* Fitted to Mk 2 only
† Superseded by OT 6102
1. Not fitted after SN 1250
2. Mk 1 only
""",
)


def test_a_note_on_another_page_is_given_to_the_lines_with_its_mark():
    out = lay_out([page(text, at) for at, text in enumerate(NOTED_PAGES, 1)], name="list.pdf")
    read = {(row["page"], row["row"]): row for row in out.lines.to_dicts()}
    assert set(read) == {
        *((1, at) for at in range(3, 9)),
        *((n, at) for n in (2, 3) for at in (3, 4)),
    }
    said = {place: (row["description"], row["remark"]) for place, row in read.items()}
    assert said[1, 3] == ("HORN", "* Fitted to Mk 2 only (note on page 4)")
    assert said[1, 4] == ("DYNAMO", "† Superseded by OT 6102 (note on page 4)")
    assert said[1, 5] == ("RADIATOR", "see note 2; (2) Mk 1 only (note on page 4)")
    assert said[1, 6] == ("IDLER", "(1) Not fitted after SN 1250 (note on page 4)")
    assert said[1, 8] == ("DOOR, 2 IN (3)", None)
    assert said[2, 3] == ("SILENCER", "* Fitted to Mk 2 only (note on page 4)")
    # Of two notes for one mark a page's own counts; where it has none, a person is asked.
    assert said[2, 4] == ("BATTERY", "‡ Supplied with gasket")
    assert said[3, 3] == ("HEADLAMP", "‡ Hand tight only")
    assert said[1, 7] == ("FAN", "‡")
    assert "pages 2 and 3" in read[1, 7]["doubt"]
    assert "no note" in read[3, 4]["doubt"]
    settled = [place for place in read if place not in {(1, 7), (3, 4)}]
    assert all(read[place]["doubt"] is None for place in settled)
    notes = out.raw.filter(pl.col("page") == 4)
    assert set(notes["outcome"]) == {"not-data"}
    assert [reason for reason in notes["reason"] if "footnote" in reason] == [
        "footnote '*'", "footnote '†'", "footnote '1'", "footnote '2'",
    ]  # fmt: skip
    assert out.questions.is_empty()


def figures_of(*pages):
    grids = [page(text, at) for at, text in enumerate(pages, 1)]
    lines = lay_out(grids, name="otter parts list.pdf").lines
    return lines["figure"].to_list()


FIGURES = """\
OTTER PARTS LIST
Fig | Item | Part No | Description | Qty
4 | 1 | OT1001 | HORN | 1
. | 2 | OT1002 | DYNAMO | 1
HULL
. | 3 | OT1003 | IDLER | 1
5A | 1 | OT1004 | FAN | 1
. | 2 | OT1005 | FAN BELT | 1
""".replace("\n. |", "\n |")


def test_a_figures_number_on_its_first_row_is_that_of_the_rows_below():
    second = (
        "OTTER PARTS LIST\nFig | Item | Part No | Description | Qty\n"
        " | 3 | OT1006 | RADIATOR | 1\n6 | 1 | OT1007 | SILENCER | 1\nEND OF FIGURE\n"
        " | 1 | OT1008 | BATTERY | 1\n"
    )
    assert figures_of(FIGURES) == ["4", "4", "4", "5A", "5A"]
    assert figures_of(FIGURES, second) == ["4", "4", "4", "5A", "5A", "5A", "6", None]


def test_a_row_without_a_figure_among_rows_that_have_one_has_none():
    each = (
        "OTTER PARTS LIST\nFig | Item | Part No | Description | Qty\n4 | 1 | OT1001 | HORN | 1\n"
        "4 | 2 | OT1002 | DYNAMO | 1\n | 3 | OT1003 | IDLER | 1\n5 | 1 | OT1004 | FAN | 1\n"
    )
    assert figures_of(each) == ["4", "4", None, "5"]
    items = (
        "OTTER PARTS LIST\nFig and Item | Part No | Description | Qty\n4-1 | OT1001 | HORN | 1\n"
        "4-2 | OT1002 | DYNAMO | 1\n | OT1003 | IDLER | 1\n4-4 | OT1004 | FAN | 1\n"
    )
    assert figures_of(items) == ["4-1", "4-2", None, "4-4"]

"""Layout of sheets with marks: merged cells, colours, and tables side by side."""

import pytest

from partmuster.stages.layout import lay_out
from partmuster.tables.told import told_by

from .test_layout import grid

SPARES = (
    ("Spares held by B. Hale", None, None),
    ("Part", "Qty", "Condition"),
    ("Dynamo", "1", "good"),
    ("Sump", "2", None),
    ("Horn", "1", "poor"),
    ("Rear hub", "1", "good"),
    ("Bonnet", "1", "good"),
)
YELLOW, RED = "ffff00", "ff0000"


def held(*rows, marks, **more):
    told = more.pop("told", ())
    return lay_out([grid(*rows, sheet="S", marks=marks, **more)], told_by(told))


def test_a_cell_merged_down_is_the_same_for_each_row():
    rows = (("Assembly", "Part", "Qty"), ("Engine", "Dynamo", "1"), (None, "Sump", "2"),
            (None, "Horn", "1"), (None, "Bonnet", "1"))  # fmt: skip
    out = held(*rows, marks=[(2, 1, "merged", "2x1"), (4, 1, "merged", "2x1")])
    assert out.lines["assembly"].to_list() == ["Engine", "Engine", None, None]


def test_a_merged_cell_gives_an_empty_row_no_line():
    rows = (("Assembly", "Part", "Qty"), ("Engine", "Dynamo", "1"), (None, None, None),
            (None, "Horn", "1"))  # fmt: skip
    out = held(*rows, marks=[(2, 1, "merged", "3x1")])
    assert out.raw["row"].to_list() == [1, 2, 4]
    assert out.lines["assembly"].to_list() == ["Engine", "Engine"]


def test_a_ditto_below_a_merged_cell_repeats_it():
    rows = (("Assembly", "Part", "Qty"), ("Engine", "Dynamo", "1"), (None, '"', "2"),
            ('"', "Horn", "1"))  # fmt: skip
    out = held(*rows, marks=[(2, 1, "merged", "2x1")])
    assert out.lines["assembly"].to_list() == ["Engine"] * 3
    assert out.lines["description"].to_list() == ["Dynamo", "Dynamo", "Horn"]


def test_a_merged_heading_covers_its_columns():
    rows = (("Part", None, "Qty"), ("Mudguard", "front", "1"), ("Horn", None, "2"))
    out = held(*rows, marks=[(1, 1, "merged", "1x2")])
    assert out.lines.select("description", "quantity").rows() == [
        ("Mudguard front", "1"), ("Horn", "2")]  # fmt: skip
    assert out.lines["words"].to_list() == ["Mudguard | front | 1", "Horn | 2"]


def test_a_title_merged_across_is_one_section():
    rows = (("Part", "Qty", "Condition"), ("Engine", None, None), ("Dynamo", "1", "good"))
    out = held(*rows, marks=[(2, 1, "merged", "1x3")])
    assert out.lines.select("section", "description").rows() == [("Engine", "Dynamo")]


def test_colours_are_asked_about_and_stand_in_the_remark_meanwhile():
    out = held(*SPARES, marks=[(4, None, "fill", YELLOW), (7, 1, "fill", YELLOW)])
    assert out.questions.select("topic", "subject", "lines").rows() == [
        ("marks", f"S|colour {YELLOW}", 2)]  # fmt: skip
    assert "yellow" in out.questions["question"][0]
    assert "Sump" in out.questions["question"][0]
    assert out.lines["remark"].to_list() == [None, "coloured yellow", None, None, "coloured yellow"]


@pytest.mark.parametrize(("answer", "field", "value"), [
    ("promised", "availability", "promised"), ("kept", "availability", "kept"),
    ("offered", "availability", "offered"), ("swap", "availability", "swap"),
    ("gone", "struck", True), ("unserviceable", "condition", "unserviceable"),
])  # fmt: skip
def test_a_colour_told_is_applied(answer, field, value):
    told = [("marks", f"S|colour {YELLOW}", answer)]
    out = held(*SPARES, marks=[(4, None, "fill", YELLOW)], told=told)
    assert out.questions.is_empty()
    assert out.lines[field].to_list()[1] == value
    assert value not in (out.lines[field].to_list()[i] for i in (0, 2, 3, 4))
    assert out.lines["remark"].to_list()[1] == f"coloured yellow: {answer}"


def test_a_colour_that_means_nothing_leaves_no_trace():
    told = [("marks", f"S|colour {YELLOW}", "nothing")]
    out = held(*SPARES, marks=[(4, None, "fill", YELLOW)], told=told)
    assert out.questions.is_empty()
    assert out.lines["remark"].null_count() == 5


def test_what_the_row_says_itself_stays():
    told = [("marks", f"S|colour {YELLOW}", "unserviceable")]
    out = held(*SPARES, marks=[(3, None, "fill", YELLOW)], told=told)
    assert out.lines["condition"].to_list()[0] == "good"
    assert out.lines["remark"].to_list()[0] == "coloured yellow: unserviceable"


@pytest.mark.parametrize("marks", [
    [(4, None, "fill", "ddebf7"), (6, None, "fill", "ddebf7")],  # every other row
    [(row, None, "fill", YELLOW) for row in (3, 4, 5, 6)],  # most rows
    [(row, 2, "fill", YELLOW) for row in range(2, 8)],  # a column
    [(1, None, "fill", YELLOW), (2, None, "fill", RED)],  # title and headings
])  # fmt: skip
def test_decoration_is_no_code(marks):
    out = held(*SPARES, marks=marks)
    assert out.questions.is_empty()
    assert out.lines["remark"].null_count() == 5


def test_a_red_ink_is_a_code_too():
    out = held(*SPARES, marks=[(5, 1, "ink", RED)])
    assert out.questions["subject"].to_list() == [f"S|ink {RED}"]
    assert out.lines["remark"].to_list()[2] == "in red ink"
    told = held(*SPARES, marks=[(5, 1, "ink", RED)], told=[("marks", f"S|ink {RED}", "gone")])
    assert told.lines["struck"].to_list() == [False, False, True, False, False]


@pytest.mark.parametrize("key", ["yellow = promised", "Key: yellow promised", "Yellow: promised"])
def test_a_key_in_words_settles_a_colour(key):
    out = held(*SPARES, (None, None, None), (key, None, None), marks=[(4, None, "fill", YELLOW)])
    assert out.questions.is_empty()
    assert out.lines["availability"].to_list() == [None, "promised", None, None, None]
    assert out.raw["outcome"].to_list()[-1] == "not-data"


def test_a_coloured_cell_beside_words_is_a_key():
    marks = [(4, None, "fill", YELLOW), (9, 1, "fill", YELLOW)]
    out = held(*SPARES, (None, None, None), (None, "for swap", None), marks=marks)
    assert out.lines["availability"].to_list() == [None, "swap", None, None, None]
    assert out.raw["reason"].to_list()[-1] == "legend of colours"


def test_a_want_coloured_is_closed_once_told():
    rows = (("Wanted",), *SPARES[1:])
    asked = held(*rows, marks=[(3, None, "fill", "00b050")])
    assert asked.questions["choices"].to_list() == ["closed;nothing"]
    told = [("marks", "S|colour 00b050", "closed")]
    out = held(*rows, marks=[(3, None, "fill", "00b050")], told=told)
    assert out.lines["status"].to_list() == ["closed", None, None, None, None]


def test_a_cell_of_a_survey_is_coloured_alone():
    rows = (("Part", "Otter 1", "Otter 2"), ("Dynamo", "fitted", None),
            ("Horn", "fitted", "fitted"), ("Sump", "fitted", "missing"))  # fmt: skip
    marks = [(2, 3, "fill", RED)]
    asked = held(*rows, marks=marks)
    assert asked.questions["subject"].to_list() == [f"S|colour {RED}"]
    told = held(*rows, marks=marks, told=[("marks", f"S|colour {RED}", "missing")])
    assert told.lines["presence"].to_list() == [
        "fitted", "missing", "fitted", "fitted", "fitted", "missing"]  # fmt: skip


def test_comments_and_strikes_stay_with_their_side():
    rows = (("Part", "Qty", None, "Part", "Qty"), ("Dynamo", "1", None, "Horn", "2"),
            ("Sump", "1", None, "Bonnet", "1"))  # fmt: skip
    marks = [(2, 5, "comment", "one is bent"), (3, 1, "struck", None), (2, None, "hidden", None)]
    lines = held(*rows, marks=marks).lines.sort("row", "column")
    assert lines["description"].to_list() == ["Dynamo", "Horn", "Sump", "Bonnet"]
    assert lines["column"].to_list() == [None, 4, None, 4]
    assert lines["remark"].to_list() == [None, "comment: one is bent", None, None]
    assert lines["struck"].to_list() == [False, False, True, False]
    assert lines["hidden"].to_list() == [True, True, False, False]


@pytest.mark.parametrize("rows", [
    # A fit list names two parts, and groups of figures repeat under one part.
    (("Part", "Mark", "Fits part", "Mark", "Grade"), ("Dynamo", "Mk 1", "Dynamo", "Mk 2", "as is")),
    (("Part", "Qty", None, "Condition", "Where"), ("Dynamo", "1", None, "good", "loft")),
    (("Part", "Qty", None, "Held by", "Place"), ("Dynamo", "1", None, "B. Hale", "loft")),
])  # fmt: skip
def test_one_table_stays_one(rows):
    assert lay_out([grid(*rows)]).lines["column"].null_count() == 1


def test_a_header_row_can_be_told():
    rows = (("Thing", "Puzzle"), ("Part", "Qty"), ("Dynamo", "2"), ("Sump", "1"))
    first = lay_out([grid(*rows, sheet="S")], told_by([
        ("layout", "S|header-row", "1"), ("layout", "S|kind", "want"),
        ("layout", "S|column: Thing", "description"), ("layout", "S|column: Puzzle", "quantity"),
    ]))  # fmt: skip
    assert first.lines["description"].to_list() == ["Part", "Dynamo", "Sump"]
    none = lay_out([grid(*rows[2:], sheet="S")], told_by([("layout", "S|header-row", "none")]))
    assert none.lines["description"].to_list() == ["Dynamo", "Sump"]


def test_a_vehicle_told_for_a_sheet_is_of_that_sheet_only():
    rows = (("Survey", None), ("Part", "State"), ("Dynamo", "missing"))
    told = told_by([("layout", "A|vehicle", "Otter 1"), ("layout", "B|vehicle", "Otter 2")])
    out = lay_out([grid(*rows, sheet="A"), grid(*rows, sheet="B")], told)
    assert out.lines["vehicle"].to_list() == ["Otter 1", "Otter 2"]


def test_a_key_of_marks_beside_a_survey_settles_them():
    rows = (("Part", "Otter 1", "Otter 2", None, None), ("Dynamo", "Y", "N", None, "Y = fitted"),
            ("Horn", "Y", "Y", None, None), (None, None, None, None, "N = missing"),
            ("Sump", "N", "N", None, None))  # fmt: skip
    out = lay_out([grid(*rows, sheet="S")])
    assert out.questions.is_empty()
    assert out.lines["presence"].to_list() == [
        "fitted", "missing", "fitted", "fitted", "missing", "missing"]  # fmt: skip
    assert out.lines["remark"].null_count() == 6


def test_a_small_table_of_codes_beside_the_list_is_a_key():
    rows = (("Part", "Otter 1", "Otter 2", None, "Code", "Meaning"),
            ("Dynamo", "Y", "N", None, "Y", "fitted"), ("Horn", "Y", "Y", None, "N", "missing"),
            ("Sump", "N", "N", None, None, None))  # fmt: skip
    out = lay_out([grid(*rows, sheet="S")])
    assert out.questions.is_empty()
    assert out.lines["presence"].to_list() == [
        "fitted", "missing", "fitted", "fitted", "missing", "missing"]  # fmt: skip
    assert out.lines["remark"].null_count() == 6
    assert "Meaning" in out.raw["words"][0]


def test_a_note_of_the_day_beside_the_list_dates_it():
    rows = (("Part", "Qty", "Condition", None, None), ("Dynamo", "1", "good", None, None),
            ("Horn", "1", "good", None, None),
            (None, None, None, None, "counted 3 March 2026"))  # fmt: skip
    out = lay_out([grid(*rows, sheet="S")])
    assert [str(day) for day in out.lines["sheet_date"]] == ["2026-03-03"] * 2


def test_vehicles_side_by_side():
    rows = (("Vehicle", "Family", "Vehicle", "Family"),
            ("Otter 1", "Otter", "Bramble 1", "Bramble"),
            ("Otter 2", "Otter", "Bramble 2", "Bramble"))  # fmt: skip
    lines = lay_out([grid(*rows, sheet="Register of vehicles")]).lines
    assert lines.select("column", "vehicle").rows() == [
        (None, "Otter 1"), (3, "Bramble 1"), (None, "Otter 2"), (3, "Bramble 2")]  # fmt: skip


def test_what_fits_what_is_one_table():
    rows = (("Interchangeability",), ("Part", "Mark", "Part", "Mark"),
            ("Dynamo", "Mk 1", "Alternator", "Mk 2"), ("Horn", "Mk 1", "Horn", "Mk 2"))  # fmt: skip
    assert lay_out([grid(*rows)]).raw["column"].null_count() == 4


def test_three_tables_side_by_side_each_with_an_owner():
    rows = (("Held by A. Crane", None, None, "Held by B. Hale", None, None, "Held by C. Dunn"),
            ("Part", "Qty", None, "Part", "Qty", None, "Part", "Qty"),
            ("Dynamo", "1", None, "Horn", "2", None, "Sump", "3"),
            ("Bonnet", "1", None, None, None, None, "Radiator", "1"))  # fmt: skip
    lines = lay_out([grid(*rows)]).lines
    assert lines.select("column", "holder", "description").rows() == [
        (None, "A. Crane", "Dynamo"), (4, "B. Hale", "Horn"), (7, "C. Dunn", "Sump"),
        (None, "A. Crane", "Bonnet"), (7, "C. Dunn", "Radiator")]  # fmt: skip


def test_surveys_side_by_side_keep_the_columns_of_their_cells():
    rows = (("Part", "Otter 1", "Otter 2", None, "Part", "Otter 1", "Otter 2"),
            ("Dynamo", "fitted", "missing", None, "Horn", "missing", "fitted"))  # fmt: skip
    lines = lay_out([grid(*rows)]).lines
    assert lines.select("column", "description", "vehicle", "presence").rows() == [
        (2, "Dynamo", "Otter 1", "fitted"), (3, "Dynamo", "Otter 2", "missing"),
        (6, "Horn", "Otter 1", "missing"), (7, "Horn", "Otter 2", "fitted")]  # fmt: skip


def test_groups_over_single_columns():
    rows = ((None, "Have", "Want"), ("Part", "Qty", "Qty"), ("Dynamo", "1", None),
            ("Horn", None, "2"))  # fmt: skip
    lines = lay_out([grid(*rows)]).lines
    assert lines.select("kind", "description", "quantity").rows() == [
        ("holding", "Dynamo", "1"), ("want", "Horn", "2")]  # fmt: skip


def test_vehicles_over_sides():
    rows = (("Part", "Otter 1", None, "Otter 2", None), (None, "LH", "RH", "LH", "RH"),
            ("Mudguard", "fitted", "missing", "fitted", "fitted"),
            ("Door", "fitted", None, "missing", "fitted"))  # fmt: skip
    lines = lay_out([grid(*rows)]).lines
    assert set(lines["kind"]) == {"survey"}
    found = lines.select("vehicle", "description", "side", "presence").rows()
    assert sorted(found) == [
        ("Otter 1", "Door", "LH", "fitted"), ("Otter 1", "Mudguard", "LH", "fitted"),
        ("Otter 1", "Mudguard", "RH", "missing"), ("Otter 2", "Door", "LH", "missing"),
        ("Otter 2", "Door", "RH", "fitted"), ("Otter 2", "Mudguard", "LH", "fitted"),
        ("Otter 2", "Mudguard", "RH", "fitted")]  # fmt: skip


def test_lists_without_headings_side_by_side():
    rows = (("Dynamo", "1", None, "Horn", "2"), ("Sump", "1", None, "Bonnet", "2"),
            ("Radiator", "1", None, "Silencer", "2"))  # fmt: skip
    lines = lay_out([grid(*rows)]).lines
    assert lines.select("column", "description", "quantity").rows()[:2] == [
        (None, "Dynamo", "1"), (4, "Horn", "2")]  # fmt: skip
    assert lines.height == 6


def test_two_names_and_two_figures_without_headings_are_asked_about():
    rows = (("Dynamo", "1", "Horn", "2"), ("Sump", "1", "Bonnet", "2"),
            ("Radiator", "1", "Silencer", "2"))  # fmt: skip
    out = lay_out([grid(*rows)])
    assert out.lines["kind"].null_count() == 3
    assert out.questions["subject"].to_list() == ["|kind"]


def test_a_cell_merged_down_without_headings_is_no_part():
    rows = (("Engine bay", "Dynamo", "1"), (None, "Horn", "2"), ("Hull", "Bonnet", "1"),
            (None, "Silencer", "1"))  # fmt: skip
    out = held(*rows, marks=[(1, 1, "merged", "2x1"), (3, 1, "merged", "2x1")])
    assert out.lines.select("description", "quantity", "assembly").rows() == [
        ("Dynamo", "1", "Engine bay"), ("Horn", "2", "Engine bay"), ("Bonnet", "1", "Hull"),
        ("Silencer", "1", "Hull")]  # fmt: skip


KEYED = (("Part", "Qty"), ("Dynamo", "1"), ("Horn", "1"), ("Sump", "2"), ("Bonnet", "2"))
MARKED = [(3, 1, "fill", YELLOW), (4, 1, "fill", RED)]


def beside(*texts):
    """Return the list with a column of texts, an empty column or two between."""
    texts = [*texts, *[None] * (len(KEYED) - len(texts))]
    return [(*row, None, None, text) for row, text in zip(KEYED, texts, strict=True)]


@pytest.mark.parametrize(("texts", "marks"), [
    (("yellow = promised", "red = sold"), []),
    ((None, "promised", "sold"), [(2, 4, "fill", YELLOW), (3, 4, "fill", RED)]),
    ((None, "promised", "sold"), [(2, 5, "fill", YELLOW), (3, 5, "fill", RED)]),
])  # fmt: skip
def test_a_key_of_colours_beside_the_list(texts, marks):
    out = held(*beside(*texts), marks=[*MARKED, *marks])
    assert out.questions.is_empty()
    assert out.lines["availability"].to_list() == [None, "promised", None, None]
    assert out.lines["struck"].to_list() == [False, False, True, False]
    assert out.lines["remark"].to_list() == [None, "coloured yellow: promised",
                                             "coloured red: gone", None]  # fmt: skip
